package gate

import (
	"cmp"
	"math"
	"slices"

	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Disagreement is two readings of one thing that lie further apart than their
// spreads allow: one of them is wrong.
type Disagreement struct {
	First, Second *room.Measurement // as they were taken
	// Odd is the one that lies further from the middle of all readings of the thing;
	// of two alone the second.
	Odd *room.Measurement
	// All are the readings of the thing that stand.
	All []*room.Measurement
}

// Disagree returns of the readings of one thing the two that lie furthest apart, if
// that is over DifferLimit standard deviations of their difference.
func Disagree(all []*room.Measurement) (d Disagreement, apart bool) {
	d.All = all
	most := float64(DifferLimit)
	for k, second := range all {
		for _, first := range all[:k] {
			if _, sigmas := room.Apart(first, second); sigmas > most {
				most, d.First, d.Second, apart = sigmas, first, second, true
			}
		}
	}
	if !apart {
		return d, false
	}
	values := make([]float64, len(all))
	for i, m := range all {
		values[i] = m.Value
	}
	slices.Sort(values)
	middle := (values[(len(values)-1)/2] + values[len(values)/2]) / 2
	d.Odd = d.Second
	if math.Abs(d.First.Value-middle) > math.Abs(d.Second.Value-middle) {
		d.Odd = d.First
	}
	return d, true
}

// Says says what is on record and how far the other is from it: "611 was recorded by
// Ola Brandt on Tuesday 3 March; 1611 differs by 1000". by may be empty.
func (d Disagreement) Says(r *room.Record, by string) string {
	first, one := r.Said(d.First.From, d.First.Value)
	second, other := r.Said(d.Second.From, d.Second.Value)
	says, of := words.MM(first), words.MM(second)
	if one != other {
		says, of = says+" "+one, of+" "+other
	}
	if says += " was recorded"; by != "" {
		says += " by " + by
	}
	mm, _ := room.Apart(d.First, d.Second)
	return says + " on " + words.Day(d.First.TakenAt) + "; " + of + " differs by " + words.MM(mm)
}

// Mend says what mends it.
func (d Disagreement) Mend() string {
	if len(d.All) > 2 {
		return "Strike out the one that is wrong"
	}
	return "One of them is wrong: replace it, or measure a third time"
}

// disagreements are those of a record, a thing each, in the order of their second
// readings. Where a tail was found under the boards says nothing against where it was
// left; a reading without its datum's state is against none.
func (j *Judged) disagreements() (out []Disagreement) {
	things := map[room.Thing][]*room.Measurement{}
	for i := range j.Measurements {
		if m := &j.Measurements[i]; m.Stands() && m.Stage < words.SecondFix {
			if wrong, _ := j.missing(m); wrong == "" {
				things[m.Thing()] = append(things[m.Thing()], m)
			}
		}
	}
	for _, all := range things {
		if d, apart := Disagree(all); apart {
			out = append(out, d)
		}
	}
	slices.SortFunc(out, func(a, b Disagreement) int {
		return cmp.Or(a.Second.TakenAt.Compare(b.Second.TakenAt), cmp.Compare(a.Second.ID.String(), b.Second.ID.String()))
	})
	return out
}

// Disagreeing returns the disagreement that a reading is part of.
func (j *Judged) Disagreeing(m *room.Measurement) (d Disagreement, is bool) {
	i := slices.IndexFunc(j.apart, func(d Disagreement) bool {
		return slices.ContainsFunc(d.All, func(o *room.Measurement) bool { return o.ID == m.ID })
	})
	if i < 0 {
		return d, false
	}
	return j.apart[i], true
}

// disagree asks at first fix about everything that its sums rest on, and at a later
// stage about what came in with it.
func disagree(s words.Stage) func(*Judged) []Obstacle {
	return func(j *Judged) (out []Obstacle) {
		for _, d := range j.apart {
			if s == words.FirstFix || d.Second.Stage == s {
				out = append(out, j.ofMeasurement(d.Odd, "two readings of "+j.nameOf(d.Odd)+" disagree: "+d.Says(j.Record, ""),
					d.Mend()))
			}
		}
		return out
	}
}
