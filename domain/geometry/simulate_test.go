package geometry

import (
	"math"
	"math/rand/v2"
)

// simulated is a surface with the truth that its measurements were drawn from.
type simulated struct {
	*Surface
	at    []Vec     // by position
	truth []float64 // by shared unknown, as model numbers them
}

// shape says what to simulate.
type shape struct {
	positions  int
	offsets    int  // per position, from different datums while they last
	distances  bool // a chain of straight distances between neighbours
	point      bool // a stack, and straight distances from it
	lean       bool // the south face leans
	skew       float64
	spans      bool
	thickness  bool
	exact      bool // no noise and the truth at the priors
	states     bool // measurements in all states, else all bare
	firstState int
}

// simulate draws a room: four faces about 4 by 3 m turned by a random angle,
// each with a build-up of three layers, a steel, joists; truth drawn from the
// priors and measurements from the truth.
func simulate(rng *rand.Rand, sh shape) simulated {
	s := &Surface{Layers: []Layer{{12.5, 0.5}, {3, 1}}, Now: 2}
	frame := newFrame(rng)
	w, h := 3000+2000*rng.Float64(), 2400+1500*rng.Float64()
	k := math.Tan(sh.skew * math.Pi / 180)
	corners := []Vec{{0, 0}, {w, 0}, {w + k*h, h}, {k * h, h}}
	for i := range 4 {
		d := Datum{Kind: Face, A: frame.of(corners[i]), B: frame.of(corners[(i+1)%4]), Sigma: 10}
		d.Layers = []Layer{{17.5, 4.3}, {12.5, 0.5}, {8 + 4*rng.Float64(), 1.5}}
		d.Now = 1 + rng.IntN(3)
		if sh.lean && i == 0 {
			d.Lean = 35
		}
		s.Datums = append(s.Datums, d)
	}
	s.Datums = append(s.Datums, Datum{Kind: FixedLine, A: frame.of(Vec{0, h * 0.4}), B: frame.of(Vec{w, h * 0.4}),
		Sigma: 2})
	if sh.point {
		s.Datums = append(s.Datums, Datum{Kind: FixedPoint, A: frame.of(Vec{w * 0.9, h * 0.85}), Sigma: 2})
	}
	for u := 300.0; u < w; u += 400 {
		s.Timbers = append(s.Timbers, Timber{A: frame.of(Vec{u, 0}), B: frame.of(Vec{u + k*h, h}), Width: 47, Sigma: 5})
	}
	sim := simulated{Surface: s}
	m := newModel(s)
	for i := range m.prior {
		v := m.prior[i]
		if !sh.exact {
			v += m.sigma[i] * rng.NormFloat64()
		}
		sim.truth = append(sim.truth, v)
	}
	for range sh.positions {
		v := h * (0.1 + 0.8*rng.Float64())
		p := Vec{k*v + w*(0.1+0.8*rng.Float64()), v}
		sim.at = append(sim.at, frame.of(p))
		s.Positions = append(s.Positions, Position{Cutout: 76, Reach: 78, TailSigma: 10})
	}
	sim.measure(rng, sh, m)
	return sim
}

// frameMap turns and shifts the room's own frame.
type frameMap struct {
	turn  float64
	shift Vec
}

func newFrame(rng *rand.Rand) frameMap {
	return frameMap{rng.Float64() * 2 * math.Pi, Vec{rng.Float64() * 5000, rng.Float64() * 5000}}
}

func (f frameMap) of(p Vec) Vec {
	sin, cos := math.Sincos(f.turn)
	return Vec{cos*p.U - sin*p.V, sin*p.U + cos*p.V}.plus(f.shift)
}

// measure takes the readings.
func (sim *simulated) measure(rng *rand.Rand, sh shape, m *model) {
	state := func(datum int) int {
		if !sh.states {
			return sh.firstState
		}
		return rng.IntN(len(sim.Datums[datum].Layers) + 1)
	}
	for i := range sim.at {
		order := [][]int{{0, 1, 2, 3, 4}, {1, 2, 3, 0, 4}, {2, 3, 4, 0, 1}, {3, 0, 1, 2, 4}}[rng.IntN(4)]
		for _, d := range order[:sh.offsets] {
			z := Measurement{Kind: Offset, Of: i, From: d}
			if sim.Datums[d].Kind == Face {
				z.State, z.SurfaceState = state(d), rng.IntN(3)
			} else if sim.below(i, d, m) {
				continue // a line counts to its left only
			}
			sim.take(rng, sh, m, z, 2.05)
		}
		if sh.point && i%2 == 0 {
			sim.take(rng, sh, m, Measurement{Kind: Offset, Of: i, From: 5}, 2.2)
		}
		if sh.distances && i > 0 {
			sim.take(rng, sh, m, Measurement{Kind: Distance, Of: i, To: i - 1}, 2.2)
		}
	}
	if sh.spans {
		sim.take(rng, sh, m, Measurement{Kind: Span, From: 0, To: 2, State: state(0), ToState: state(2)}, 2.3)
		sim.take(rng, sh, m, Measurement{Kind: Span, From: 1, To: 3, State: state(1), ToState: state(3)}, 2.4)
	}
	if sh.thickness {
		sim.take(rng, sh, m, Measurement{Kind: Thickness, From: 1, State: 2}, 1)
	}
}

func (sim *simulated) below(i, datum int, m *model) bool {
	return m.normal[datum].dot(sim.at[i].minus(sim.Datums[datum].A)) < 50
}

func (sim *simulated) take(rng *rand.Rand, sh shape, m *model, z Measurement, sigma float64) {
	z.Sigma = sigma
	z.Value = sim.value(m, z)
	if !sh.exact {
		z.Value += sigma * rng.NormFloat64()
	}
	sim.Measurements = append(sim.Measurements, z)
}

// value returns what a perfect reading would say.
func (sim *simulated) value(m *model, z Measurement) float64 {
	node := make([]int, len(sim.at))
	for i := range node {
		node[i] = i
	}
	z.Value = 0
	e := m.equation(&z, node, solution{nodes: sim.at, shared: sim.truth})
	return -e.rhs
}

// offsetNow returns the true offset of position i from a face or line today.
func (sim *simulated) offsetNow(m *model, i, datum int) float64 {
	z := Measurement{Kind: Offset, Of: i, From: datum, State: sim.Datums[datum].Now, SurfaceState: sim.Now}
	return sim.value(m, z)
}
