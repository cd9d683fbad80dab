package geometry

import (
	"encoding/json"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// drawn draws a simulated surface.
func drawn(t *rapid.T, exact bool) simulated {
	sh := shape{
		positions: rapid.IntRange(1, 9).Draw(t, "positions"),
		offsets:   rapid.IntRange(2, 5).Draw(t, "offsets"),
		distances: rapid.Bool().Draw(t, "distances"),
		point:     rapid.Bool().Draw(t, "point"),
		lean:      rapid.Bool().Draw(t, "lean"),
		skew:      rapid.SampledFrom([]float64{0, 0, 10}).Draw(t, "skew"),
		spans:     rapid.Bool().Draw(t, "spans"),
		thickness: rapid.Bool().Draw(t, "thickness"),
		states:    rapid.Bool().Draw(t, "states"),
		exact:     exact,
	}
	return simulate(rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 7)), sh)
}

func sameFloat(t *rapid.T, what string, got, want, tolerance float64) {
	t.Helper()
	if !(math.Abs(got-want) <= tolerance*(1+math.Abs(want))) && !(math.IsInf(got, 1) && math.IsInf(want, 1)) {
		t.Fatalf("%s: %.12g and %.12g", what, got, want)
	}
}

// TestTurningAndShiftingTheFrameChangesNothing (law): what is marked, how sure
// it is and how it fits do not depend on where the surface's frame lies.
func TestTurningAndShiftingTheFrameChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sim := drawn(t, false)
		f := frameMap{rapid.Float64Range(-4, 4).Draw(t, "turn"), Vec{rapid.Float64Range(-9000, 9000).Draw(t, "u"),
			rapid.Float64Range(-9000, 9000).Draw(t, "v")}}
		sameAnswer(t, Solve(sim.Surface), Solve(f.surface(sim.Surface)), f)
	})
}

func (f frameMap) surface(s *Surface) *Surface {
	moved := *s
	moved.Datums, moved.Timbers = slices.Clone(s.Datums), slices.Clone(s.Timbers)
	for k := range moved.Datums {
		moved.Datums[k].A, moved.Datums[k].B = f.of(s.Datums[k].A), f.of(s.Datums[k].B)
	}
	for k := range moved.Timbers {
		moved.Timbers[k].A, moved.Timbers[k].B = f.of(s.Timbers[k].A), f.of(s.Timbers[k].B)
	}
	return &moved
}

func sameAnswer(t *rapid.T, a, b *Answer, f frameMap) {
	t.Helper()
	for i := range a.Positions {
		p, q := &a.Positions[i], &b.Positions[i]
		if p.Determinate != q.Determinate || p.Checked != q.Checked || p.Clears != q.Clears {
			t.Fatalf("position %d: %+v and %+v", i, p, q)
		}
		sameFloat(t, "place", f.of(p.At).distance(q.At), 0, 1e-6)
		for d := range p.SetOut {
			sameFloat(t, "set-out", p.SetOut[d].Value, q.SetOut[d].Value, 1e-8)
			sameFloat(t, "set-out sigma", p.SetOut[d].Sigma, q.SetOut[d].Sigma, 1e-6)
		}
		if (p.Mark == nil) != (q.Mark == nil) {
			t.Fatalf("position %d: a mark in one frame only", i)
		}
		if p.Mark == nil {
			continue
		}
		sameFloat(t, "trace of the mark", p.Mark.Cov.Trace(), q.Mark.Cov.Trace(), 1e-6)
		sameFloat(t, "find", p.Find, q.Find, 1e-7)
		sameFloat(t, "planned find", p.Plan.Find, q.Plan.Find, 1e-5)
		for k := range p.Timbers {
			sameFloat(t, "hit", p.Timbers[k].Hit, q.Timbers[k].Hit, 1e-6)
			sameFloat(t, "gap", p.Timbers[k].Gap, q.Timbers[k].Gap, 1e-6)
		}
	}
	for k := range a.Measurements {
		m, n := &a.Measurements[k], &b.Measurements[k]
		sameFloat(t, "redundancy", m.Redundancy, n.Redundancy, 1e-7)
		sameFloat(t, "w", m.W, n.W, 1e-5)
		if m.ReadsAs != n.ReadsAs {
			t.Fatalf("measurement %d reads as %d and %d", k, m.ReadsAs, n.ReadsAs)
		}
	}
	sameFloat(t, "sum", a.Fit.Sum, b.Fit.Sum, 1e-6)
}

// TestReversingTheOrderChangesNothing (law): of positions, measurements, datums
// and timbers. (To the last bit once the room sheet has sorted them.)
func TestReversingTheOrderChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sim := drawn(t, false)
		a, b := Solve(sim.Surface), Solve(reversed(sim.Surface))
		slices.Reverse(b.Positions)
		slices.Reverse(b.Measurements)
		for i := range b.Positions {
			slices.Reverse(b.Positions[i].SetOut)
			slices.Reverse(b.Positions[i].Timbers)
		}
		sameAnswer(t, a, b, frameMap{})
	})
}

func reversed(s *Surface) *Surface {
	r := *s
	r.Positions, r.Datums = slices.Clone(s.Positions), slices.Clone(s.Datums)
	r.Timbers, r.Measurements = slices.Clone(s.Timbers), slices.Clone(s.Measurements)
	slices.Reverse(r.Positions)
	slices.Reverse(r.Datums)
	slices.Reverse(r.Timbers)
	slices.Reverse(r.Measurements)
	for k := range r.Measurements {
		z := &r.Measurements[k]
		if z.Kind == Offset || z.Kind == Distance {
			z.Of = len(s.Positions) - 1 - z.Of
		}
		if z.Kind != Distance {
			z.From = len(s.Datums) - 1 - z.From
		} else {
			z.To = len(s.Positions) - 1 - z.To
		}
		if z.Kind == Span {
			z.To = len(s.Datums) - 1 - z.To
		}
	}
	return &r
}

// TestAConsistentExtraMeasurementNeverRaisesASigma (law): an offset that says
// just what the others say makes no set-out less sure.
func TestAConsistentExtraMeasurementNeverRaisesASigma(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sim := drawn(t, true)
		before := Solve(sim.Surface)
		i, d := rapid.IntRange(0, len(sim.at)-1).Draw(t, "of"), rapid.IntRange(0, 3).Draw(t, "from")
		z := Measurement{Kind: Offset, Of: i, From: d, State: rapid.IntRange(0, 3).Draw(t, "state"),
			Sigma: rapid.Float64Range(0.5, 20).Draw(t, "sigma")}
		z.Value = sim.value(newModel(sim.Surface), z)
		sim.Measurements = append(sim.Measurements, z)
		after := Solve(sim.Surface)
		for k := range before.Positions {
			if !before.Positions[k].Determinate {
				continue
			}
			for f, was := range before.Positions[k].SetOut {
				if is := after.Positions[k].SetOut[f]; is.Sigma > was.Sigma*(1+1e-9) {
					t.Fatalf("position %d from datum %d: sigma rose from %.12g to %.12g", k, f, was.Sigma, is.Sigma)
				}
			}
		}
	})
}

// TestAFacesNowChangesItsOwnOffsetsOnly (law).
func TestAFacesNowChangesItsOwnOffsetsOnly(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sim := drawn(t, false)
		before := Solve(sim.Surface)
		face := rapid.IntRange(0, 3).Draw(t, "face")
		other := *sim.Surface
		other.Datums = slices.Clone(sim.Datums)
		other.Datums[face].Now = (sim.Datums[face].Now + 1) % 4
		after := Solve(&other)
		for k := range before.Positions {
			p, q := &before.Positions[k], &after.Positions[k]
			if p.Determinate != q.Determinate || p.At != q.At || p.Cov != q.Cov {
				t.Fatalf("position %d moved", k)
			}
			for f := range p.SetOut {
				if same := p.SetOut[f] == q.SetOut[f]; same == (f == face) {
					t.Fatalf("position %d from datum %d: same is %v", k, f, same)
				}
			}
		}
	})
}

// TestNoiseFreeInputComesBackExact (law): to a millionth of a millimetre.
func TestNoiseFreeInputComesBackExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sim := drawn(t, true)
		a, m := Solve(sim.Surface), newModel(sim.Surface)
		for i := range a.Positions {
			if !a.Positions[i].Determinate {
				t.Fatalf("position %d is not determinate", i)
			}
			if d := a.Positions[i].At.distance(sim.at[i]); d > 1e-6 {
				t.Fatalf("position %d is off by %g mm", i, d)
			}
			for k := range 5 {
				if d := math.Abs(a.Positions[i].SetOut[k].Value - sim.offsetNow(m, i, k)); d > 1e-6 {
					t.Fatalf("position %d from datum %d is off by %g mm", i, k, d)
				}
			}
		}
	})
}

// TestEverythingIsANumber: whatever is measured, however badly, no answer holds
// a NaN, and nothing is infinite but an mdb.
func TestEverythingIsANumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		sim := drawn(t, false)
		for k := range sim.Measurements {
			switch rapid.IntRange(0, 5).Draw(t, "spoil") {
			case 0:
				sim.Measurements[k].Value = rapid.Float64Range(0, 100_000).Draw(t, "value")
			case 1:
				sim.Measurements[k].Value = 0
			case 2:
				sim.Measurements[k].State = Unrecorded
			}
		}
		a := Solve(sim.Surface)
		for k := range a.Measurements {
			a.Measurements[k].MDB = 0
		}
		if _, err := json.Marshal(a); err != nil {
			t.Fatal(err)
		}
	})
}
