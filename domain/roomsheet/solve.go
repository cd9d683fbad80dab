package roomsheet

import (
	"slices"

	"lathmark/domain/geometry"
)

// Solved is one surface with its answer, as the adjustment gives it. All
// indices, those inside Answer too, count records in the document's order.
// Answer holds what the JSON answer leaves out: the hole to open first, the
// set-out lines and the holes as they are to be opened.
type Solved struct {
	Surface  *Surface
	Geometry geometry.Surface
	Answer   geometry.Answer
}

// Solve works out every surface of a room that has passed Check; it panics on
// records that Check would refuse. The order in which records stand in the
// room changes nothing but the order of the answer.
func (r *Room) Solve() []Solved {
	out := make([]Solved, len(r.Surfaces))
	for i := range r.Surfaces {
		out[i] = r.Surfaces[i].Solve()
	}
	return out
}

// Solve works out one surface of a room that has passed Check.
func (s *Surface) Solve() Solved {
	g, o := s.geometry()
	return Solved{Surface: s, Geometry: s.indexed(), Answer: o.restore(geometry.Solve(&g))}
}

// SetOut returns the set-out of a room that has passed Check. The same room returns
// the same answer to the last bit.
func SetOut(r *Room) *Answer {
	out := &Answer{Format: AnswerFormat, Room: r.Room, Surfaces: make([]SurfaceAnswer, len(r.Surfaces))}
	for i, s := range r.Solve() {
		out.Surfaces[i] = s.Outgoing()
	}
	return out
}

// restore turns an answer for records sorted by id into one for records in
// the document's order.
func (o *order) restore(a *geometry.Answer) geometry.Answer {
	out := geometry.Answer{
		Positions:    unsorted(a.Positions, o.positions),
		Layers:       unsorted(a.Layers, o.datums),
		Measurements: unsorted(a.Measurements, o.measurements),
		Fit:          a.Fit,
		First:        -1,
	}
	if a.First >= 0 {
		out.First = o.positions[a.First]
	}
	for i := range out.Positions {
		p := &out.Positions[i]
		p.SetOut = unsorted(p.SetOut, o.datums)
		p.Timbers = unsorted(p.Timbers, o.timbers)
		if p.Mark != nil {
			m := *p.Mark
			m.From = [2]int{o.datums[m.From[0]], o.datums[m.From[1]]}
			p.Mark = &m
		}
	}
	for _, l := range a.Lines {
		l.Datum = o.datums[l.Datum]
		l.Positions = slices.Clone(l.Positions)
		for i, p := range l.Positions {
			l.Positions[i] = o.positions[p]
		}
		slices.Sort(l.Positions)
		out.Lines = append(out.Lines, l)
	}
	return out
}
