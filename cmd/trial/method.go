package main

import (
	"math"
	"math/rand/v2"

	"lathmark/domain/geometry"
)

// hole is one hole as it was opened.
type hole struct {
	found    bool    // the tail was within reach
	onTimber bool    // the hole cut a timber
	warned   bool    // a warning about it stood when it was opened
	find     float64 // the chance of finding that was given (adjustment only)
	hit      float64 // the chance of cutting a timber that was given
}

// open opens a hole that is marked at two offsets from the faces as they are
// today.
func (s *site) open(i int, from [2]int, offsets [2]float64) hole {
	h := s.centre(from, offsets)
	out := hole{found: math.Hypot(h.U-s.tail[i].U, h.V-s.tail[i].V) <= reach}
	for k := range s.timbers {
		if math.Abs(h.U-s.timbers[k].A.U) < s.timbers[k].Width/2+cutout/2 {
			out.onTimber = true
		}
	}
	return out
}

// centre returns where two offsets from today's faces really meet.
func (s *site) centre(from [2]int, offsets [2]float64) geometry.Vec {
	n, m := normal(&s.known.Datums[from[0]]), normal(&s.known.Datums[from[1]])
	det := n.U*m.V - n.V*m.U
	zero := geometry.Vec{}
	a := offsets[0] - s.offset(zero, from[0], s.known.Datums[from[0]].Now, s.known.Now)
	b := offsets[1] - s.offset(zero, from[1], s.known.Datums[from[1]].Now, s.known.Now)
	return geometry.Vec{U: (m.V*a - n.V*b) / det, V: (n.U*b - m.U*a) / det}
}

// rawNote marks each tail's first two readings from the faces as they are now.
func (s *site) rawNote(f firstFix) []hole {
	return s.byNote(f, func(z geometry.Measurement) float64 { return z.Value })
}

// byNominal takes the planned build-up since the state noted off the note.
func (s *site) byNominal(f firstFix) []hole {
	return s.byNote(f, func(z geometry.Measurement) float64 {
		d := &s.known.Datums[z.From]
		lean := d.Lean * math.Pi / 180
		value := z.Value
		for _, l := range d.Layers[z.State:] {
			value -= l.Thickness / math.Cos(lean)
		}
		if lean != 0 {
			for _, l := range s.known.Layers[:s.known.Now] {
				value += l.Thickness * math.Tan(lean)
			}
		}
		return value
	})
}

func (s *site) byNote(f firstFix, today func(geometry.Measurement) float64) []hole {
	var list []hole
	for i := range s.tape {
		a, b := f.notes[4*i], f.notes[4*i+1]
		list = append(list, s.open(i, [2]int{a.From, b.From}, [2]float64{today(a), today(b)}))
	}
	return list
}

// heeded returns the adjustment with its warnings heeded: what is suspect is read as
// what it reads as or taped again while the room is open, what is unchecked is
// taped once more; then one hole is opened to prove the set-out and the others
// with its lesson.
func (s *site) heeded(rng *rand.Rand, f firstFix) []hole {
	surface := s.known
	surface.Measurements = append(append([]geometry.Measurement{}, f.notes...), f.spans...)
	answer := s.heed(rng, &surface, f.state)
	list := make([]hole, len(s.tape))
	first := answer.First
	if first >= 0 {
		list[first] = s.openPlanned(first, &surface, answer)
	}
	if first >= 0 && list[first].found && !list[first].onTimber {
		mark := answer.Positions[first].Mark
		for _, d := range mark.From {
			now := surface.Datums[d].Now
			value := s.offset(s.tail[first], d, now, surface.Now)
			surface.Measurements = append(surface.Measurements, geometry.Measurement{
				Kind: geometry.Offset, Of: first, From: d, State: now, SurfaceState: surface.Now,
				Value: value, Sigma: math.Hypot(geometry.FoundSigma, tailSigma),
			})
		}
		answer = geometry.Solve(&surface)
	}
	for i := range list {
		if i != first {
			list[i] = s.openPlanned(i, &surface, answer)
		}
	}
	return list
}

// mostVisits bounds how often one room is taped again.
const mostVisits = 25

// rivals: where another measurement is suspect with a |w| of nearly the
// worst's, the test cannot tell which of them is wrong.
const rivals = 0.95

// heed tapes again what the warnings are about, one thing a time, the worst
// first, until there is nothing left or nobody would go on.
func (s *site) heed(rng *rand.Rand, surface *geometry.Surface, state []int) *geometry.Answer {
	answer := geometry.Solve(surface)
	for range mostVisits {
		worst, alone := worstSuspect(answer)
		switch {
		case worst >= 0:
			s.again(rng, surface, worst, alone, answer.Measurements[worst].ReadsAs, state)
		case s.checkLayers(rng, surface, answer, state):
		case !s.check(rng, surface, answer, state):
			return answer
		}
		answer = geometry.Solve(surface)
	}
	return answer
}

// worstSuspect returns the measurement with the largest |w| of those that are
// suspect, -1 if none is, and whether it has no rival.
func worstSuspect(answer *geometry.Answer) (worst int, alone bool) {
	worst = -1
	for k, m := range answer.Measurements {
		if m.Suspect && (worst < 0 || math.Abs(m.W) > math.Abs(answer.Measurements[worst].W)) {
			worst = k
		}
	}
	alone = true
	for k, m := range answer.Measurements {
		if k != worst && m.Suspect && math.Abs(m.W) > rivals*math.Abs(answer.Measurements[worst].W) {
			alone = false
		}
	}
	return worst, alone
}

// again deals with a suspect: one with a rival gets a third reading that will
// tell; else what it reads as is accepted, or it is replaced by a new reading.
func (s *site) again(rng *rand.Rand, surface *geometry.Surface, k int, alone bool, readsAs int, state []int) {
	z := &surface.Measurements[k]
	switch {
	case z.Kind == geometry.Offset && !alone:
		surface.Measurements = append(surface.Measurements, s.note(rng, z.Of, z.From, state[z.From]))
	case readsAs != geometry.Unrecorded:
		z.State = readsAs
	case z.Kind == geometry.Offset:
		*z = s.note(rng, z.Of, z.From, state[z.From])
	default:
		for _, again := range s.spans(rng, state) {
			if again.From == z.From && again.To == z.To {
				*z = again
			}
		}
	}
}

// checkLayers looks for a build-up that came out unlike the planned one, and
// tapes again those offsets that make it so: of the two groups, with the layer
// noted as on and as not yet on, the smaller. It reports whether there was one.
func (s *site) checkLayers(rng *rand.Rand, surface *geometry.Surface, answer *geometry.Answer, state []int) bool {
	datum, layer, worst := -1, 0, 0.0
	for d, layers := range answer.Layers {
		for l, a := range layers {
			if a.Suspect && math.Abs(a.W) > worst {
				datum, layer, worst = d, l, math.Abs(a.W)
			}
		}
	}
	if datum < 0 {
		return false
	}
	var groups [2][]int
	for k, z := range surface.Measurements {
		if z.Kind == geometry.Offset && z.From == datum {
			on := 0
			if z.State > layer {
				on = 1
			}
			groups[on] = append(groups[on], k)
		}
	}
	again := groups[0]
	if len(again) == 0 || len(groups[1]) > 0 && len(groups[1]) < len(again) {
		again = groups[1]
	}
	for _, k := range again {
		z := &surface.Measurements[k]
		*z = s.note(rng, z.Of, z.From, state[z.From])
	}
	return len(again) > 0
}

// check tapes every unchecked position once more each way and reports whether
// there was any.
func (s *site) check(rng *rand.Rand, surface *geometry.Surface, answer *geometry.Answer, state []int) bool {
	any := false
	for i := range answer.Positions {
		if answer.Positions[i].Checked {
			continue
		}
		any = true
		for _, way := range s.ways(i) {
			surface.Measurements = append(surface.Measurements, s.note(rng, i, way[0], state[way[0]]))
		}
	}
	return any
}

// openPlanned opens a hole as the set-out says, and notes whether a warning
// about it still stood.
func (s *site) openPlanned(i int, surface *geometry.Surface, answer *geometry.Answer) hole {
	p := &answer.Positions[i]
	h := s.open(i, p.Mark.From, p.Plan.Offsets)
	h.find, h.hit = p.Plan.Find, p.Plan.Hit
	h.warned = !p.Checked || !p.Plan.Clears || p.Plan.Find < 0.9
	for k, m := range answer.Measurements {
		z := &surface.Measurements[k]
		of := z.Kind == geometry.Offset && z.Of == i
		h.warned = h.warned || m.Suspect && of
	}
	return h
}
