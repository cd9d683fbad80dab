package advice

import (
	"math"

	"lathmark/domain/roomsheet"
)

// Surface is one solved surface with the readings of it that are in doubt.
type Surface struct {
	*roomsheet.Solved
	// Worst is the largest |w| of the suspect readings that touch a position or
	// a face.
	Worst map[Thing]float64
	// doubt lists the suspect readings that a position's place depends on, by
	// place, without those that only a worse one pulls off.
	doubt map[string][]int
}

// Thing is what a reading touches: a position, or a face (of offsets, spans
// and build-ups). Positions and faces may share names.
type Thing struct {
	Face bool
	ID   string
}

// asBad: two readings that contradict only each other are equally far off, up
// to rounding; then neither counts as pulling the other.
const asBad = 1.02

// Look finds the readings of a surface that are in doubt.
func Look(s *roomsheet.Solved) *Surface {
	v := &Surface{Solved: s, Worst: map[Thing]float64{}, doubt: map[string][]int{}}
	for i := range s.Answer.Measurements {
		if !s.Answer.Measurements[i].Suspect {
			continue
		}
		m, w := &s.Surface.Measurements[i], math.Abs(s.Answer.Measurements[i].W)
		at := Touches(m)
		if m.Kind == "offset" {
			at = append(at, Thing{true, m.From})
		}
		for _, t := range at {
			v.Worst[t] = max(v.Worst[t], w)
		}
	}
	for i := range s.Answer.Measurements {
		if !s.Answer.Measurements[i].Suspect || v.Pulled(i) {
			continue
		}
		for _, t := range Touches(&s.Surface.Measurements[i]) {
			if !t.Face {
				v.doubt[t.ID] = append(v.doubt[t.ID], i)
			}
		}
	}
	return v
}

// Touches returns the positions of a reading, or the faces of one without
// positions.
func Touches(m *roomsheet.Measurement) []Thing {
	switch m.Kind {
	case "offset":
		return []Thing{{false, m.Of}}
	case "distance":
		return []Thing{{false, m.Of}, {false, m.To}}
	case "span":
		return []Thing{{true, m.From}, {true, m.To}}
	}
	return []Thing{{true, m.From}}
}

// Pulled reports whether a worse reading shares a position with suspect i, or,
// for a span or a build-up, a face.
func (v *Surface) Pulled(i int) bool {
	for _, t := range Touches(&v.Surface.Measurements[i]) {
		if v.Worst[t] > asBad*math.Abs(v.Answer.Measurements[i].W) {
			return true
		}
	}
	return false
}

// Reading returns what a reading is of: "D7 from north".
func Reading(m *roomsheet.Measurement) string {
	switch m.Kind {
	case "offset":
		return m.Of + " from " + m.From
	case "span":
		return m.From + " to " + m.To
	case "distance":
		return m.Of + " to " + m.To
	}
	return "build-up on " + m.From
}
