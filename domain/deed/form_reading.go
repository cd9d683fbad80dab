package deed

import (
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Datum takes a field that holds a datum and its state apart: "id|state". An
// id that cannot be read is none.
func Datum(field string) (of id.Datum, state string) {
	text, state, _ := strings.Cut(field, "|")
	of, _ = id.Parse[id.Datum](text)
	return of, state
}

// Reading reads a reading. Fields: kind, position, value, by; datum and to,
// each a datum with its state; to_position; surface_state. In the place of a
// state a fixed line has the side that was measured on.
func (f *Form) Reading() room.Reading {
	g := room.Reading{Kind: words.MeasurementKind(f.Get("kind")), Value: f.Needed("value", "reading"), By: f.Get("by")}
	if g.Value < 0 {
		f.Bad("value", "no tape reads minus", "Type "+strings.TrimLeft(f.Get("value"), "-−– ")+
			", and choose the side that it was measured on: a line is offered once for each of its sides")
	}
	position := func(text string) id.Position {
		q, _ := id.Parse[id.Position](text)
		return q
	}
	if g.Kind != words.Span {
		g.Of = position(f.Get("position"))
	}
	if g.Kind == words.Distance {
		g.ToPosition = position(f.Get("to_position"))
		return g
	}
	g.From, g.State = Datum(f.Get("datum"))
	if room.IsSide(g.State) {
		g.Value, g.State = room.WithSide(g.Value, g.State), ""
	}
	if g.Kind == words.Span {
		g.To, g.ToState = Datum(f.Get("to"))
	}
	if room.IsSide(g.ToState) {
		g.ToState = ""
	}
	g.SurfaceState = f.Get("surface_state")
	return g
}

// NewReading is Reading for one that is taken for the first time: it must say
// of what and from where.
func (f *Form) NewReading() room.Reading {
	g := f.Reading()
	if g.Kind == words.Offset && g.From.IsZero() {
		f.Bad("datum", "it does not say from what it was measured", "Choose the datum and the state it was in")
	}
	if g.Kind != words.Span && g.Of.IsZero() {
		f.Bad("position", "it does not say which position was measured", "Choose it")
	}
	return g
}

// Amended is Reading for one that is put right: what the form does not ask
// stays as it was.
func (f *Form) Amended(old *room.Measurement) room.Reading {
	f.Set("kind", string(old.Kind)) // the form does not ask
	g := f.Reading()
	g.ID, g.Of, g.ToPosition, g.Sigma, g.FromState = old.ID, old.Of, old.ToPosition, old.Sigma, old.FromState
	return g
}
