package room

import (
	"bytes"
	"math"
	"slices"
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Thing is what a reading is of: two readings of one thing should say the same. It
// is a position from one datum in one state, two positions, two faces each in one
// state, or what is on one face from one state to another. From which end it was
// measured does not count.
type Thing struct {
	Kind               words.MeasurementKind
	Of, ToPosition     id.Position
	From, To           id.Datum
	State, ToState     string
	FromState, Surface string
}

// Thing returns what the reading is of.
func (m *Measurement) Thing() Thing {
	t := Thing{m.Kind, m.Of, m.ToPosition, m.From, m.To, m.State, m.ToState, m.FromState, m.SurfaceState}
	if m.Kind == words.Distance && bytes.Compare(t.Of[:], t.ToPosition[:]) > 0 {
		t.Of, t.ToPosition = t.ToPosition, t.Of
	}
	if m.Kind == words.Span && bytes.Compare(t.From[:], t.To[:]) > 0 {
		t.From, t.To, t.State, t.ToState = t.To, t.From, t.ToState, t.State
	}
	return t
}

// Key is the thing as a page tells it from others; the page's script makes the same
// of what is chosen on the form.
func (t Thing) Key() string {
	switch t.Kind {
	case words.Distance:
		ends := []string{t.Of.String(), t.ToPosition.String()}
		slices.Sort(ends)
		return strings.Join(append([]string{string(t.Kind)}, ends...), " ")
	case words.Span:
		ends := []string{t.From.String() + "|" + t.State, t.To.String() + "|" + t.ToState}
		slices.Sort(ends)
		return strings.Join(append([]string{string(t.Kind)}, append(ends, t.Surface)...), " ")
	}
	return strings.Join([]string{string(t.Kind), t.Of.String(), t.From.String() + "|" + t.State, t.Surface}, " ")
}

// In returns the readings of a thing that stand, in the order they were taken.
func (t Thing) In(r *Record) (all []*Measurement) {
	for i := range r.Measurements {
		if m := &r.Measurements[i]; m.Stands() && m.Thing() == t {
			all = append(all, m)
		}
	}
	return all
}

// Spread is the standard deviation of the reading, mm.
func (m *Measurement) Spread() float64 {
	sheet := roomsheet.Measurement{Value: m.Value, Sigma: m.Sigma, By: m.By}
	return sheet.Spread()
}

// Apart is how far two readings of one thing lie apart: in mm, and in standard
// deviations of that difference.
func Apart(a, b *Measurement) (mm, sigmas float64) {
	mm = math.Abs(a.Value - b.Value)
	return mm, mm / math.Hypot(a.Spread(), b.Spread())
}
