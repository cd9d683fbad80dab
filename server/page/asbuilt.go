package page

import (
	"net/http"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
	"lathmark/domain/typed"
	"lathmark/domain/visit"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// AsBuilt is the form for a build-up as it was put on.
func (p *Pages) AsBuilt(c echo.Context) error {
	s, err := p.scene(c, "Build-up as put on")
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.AsBuilt, s.asBuilt(nil))
}

// building is the stage whose layers are asked for: the one in hand where it
// has layers, else plaster.
func (s *scene) building() words.Stage {
	if in, open := s.j.Record.InHand(); open && in <= words.Plaster {
		return max(in, words.Boarding)
	}
	return words.Plaster
}

// asBuilt is the form; f is what was typed, nil for a fresh one.
func (s *scene) asBuilt(f *form) web.AsBuiltView {
	of := s.building()
	v := web.AsBuiltView{Photo: s.photosOfFaces(), Stage: of.String(), Instruments: instruments,
		Span: web.SpanForm{By: "laser"}}
	value := func(name string) string {
		if f == nil {
			return ""
		}
		return f.Get(name)
	}
	for i := range s.j.Record.Surfaces {
		v.Faces = append(v.Faces, s.facesOf(i, of, value)...)
	}
	v.Spans = s.pairs(of)
	layers := map[string]bool{}
	for _, l := range s.j.Record.Layers {
		if l.Stage == of && !layers[l.Name] {
			layers[l.Name] = true
			v.States = append(v.States, web.Option{Value: l.Name, Label: words.StateOf(l.Name)})
		}
	}
	if f != nil {
		v.Span = web.SpanForm{Pair: f.Get("span_pair"), State: f.Get("span_state"), Value: f.Get("span"), By: f.Get("by")}
	}
	s.say("Measure what was put on while an edge of it can be seen, or measure across the room.")
	v.Sheet = s.sheet
	return v
}

// facesOf are the faces of surface i with their layers of a stage, and last the
// surface itself; value returns what was typed into a field.
func (s *scene) facesOf(i int, of words.Stage, value func(string) string) []web.FaceBuilt {
	r, on := s.j.Record, &s.j.Record.Surfaces[i]
	var out []web.FaceBuilt
	add := func(face web.FaceBuilt, datum id.Datum, row func(n int, l room.Layer) web.LayerRow) {
		for n, l := range r.LayersOf(on.ID, datum) {
			if l.Stage == of {
				put := row(n, l)
				asked := web.LayerAsked{ID: l.ID.String(), Name: l.Name, Planned: l.Thickness, Recorded: put.Built,
					PlusMinus: put.BuiltPlusMinus}
				asked.Value = value(asked.Field())
				face.Layers = append(face.Layers, asked)
			}
		}
		if len(face.Layers) > 0 {
			out = append(out, face)
		}
	}
	k := 0
	for n := range r.Datums {
		if d := &r.Datums[n]; d.Surface == on.ID {
			at := k
			k++
			add(web.FaceBuilt{DatumID: d.ID.String(), Name: datumName(d), Surface: s.surfaceName(on.ID)}, d.ID,
				func(n int, l room.Layer) web.LayerRow { return s.layer(l, i, at, n) })
		}
	}
	add(web.FaceBuilt{Name: on.Name, Surface: "the surface itself"}, id.Datum{}, func(_ int, l room.Layer) web.LayerRow {
		if b := r.BuiltOf(l.ID); b != nil {
			return web.LayerRow{Built: b.Thickness}
		}
		return web.LayerRow{}
	})
	return out
}

// pairs are two faces each of one surface that look at each other and take a
// layer at the stage.
func (s *scene) pairs(of words.Stage) []web.Option {
	var out []web.Option
	takes := func(d *room.Datum) bool {
		for _, l := range s.j.Record.LayersOf(d.Surface, d.ID) {
			if l.Stage == of {
				return true
			}
		}
		return false
	}
	all := s.j.Record.Datums
	for i := range all {
		for k := i + 1; k < len(all); k++ {
			a, b := &all[i], &all[k]
			if a.Surface == b.Surface && a.Kind == words.Face && b.Kind == words.Face && takes(a) && takes(b) && opposite(a, b) {
				out = append(out, web.Option{Value: a.ID.String() + "|" + b.ID.String(),
					Label: datumName(a) + " and " + datumName(b) + ", " + strings.ToLower(s.surfaceName(a.Surface))})
			}
		}
	}
	return out
}

// opposite reports whether two faces run against each other, within about 6
// degrees: a span from one to the other is square to both.
func opposite(a, b *room.Datum) bool {
	la, lb := distance(a.A, a.B), distance(b.A, b.B)
	if la == 0 || lb == 0 {
		return false
	}
	dot := ((a.B[0]-a.A[0])*(b.B[0]-b.A[0]) + (a.B[1]-a.A[1])*(b.B[1]-b.A[1])) / (la * lb)
	return dot < -0.995
}

// PutOn takes it: thicknesses, or one span.
func (p *Pages) PutOn(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	s, err := p.scene(c, "Build-up as put on")
	if err != nil {
		return err
	}
	d := putOnOf(f, s.j.Record)
	if err = f.err(); err == nil {
		_, err = p.Stage.PutOn(c.Request().Context(), s.by, s.j.Record.ID, d.List)
	}
	return p.taken(c, err, s.at.AsBuilt(), "put-on", "Build-up as put on",
		func(s *scene, status int, faults []fault.Field) error {
			v := s.asBuilt(f)
			v.Faults = onPutOnForm(faults)
			return Draw(c, status, web.AsBuilt, v)
		})
}

func onPutOnForm(faults []fault.Field) []fault.Field {
	return renamed(faults, "through", "span_state", "to_state", "span_state", "value", "span")
}

// putOnOf reads the form: thicknesses, or one span.
func putOnOf(f *form, r *room.Record) visit.PutOn {
	list := f.typed().Thicknesses(r, f.reading)
	if f.Values.Has("span") {
		list = []stage.PutOn{f.typed().Span(f.reading)}
	}
	f.replanned(r)
	if len(list) == 0 && len(f.wrong) == 0 {
		f.bad("", "no thickness is given", "Fill in those that you measured")
	}
	return visit.PutOn{List: list}
}

// replanned notes what was typed for layers that were planned anew since the
// form was drawn: they have other ids by now, and it must not be lost.
func (f *form) replanned(r *room.Record) {
	planned := map[string]bool{}
	for _, l := range r.Layers {
		planned[typed.ThicknessField(l.ID.String())] = true
	}
	for field := range f.Values {
		if strings.HasPrefix(field, typed.ThicknessField("")) && !planned[field] && f.Get(field) != "" {
			f.bad(field, "the build-up was planned anew meanwhile, without this layer",
				"Open the page once more and give "+f.Get(field)+" there")
		}
	}
}
