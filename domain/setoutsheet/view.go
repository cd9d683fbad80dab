package setoutsheet

import (
	"math"

	"lathmark/domain/roomsheet"
)

// view is one solved surface as the sheet looks at it.
type view struct {
	*roomsheet.Solved
	// worst is the largest |w| of the suspect readings that touch a position
	// or a face.
	worst map[thing]float64
	// doubt lists the suspect readings that a position's place depends on,
	// without those that only a worse one pulls off.
	doubt map[string][]string
}

// thing is what a reading touches: a position, or a face (of offsets, spans
// and build-ups). Positions and faces may share names.
type thing struct {
	face bool
	id   string
}

// asBad: two readings that contradict only each other are equally far off, up
// to rounding; then neither counts as pulling the other.
const asBad = 1.02

func newView(s *roomsheet.Solved) *view {
	v := &view{Solved: s, worst: map[thing]float64{}, doubt: map[string][]string{}}
	for i := range s.Answer.Measurements {
		if !s.Answer.Measurements[i].Suspect {
			continue
		}
		m, w := &s.Surface.Measurements[i], math.Abs(s.Answer.Measurements[i].W)
		at := touches(m)
		if m.Kind == "offset" {
			at = append(at, thing{true, m.From})
		}
		for _, t := range at {
			v.worst[t] = max(v.worst[t], w)
		}
	}
	for i := range s.Answer.Measurements {
		if !s.Answer.Measurements[i].Suspect || v.pulled(i) {
			continue
		}
		for _, t := range touches(&s.Surface.Measurements[i]) {
			if !t.face {
				v.doubt[t.id] = append(v.doubt[t.id], s.Surface.Measurements[i].ID)
			}
		}
	}
	return v
}

// touches returns the positions of a reading, or the faces of one without
// positions.
func touches(m *roomsheet.Measurement) []thing {
	switch m.Kind {
	case "offset":
		return []thing{{false, m.Of}}
	case "distance":
		return []thing{{false, m.Of}, {false, m.To}}
	case "span":
		return []thing{{true, m.From}, {true, m.To}}
	}
	return []thing{{true, m.From}}
}

// pulled reports whether a worse reading shares a position with suspect i, or,
// for a span or a build-up, a face.
func (v *view) pulled(i int) bool {
	for _, t := range touches(&v.Surface.Measurements[i]) {
		if v.worst[t] > asBad*math.Abs(v.Answer.Measurements[i].W) {
			return true
		}
	}
	return false
}
