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
