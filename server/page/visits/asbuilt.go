package visits

import (
	"fmt"
	"net/url"
	"slices"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// building is the stage whose layers are asked for: the one in hand where it
// has layers, else plaster.
func (s *scene) building() words.Stage {
	if in, open := s.J.Record.InHand(); open && in <= words.Plaster {
		return max(in, words.Boarding)
	}
	return words.Plaster
}

// asBuilt is the form for a build-up as built.
func (s *scene) asBuilt() web.AsBuiltView {
	of := s.building()
	v := web.AsBuiltView{Photo: s.photosOfFaces(), Stage: of.String(), Instruments: kit.Instruments,
		Cautions: kit.AllShown(s.J.Record.OtherDrying()),
		Typed:    web.Typed{Begins: url.Values{"by": {"laser"}}}}
	for i := range s.J.Record.Surfaces {
		v.Faces = append(v.Faces, s.facesOf(i, of)...)
	}
	v.Spans, v.Same = s.pairs(of), same(v.Faces)
	layers := map[string]bool{}
	for _, l := range s.J.Record.Layers {
		if l.Stage == of && !layers[l.Name] {
			layers[l.Name] = true
			v.States = append(v.States, web.Option{Value: l.Name, Label: words.StateOf(l.Name)})
		}
	}
	if of == words.Boarding {
		v.Closing = strings.Join(s.J.Gate.DoNotClose(), " ")
	}
	v.Walls = s.DifferingWalls()
	if slices.ContainsFunc(v.Faces, func(f web.FaceBuilt) bool {
		return slices.ContainsFunc(f.Layers, func(l web.LayerAsked) bool { return l.Recorded == 0 })
	}) {
		s.Say("Measure what is on while an edge of it can be seen, or measure across the room.")
	}
	v.Sheet = s.Sheet
	return v
}

// same are the layers that two faces or more take alike, of which nothing is on record.
func same(faces []web.FaceBuilt) (out []web.SameAsked) {
	of := map[string]int{}
	for _, face := range faces {
		for _, l := range face.Layers {
			if l.Recorded != 0 {
				continue
			}
			like := fmt.Sprint(l.Name, l.Thickness)
			if _, ok := of[like]; !ok {
				of[like] = len(out)
				out = append(out, web.SameAsked{Name: l.Name})
			}
			one := &out[of[like]]
			one.N, one.On = one.N+1, strings.TrimSpace(one.On+" "+l.ID.String())
		}
	}
	out = slices.DeleteFunc(out, func(one web.SameAsked) bool { return one.N < 2 })
	for n := range out {
		out[n].Field, out[n].Of = deed.SameField(n), deed.SameOn(n)
	}
	return out
}

// facesOf are the faces of surface i with their layers of a stage, and last the
// surface itself.
func (s *scene) facesOf(i int, of words.Stage) []web.FaceBuilt {
	r, on := s.J.Record, &s.J.Record.Surfaces[i]
	var out []web.FaceBuilt
	add := func(face web.FaceBuilt, datum id.Datum, row func(n int, l room.Layer) web.LayerRow) {
		for n, l := range r.LayersOf(on.ID, datum) {
			if l.Stage == of {
				put := row(n, l)
				face.Layers = append(face.Layers, web.LayerAsked{Layer: l, Recorded: put.Built,
					PlusMinus: put.BuiltPlusMinus})
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
			is := room.Appearance{Surface: on.ID, Datum: d.ID}
			if s.shownBefore(is) {
				continue
			}
			where := s.SurfaceName(on.ID)
			if also := r.AlsoOn(is); also != "" {
				where += ", " + also
			}
			add(web.FaceBuilt{Name: d.Called(), Surface: where}, d.ID,
				func(n int, l room.Layer) web.LayerRow { return s.Layer(l, i, at, n) })
		}
	}
	if s.shownBefore(room.Appearance{Surface: on.ID}) {
		return out
	}
	add(web.FaceBuilt{Name: on.Name, Surface: "the surface itself"}, id.Datum{}, func(_ int, l room.Layer) web.LayerRow {
		if b := r.BuiltOf(l.ID); b != nil {
			return web.LayerRow{Built: b.Thickness}
		}
		return web.LayerRow{}
	})
	return out
}

// shownBefore reports whether a wall stands on the page already as it is drawn elsewhere: one wall is asked for once.
// Where the layers differ each is asked for.
func (s *scene) shownBefore(is room.Appearance) bool {
	r := s.J.Record
	before := func(a, b room.Appearance) bool {
		at := func(x room.Appearance) (surface, datum int) {
			return slices.IndexFunc(r.Surfaces, func(s room.Surface) bool { return s.ID == x.Surface }),
				slices.IndexFunc(r.Datums, func(d room.Datum) bool { return d.ID == x.Datum })
		}
		sa, da := at(a)
		sb, db := at(b)
		return sa < sb || sa == sb && uint(da) < uint(db) // the surface itself comes last
	}
	return slices.ContainsFunc(r.SameWall(is)[1:], func(o room.Appearance) bool {
		return before(o, is) && r.SameBuildUp(o, is)
	})
}

// pairs are two faces each of one surface that look at each other and take a
// layer at the stage.
func (s *scene) pairs(of words.Stage) []web.Option {
	var out []web.Option
	takes := func(d *room.Datum) bool {
		for _, l := range s.J.Record.LayersOf(d.Surface, d.ID) {
			if l.Stage == of {
				return true
			}
		}
		return false
	}
	all := s.J.Record.Datums
	for i := range all {
		for k := i + 1; k < len(all); k++ {
			a, b := &all[i], &all[k]
			if a.Surface == b.Surface && a.Kind == words.Face && b.Kind == words.Face && takes(a) && takes(b) && opposite(a, b) {
				out = append(out, web.Option{Value: a.ID.String() + "|" + b.ID.String(),
					Label: a.Called() + " and " + b.Called() + ", " + strings.ToLower(s.SurfaceName(a.Surface))})
			}
		}
	}
	return out
}

// opposite reports whether two faces run against each other, within about 6
// degrees: a span from one to the other is square to both.
func opposite(a, b *room.Datum) bool {
	la, lb := kit.Distance(a.A, a.B), kit.Distance(b.A, b.B)
	if la == 0 || lb == 0 {
		return false
	}
	dot := ((a.B[0]-a.A[0])*(b.B[0]-b.A[0]) + (a.B[1]-a.A[1])*(b.B[1]-b.A[1])) / (la * lb)
	return dot < -0.995
}
