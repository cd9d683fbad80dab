package deed

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"slices"
	"strconv"
	"strings"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// PutOn records build-ups as they were put on. Faults: BadInput, NotFound,
// Conflict, Obstacle (the layers' stage waits or is signed off).
type PutOn struct {
	List []Coat `json:"list"`
}

// Coat is a build-up as it was put on: on a face, or on the surface itself where
// Datum is none. Either its thickness was measured, or a span across the room,
// from which it is worked out.
type Coat struct {
	ID        id.Measurement `json:"id" format:"uuid" doc:"Yours to make, of version 7: that of the measurement it makes."`
	Surface   id.Surface     `json:"surface,omitzero" required:"true" format:"uuid"`
	Datum     id.Datum       `json:"datum,omitzero" format:"uuid" doc:"The face; left out: the surface itself."`
	Through   string         `json:"through" minLength:"1" maxLength:"120" doc:"The outermost layer that is on now."`
	Thickness float64        `json:"thickness,omitzero" minimum:"0" doc:"From from to through; or"`
	From      string         `json:"from,omitzero" maxLength:"120" doc:"bare where it is left out."`
	// SpanToState is the outermost layer of the face SpanTo.
	Span        float64   `json:"span,omitzero" minimum:"0" doc:"the span to the face span_to."`
	SpanTo      id.Datum  `json:"span_to,omitzero" format:"uuid"`
	SpanToState string    `json:"span_to_state,omitzero" maxLength:"120"`
	Sigma       float64   `json:"sigma,omitzero" minimum:"0"`         // mm; 0: the instrument's
	By          string    `json:"by,omitzero" enum:"tape,laser,rule"` // tape, laser, rule
	On          time.Time `json:"on,omitzero"`
}

// Readings are those that it leaves.
func (d PutOn) Readings() (all []id.Measurement) {
	for _, c := range d.List {
		all = append(all, c.ID)
	}
	return all
}

// readPutOn reads the form: thicknesses, or one span.
func readPutOn(s *Sent) (Deed, error) {
	list := s.thicknesses(s.Standing.Record)
	if s.Values.Has("span") {
		list = []Coat{s.span()}
	}
	// What was typed for layers that were planned anew since the form was drawn
	// must not be lost.
	planned := map[string]bool{}
	for _, l := range s.Standing.Record.Layers {
		planned[ThicknessField(l.ID.String())] = true
	}
	asked := maps.Clone(s.Values)
	for layer, field := range s.same() {
		asked[ThicknessField(layer)] = []string{s.Get(field)}
	}
	for field := range asked {
		if strings.HasPrefix(field, ThicknessField("")) && !planned[field] && asked.Get(field) != "" {
			s.Bad(field, "the build-up was planned anew meanwhile, without this layer",
				"Open the page once more and give "+asked.Get(field)+" there")
		}
	}
	if len(list) == 0 && len(s.Wrong) == 0 {
		s.Bad("", "no thickness is given", "Fill in those that you measured")
	}
	return PutOn{List: list}, nil
}

// ThicknessField is the field of a layer's thickness as it was put on.
func ThicknessField(layer string) string { return "t." + layer }

// SameField is the field of the thickness of a layer that is the same on several faces, and SameOn the field of the
// layers that the page showed it for, with blanks between them.
func SameField(n int) string { return "same." + strconv.Itoa(n) }

func SameOn(n int) string { return "same_on." + strconv.Itoa(n) }

// same returns the field for each layer that was said together with others.
func (f *Form) same() map[string]string {
	out := map[string]string{}
	for n := 0; f.Get(SameOn(n)) != ""; n++ {
		for _, layer := range strings.Fields(f.Get(SameOn(n))) {
			out[layer] = SameField(n)
		}
	}
	return out
}

// thicknesses reads the thicknesses of a room's layers as they were put on,
// each told from what was on before the layer. Each measurement's id is made
// from the layer's number in the room.
func (f *Form) thicknesses(r *room.Record) []Coat {
	var out []Coat
	before, same := map[[2][16]byte]string{}, f.same()
	for i, l := range r.Layers {
		face := [2][16]byte{l.Surface, l.Datum}
		under := before[face]
		before[face] = l.Name
		field := ThicknessField(l.ID.String())
		if f.Get(field) == "" && same[l.ID.String()] != "" {
			field = same[l.ID.String()]
		}
		if f.Get(field) == "" {
			continue
		}
		t := f.Number(field)
		if t <= 0 {
			f.Bad(field, "there is no such thickness", "Give it in millimetres, above 0")
		}
		if under == "" {
			under = roomsheet.Bare
		}
		out = append(out, Coat{ID: f.ReadingID(i), Surface: l.Surface, Datum: l.Datum, Through: l.Name, From: under,
			Thickness: t, By: "rule"})
	}
	return out
}

// span reads a span between two faces that are both in one state. Fields:
// span_pair (two datums, "id|id"), span_state, span, by.
func (f *Form) span() Coat {
	a, b, _ := strings.Cut(f.Get("span_pair"), "|")
	from, errA := id.Parse[id.Datum](a)
	to, errB := id.Parse[id.Datum](b)
	if errA != nil || errB != nil {
		f.Bad("span_pair", "it does not say between which faces", "Choose the two")
	}
	state := f.Get("span_state")
	if state == "" || state == roomsheet.Bare {
		f.Bad("span_state", "it does not say what is on both faces now", "Choose the outermost layer")
	}
	return Coat{ID: f.ReadingID(0), Datum: from, Through: state, Span: f.Needed("span", "span"), SpanTo: to,
		SpanToState: state, By: f.Get("by")}
}

// do holds back what others wrote of a surface's own layer.
func (d PutOn) do(ctx context.Context, t *Taking) error {
	for i, c := range d.List {
		if c.Datum.IsZero() {
			if held, err := t.holdLayer(i, c); err != nil {
				return err
			} else if held {
				continue
			}
		}
		if err := t.putOnWall(ctx, c); err != nil {
			return err
		}
		if m, err := t.Record.Measurement(c.ID); err == nil {
			if err := t.compare(*m); err != nil {
				return err
			}
		}
	}
	return nil
}

func (d PutOn) force(ctx context.Context, w *Writing, c clash) error {
	for i, coat := range d.List {
		if slices.Contains(c.Held, i) {
			if err := w.putOn(ctx, coat); err != nil {
				return err
			}
		}
	}
	return nil
}

// holdLayer holds back the thickness of a surface's own layer, which has one
// place only, where others wrote one since the copy.
func (t *Taking) holdLayer(part int, c Coat) (held bool, err error) {
	on, err := t.Record.Surface(c.Surface)
	if err != nil {
		return false, err
	}
	layers := t.Record.LayersOf(c.Surface, id.Datum{})
	k := slices.IndexFunc(layers, func(l room.Layer) bool { return l.Name == c.Through })
	if k < 0 {
		return false, nil // it is refused for that
	}
	e, clash, err := t.last(func(e diary.Entry) (bool, error) {
		b, err := detail[room.AsBuilt](e)
		return b.Layer == layers[k].ID && b.Thickness > 0, err
	}, "put_on")
	if err != nil || !clash {
		return false, err
	}
	if b := t.Record.BuiltOf(layers[k].ID); b == nil || b.Thickness != c.Thickness {
		t.hold(part, fmt.Sprintf("The %s on %s was put on, %g mm.", c.Through, words.InWords(on.Name), c.Thickness), e)
	}
	return true, nil
}

// putOnWall records a thickness wherever the wall that it is of is drawn with the same layers: each surface is worked
// out by itself, and each has to know it. A span tells its own surface alone.
func (w *Writing) putOnWall(ctx context.Context, c Coat) error {
	if m, err := w.Record.Measurement(c.ID); err == nil && m.Stands() || c.Thickness == 0 {
		return w.putOn(ctx, c) // a repeat
	}
	all := w.Record.SameWall(room.Appearance{Surface: c.Surface, Datum: c.Datum})
	names := func(a room.Appearance) (out []string) {
		for _, l := range w.Record.LayersOf(a.Surface, a.Datum) {
			out = append(out, l.Name)
		}
		return out
	}
	layers := names(all[0])
	at := slices.Index(layers, c.Through)
	under := roomsheet.Bare
	if at > 0 {
		under = layers[at-1]
	}
	if c.Datum.IsZero() { // a surface's own figure is of the one layer
		c.From = under
		if at >= 0 && at < len(layers) {
			l := w.Record.LayersOf(c.Surface, c.Datum)[at]
			if b := w.Record.BuiltOf(l.ID); b != nil && b.Thickness == c.Thickness {
				return w.putOn(ctx, c) // a repeat
			}
		}
	}
	if err := w.putOn(ctx, c); err != nil {
		return err
	}
	for _, a := range all[1:] {
		o := c
		o.ID, o.Surface, o.Datum = id.New[id.Measurement](), a.Surface, a.Datum
		if !slices.Equal(names(a), layers) || o.Datum.IsZero() && cmp.Or(o.From, roomsheet.Bare) != under {
			continue
		}
		if err := w.putOn(ctx, o); err != nil {
			return err
		}
	}
	return nil
}

func (w *Writing) putOn(ctx context.Context, c Coat) error {
	if c.On = words.UTC.Day(c.On); c.On.After(w.Record.Zone.Day(w.Now)) {
		return bad("on", "the day is still to come", "Give the day it was put on")
	}
	if !(c.Thickness >= 0 && c.Thickness <= 1000) || !(c.Span >= 0) || (c.Thickness > 0) == (c.Span > 0) {
		return bad("thickness", "neither a thickness nor a span was measured, or both",
			"Give the one that was measured, in millimetres")
	}
	if c.Thickness > 0 && c.From == c.Through {
		return bad("from", c.From+" to "+c.Through+" is no layer",
			"Give the layer that was on before, or leave it out for bare")
	}
	if c.Datum.IsZero() {
		if c.Span > 0 {
			return bad("span", "a span goes from one face to another", "Give a thickness, or the face")
		}
		return w.layersOn(ctx, c.Surface, id.Datum{}, c.Through, c.Thickness, c)
	}
	if _, err := w.Record.Measurement(c.ID); err != nil { // else a repeat, or a conflict
		if err := w.layersOn(ctx, c.Surface, c.Datum, c.Through, 0, c); err != nil {
			return err
		}
		if c.Span > 0 && c.SpanToState != roomsheet.Bare && c.SpanToState != "" {
			if err := w.layersOn(ctx, c.Surface, c.SpanTo, c.SpanToState, 0, c); err != nil {
				return err
			}
		}
	}
	_, err := w.measure(ctx, c.reading())
	return err
}

// reading is the measurement that tells the thickness.
func (c Coat) reading() room.Reading {
	r := room.Reading{ID: c.ID, Surface: c.Surface, Kind: words.Thickness, From: c.Datum, State: c.Through,
		FromState: c.From, Value: c.Thickness, Sigma: c.Sigma, By: c.By}
	if c.Span > 0 {
		r.Kind, r.FromState, r.To, r.ToState, r.Value = words.Span, "", c.SpanTo, c.SpanToState, c.Span
		if r.ToState == "" {
			r.ToState = roomsheet.Bare
		}
	}
	return r
}

// layersOn records the layers up to through as put on, those that are not yet;
// the outermost anew. thickness is kept for a surface's own layers only, and
// is then that of the outermost.
func (w *Writing) layersOn(ctx context.Context, surface id.Surface, datum id.Datum, through string, thickness float64,
	c Coat) error {
	var name string
	if !datum.IsZero() {
		d, err := w.Record.Datum(datum)
		if err != nil {
			return err
		}
		name, surface = d.Name, d.Surface
	} else if s, err := w.Record.Surface(surface); err != nil {
		return err
	} else {
		name = s.Name
	}
	layers := w.Record.LayersOf(surface, datum)
	last := -1
	for i, l := range layers {
		if l.Name == through {
			last = i
		}
	}
	if last < 0 {
		return bad("through", name+" has no layer called "+through, "Give the outermost layer that is on")
	}
	for i, l := range layers[:last+1] {
		if w.Record.BuiltOf(l.ID) != nil && (i < last || thickness == 0) {
			continue
		}
		if err := begun(w.Record, l.Stage); err != nil {
			return err
		}
		on, given := c.On, !c.On.IsZero()
		if !given {
			on = w.Record.Zone.Day(w.Made)
		}
		on, err := w.Record.InOrder(room.WasPutOn, room.Subject{Stage: l.Stage}, on, given)
		if err != nil {
			return err
		}
		b := room.AsBuilt{Layer: l.ID, Stage: l.Stage, PutOn: on, By: w.MadeBy, At: w.Made}
		says := fmt.Sprintf("The %s on %s was put on", l.Name, words.InWords(name))
		if i == last && thickness > 0 {
			b.Thickness, b.Sigma = thickness, c.Sigma
			says += fmt.Sprintf(", %g mm", thickness)
		}
		put(ctx, w, &w.Record.Built, b, Tx.SaveAsBuilt)
		if err := w.Note("put_on", &l.Stage, says+".", b); err != nil {
			return err
		}
	}
	return nil
}
