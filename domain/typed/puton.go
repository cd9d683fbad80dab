package typed

import (
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/stage"
)

// ThicknessField is the field of a layer's thickness as it was put on.
func ThicknessField(layer string) string { return "t." + layer }

// Thicknesses reads the thicknesses of a room's layers as they were put on,
// each told from what was on before the layer. Each measurement's id is made
// from the layer's number in the room.
func (f Form) Thicknesses(r *room.Record, made func(n int) id.Measurement) []stage.PutOn {
	var out []stage.PutOn
	before := map[[2][16]byte]string{}
	for i, l := range r.Layers {
		face := [2][16]byte{l.Surface, l.Datum}
		under := before[face]
		before[face] = l.Name
		field := ThicknessField(l.ID.String())
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
		out = append(out, stage.PutOn{ID: made(i), Surface: l.Surface, Datum: l.Datum, Through: l.Name, From: under,
			Thickness: t, By: "rule"})
	}
	return out
}

// Span reads a span between two faces that are both in one state. Fields:
// span_pair (two datums, "id|id"), span_state, span, by.
func (f Form) Span(made func(n int) id.Measurement) stage.PutOn {
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
	return stage.PutOn{ID: made(0), Datum: from, Through: state, Span: f.Needed("span", "span"), SpanTo: to,
		SpanToState: state, By: f.Get("by")}
}
