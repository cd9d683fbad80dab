package geometry

import (
	"math"
	"math/rand/v2"
	"testing"
)

var shapes = map[string]shape{
	"two offsets":        {positions: 5, offsets: 2},
	"one position":       {positions: 1, offsets: 2},
	"redundant":          {positions: 8, offsets: 4, states: true, spans: true, thickness: true},
	"with a steel":       {positions: 8, offsets: 5, states: true},
	"lean":               {positions: 6, offsets: 4, lean: true, states: true},
	"chain of distances": {positions: 12, offsets: 3, distances: true, states: true, spans: true},
	"stack":              {positions: 6, offsets: 3, point: true, states: true},
	"all kinds": {positions: 9, offsets: 4, point: true, distances: true, lean: true, states: true,
		spans: false, thickness: true},
	"out of square by 10°": {positions: 6, offsets: 4, skew: 10, states: true, spans: true},
}

// TestTwin: the sparse solution is the dense one: places, covariances,
// residual tests, set-outs, fit and first hole.
func TestTwin(t *testing.T) {
	for name, sh := range shapes {
		for seed := range uint64(4) {
			sim := simulate(rand.New(rand.NewPCG(seed, 1)), sh)
			a := Solve(sim.Surface)
			start := starts(a)
			checkTwin(t, name, seed, sim.Surface, a, start)
		}
	}
}

func starts(a *Answer) []*Vec {
	var start []*Vec
	for i := range a.Positions {
		if p := a.Positions[i]; p.Determinate {
			start = append(start, &p.At)
		} else {
			start = append(start, nil)
		}
	}
	return start
}

func checkTwin(t *testing.T, name string, seed uint64, s *Surface, a *Answer, start []*Vec) {
	t.Helper()
	tw := newTwin(s, start)
	x := tw.solution()
	same := func(what string, got, want, scale float64) {
		t.Helper()
		if !(math.Abs(got-want) <= 1e-6*scale) {
			t.Errorf("%s, seed %d: %s: got %.9g, the twin %.9g", name, seed, what, got, want)
		}
	}
	total := 0.0
	for i := range a.Positions {
		p := &a.Positions[i]
		if !p.Determinate {
			t.Fatalf("%s, seed %d: position %d is not determinate", name, seed, i)
		}
		same("u", p.At.U, x.nodes[i].U, 1)
		same("v", p.At.V, x.nodes[i].V, 1)
		n := 2 * i
		same("cov", p.Cov.UV, tw.cov.At(n, n+1), 100)
		same("cov", p.Cov.UU, tw.cov.At(n, n), 100)
		for d := range s.Datums {
			row := tw.offsetRow(i, d)
			same("set-out sigma", p.SetOut[d].Sigma, math.Sqrt(tw.covOf(row, row)), 10)
		}
	}
	for k, m := range a.Measurements {
		redundancy, w := tw.w(k)
		total += redundancy
		same("redundancy", m.Redundancy, redundancy, 1)
		same("w", m.W, w, 10)
	}
	for d := range s.Datums {
		for l := range s.Datums[d].Layers {
			at := tw.m.layer(d, l)
			same("layer", a.Layers[d][l].Thickness, x.shared[at], 1)
			g := 2*len(x.nodes) + at
			same("layer sigma", a.Layers[d][l].Sigma, math.Sqrt(tw.cov.At(g, g)), 10)
		}
	}
	sum := 0.0
	for _, r := range tw.resid {
		sum += r * r
	}
	same("sum", a.Fit.Sum, sum, 1+sum)
	plain := tw.answer(start)
	for i := range a.Positions {
		if (a.Positions[i].Mark == nil) != (plain.Positions[i].Mark == nil) {
			t.Fatalf("%s, seed %d: position %d has a mark here or there only", name, seed, i)
		}
		if m := a.Positions[i].Mark; m != nil {
			same("trace of the mark", m.Cov.Trace(), plain.Positions[i].Mark.Cov.Trace(), 1)
			same("what it teaches", a.Positions[i].Teaches, plain.Positions[i].Teaches, 1000)
		}
	}
}

// TestSumOfRedundancies: the redundancies of all measurements and priors add
// up to the degrees of freedom (Baarda 1968).
func TestSumOfRedundancies(t *testing.T) {
	for name, sh := range shapes {
		sim := simulate(rand.New(rand.NewPCG(3, 3)), sh)
		m := newModel(sim.Surface)
		_, a := settleAll(m)
		r := newReading(a)
		sum := 0.0
		for _, z := range r.measurements() {
			sum += z.Redundancy
		}
		for k, sigma := range m.sigma {
			y := a.fac.sharedImage([]term{{k, 1 / sigma}})
			sum += 1 - y.dot(y)
		}
		within(t, name, sum, float64(r.fit().DOF), 1e-8)
	}
}
