package geometry

import (
	"flag"
	"math"
	"math/rand/v2"
	"testing"
)

var ceilings = flag.Int("ceilings", 120, "how many random ceilings the plans are tried on")

// drawnCeiling is a ceiling with joists at some spacing and pitch, doubled or out of
// parallel here and there, noggins, and rows of holes of several sizes, whose tails
// can be reached from near or from far and are known well or badly.
func drawnCeiling(rng *rand.Rand) (*Surface, *Answer) {
	var timbers []Timber
	spacing := []float64{300, 400, 450, 600}[rng.IntN(4)]
	width := []float64{38, 47, 63}[rng.IntN(3)]
	for u := spacing * rng.Float64(); u < 3600; u += spacing {
		at := u + 10*rng.NormFloat64()
		timbers = append(timbers, Timber{Vec{at, 0}, Vec{at + 15*rng.NormFloat64(), 2400}, width, 2 + 6*rng.Float64()})
		if rng.IntN(12) == 0 { // a doubled joist
			timbers = append(timbers, Timber{Vec{at + width, 0}, Vec{at + width, 2400}, width, 5})
		}
		if rng.IntN(3) == 0 {
			v := 300 + 1800*rng.Float64()
			timbers = append(timbers, Timber{Vec{at, v}, Vec{at + spacing, v}, width, 5})
		}
	}
	var spots []spot
	pairs := [][2]int{{south, west}, {south, east}, {north, west}, {west, south}}
	u0, v0 := 200+500*rng.Float64(), 200+400*rng.Float64()
	du, dv := []float64{spacing, 700, 850}[rng.IntN(3)], []float64{600, 750}[rng.IntN(2)]
	for i := range 1 + rng.IntN(4) {
		for k := range 1 + rng.IntN(3) {
			spots = append(spots, spot{Vec{u0 + du*float64(i) + 4*rng.Float64() - 2, v0 + dv*float64(k) + 4*rng.Float64() - 2},
				pairs[rng.IntN(len(pairs))]})
		}
	}
	s, a := roomOf(timbers, spots...)
	for i := range s.Positions {
		cut := []float64{0, 45, 76, 76, 110, 150, 250}[rng.IntN(7)]
		s.Positions[i] = Position{Cutout: cut, Reach: cut/2 + []float64{20, 40, 40, 80}[rng.IntN(4)],
			TailSigma: []float64{5, 10, 20}[rng.IntN(3)]}
		a.Positions[i].Mark.Cov = covOf(rng, 1+9*rng.Float64())
		a.Positions[i].Mark.Frame = covOf(rng, 2+9*rng.Float64())
	}
	return s, a
}

func covOf(rng *rand.Rand, major float64) Cov {
	return turnedCov(major, major*(0.2+0.8*rng.Float64()), 2*math.Pi*rng.Float64())
}

// reachTwin reports whether some place on a grid of 2 mm round a tail clears every
// timber and finds it with at least a chance, the hole moved by no more than limit.
func reachTwin(s *Surface, a *Answer, p int, least, limit float64) bool {
	at, pos := &a.Positions[p], &s.Positions[p]
	c, stray := at.Mark.Cov, pos.TailSigma*pos.TailSigma
	c.UU, c.VV = c.UU+stray, c.VV+stray
	most := math.Floor(min(limit, pos.Reach) / 2)
	for u := -most; u <= most; u++ {
	places:
		for v := -most; v <= most; v++ {
			m := Vec{2 * u, 2 * v}
			if m.length() > limit {
				continue
			}
			for k := range s.Timbers {
				if g := gap(at.At.plus(m), pos.Cutout/2, &s.Timbers[k]); g < -15 ||
					g < 100 && hit(at.At.plus(m), at.Mark.Frame, pos.Cutout/2, &s.Timbers[k]) > HitLimit {
					continue places
				}
			}
			if inCircle(c, m, pos.Reach) >= least {
				return true
			}
		}
	}
	return false
}

// Whatever the ceiling: nobody is sent to cut where the tail is out of reach or a
// timber is in the way, unless the plan says stop; it says stop only where no place
// near by would do; and no line that moves spoils one of its holes.
func TestNobodyIsSentWhereTheTailIsOutOfReach(t *testing.T) {
	const seed = 20261128
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	var n struct{ holes, moved, stopped, needless, lines, stayed int }
	for range *ceilings {
		s, a := drawnCeiling(rng)
		judge(s, roomNormals, a)
		for i := range a.Positions {
			p, pos := &a.Positions[i], &s.Positions[i]
			if pos.Cutout == 0 {
				continue
			}
			n.holes++
			if p.Plan.Move != (Vec{}) {
				n.moved++
			}
			if !p.Plan.Stop() {
				if p.Plan.Move.length() > pos.Reach || p.Plan.Find < FindLimit || p.Plan.Hit > HitLimit {
					t.Fatalf("position %d is to be cut: %+v, reach %v", i, p.Plan, pos.Reach)
				}
				continue
			}
			n.stopped++
			c := newClearing(s.Timbers)
			c.take(p.At, p.Mark.Frame, pos.Cutout/2)
			limit := 0.0
			if worst := c.worst(); worst >= 0 {
				limit = c.spacing(worst) / 2
			}
			if reachTwin(s, a, i, FindLimit, limit-0.1) {
				n.needless++
				t.Errorf("position %d stops (%+v), and the grid finds a place; its own move is %v, reach %v", i, p.Plan,
					p.Move, pos.Reach)
			}
		}
		for _, l := range a.Lines {
			if !l.Clears {
				n.stayed++
			}
			if l.Shift == 0 {
				continue
			}
			n.lines++
			for _, k := range l.Positions {
				if p := &a.Positions[k]; p.Plan.Stop() || p.Plan.Find < FindGood && p.Plan.Find < stays*p.find(s, k) {
					t.Fatalf("line %+v spoils position %d: %+v", l, k, p.Plan)
				}
			}
		}
	}
	t.Logf("%d ceilings, %d holes: %d moved, %d stopped (%d needlessly); %d lines moved, %d stayed", *ceilings, n.holes,
		n.moved, n.stopped, n.needless, n.lines, n.stayed)
	if n.moved == 0 || n.stopped == 0 || n.lines == 0 || n.stayed == 0 {
		t.Error("the ceilings do not try all of it")
	}
}

// find is the chance of finding a tail from where its hole would go alone, worked
// out anew.
func (p *PositionAnswer) find(s *Surface, k int) float64 {
	c, stray := p.Mark.Cov, s.Positions[k].TailSigma*s.Positions[k].TailSigma
	return inCircle(Cov{c.UU + stray, c.UV, c.VV + stray}, p.Move, s.Positions[k].Reach)
}
