package main

import (
	"math"
	"math/rand/v2"

	"lathmark/domain/geometry"
)

// offset returns the true offset of a place from datum d in a state of it; own is
// how many of the ceiling's layers are on.
func (s *site) offset(p geometry.Vec, d, state, own int) float64 {
	datum := &s.known.Datums[d]
	lean := datum.Lean * math.Pi / 180
	value := across(datum, p) - s.shift[d]
	for _, t := range s.layers[d][:state] {
		value -= t / math.Cos(lean)
	}
	if lean != 0 {
		for _, t := range s.own[:own] {
			value += t * math.Tan(lean)
		}
	}
	return value
}

// tapeSigma returns the standard deviation of a class II tape read and held by hand
// (limit of error in the EU's measuring-instruments rules taken as even, and
// 2 mm for reading and holding it, common practice).
func tapeSigma(value float64) float64 {
	limit := 0.3 + 0.2*math.Ceil(value/1000)
	return math.Hypot(limit/math.Sqrt(3), 2)
}

// readTape returns one reading of a true value, misread now and then.
func readTape(rng *rand.Rand, value float64) float64 {
	read := value + tapeSigma(value)*rng.NormFloat64()
	if rng.Float64() < misread {
		read += [3]float64{10, 50, 100}[rng.IntN(3)] * float64(1-2*rng.IntN(2))
	}
	return math.Max(0, math.Round(read))
}

// note tapes position i from datum d when the face is in a state, and writes
// down a state that is now and then the wrong one.
func (s *site) note(rng *rand.Rand, i, d, state int) geometry.Measurement {
	value := readTape(rng, s.offset(s.tape[i], d, state, 0))
	noted := state
	if n := len(s.known.Datums[d].Layers); n > 0 && rng.Float64() < wrongState {
		noted = (state + 1 + rng.IntN(n)) % (n + 1)
	}
	return geometry.Measurement{Kind: geometry.Offset, Of: i, From: d, State: noted, Value: value, Sigma: tapeSigma(value)}
}

// firstFix is the notebook of a room: for each tail two readings each way, the
// one that a raw note would have first, and the room's spans.
type firstFix struct {
	notes []geometry.Measurement // four for each tail: across, along, and again
	spans []geometry.Measurement
	state []int // by datum: the state the faces were really in
}

func (s *site) firstFix(rng *rand.Rand) firstFix {
	f := firstFix{state: make([]int, len(s.known.Datums))}
	for d := range f.state {
		if n := len(s.known.Datums[d].Layers); n > 0 {
			f.state[d] = [4]int{0, 0, 0, min(n, 2)}[rng.IntN(4)] // mostly bare, some boarded already
		}
	}
	for i := range s.tape {
		ways := s.ways(i)
		for again := range 2 {
			for _, way := range ways {
				d := way[again%len(way)]
				f.notes = append(f.notes, s.note(rng, i, d, f.state[d]))
			}
		}
	}
	f.spans = s.spans(rng, f.state)
	return f
}

// ways lists, across the room and along it, the datums that position i can be
// taped from, the nearest first.
func (s *site) ways(i int) [2][]int {
	var ways [2][]int
	for d := range s.known.Datums {
		datum := &s.known.Datums[d]
		off := across(datum, s.tape[i])
		if off < 100 || datum.Kind == geometry.Face && beside(datum, s.tape[i]) {
			continue
		}
		way := 0
		if math.Abs(normal(datum).U) > math.Abs(normal(datum).V) {
			way = 1
		}
		ways[way] = append(ways[way], d)
		for k := len(ways[way]) - 1; k > 0; k-- {
			before := ways[way][k-1]
			if across(&s.known.Datums[before], s.tape[i]) > off {
				ways[way][k-1], ways[way][k] = d, before
			}
		}
	}
	return ways
}

// spans tapes every pair of faces that look squarely at each other.
func (s *site) spans(rng *rand.Rand, state []int) []geometry.Measurement {
	var list []geometry.Measurement
	for b := range s.known.Datums {
		for a := range b {
			from, to := &s.known.Datums[a], &s.known.Datums[b]
			n, m := normal(from), normal(to)
			if from.Kind != geometry.Face || to.Kind != geometry.Face || n.U*m.U+n.V*m.V > -0.9999 {
				continue
			}
			middle := geometry.Vec{U: (to.A.U + to.B.U) / 2, V: (to.A.V + to.B.V) / 2}
			if beside(from, middle) {
				continue
			}
			value := s.offset(middle, a, state[a], 0) + s.offset(middle, b, state[b], 0)
			read := readTape(rng, value)
			list = append(list, geometry.Measurement{Kind: geometry.Span, From: a, To: b, State: state[a], ToState: state[b],
				Value: read, Sigma: tapeSigma(read)})
		}
	}
	return list
}
