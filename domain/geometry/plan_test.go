package geometry

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"
)

// roomNormals are those of a room 3,600 by 2,400: south, east, north, west.
var roomNormals = []Vec{{0, 1}, {-1, 0}, {0, -1}, {1, 0}}

// spot is a hole of 76 mm at a place, marked from two faces of the room.
type spot struct {
	at   Vec
	from [2]int
}

// roomOf returns a room with holes at some spots and what the adjustment would say
// of them.
func roomOf(timbers []Timber, spots ...spot) (*Surface, *Answer) {
	s := &Surface{Timbers: timbers, Datums: []Datum{
		{Kind: Face, A: Vec{0, 0}, B: Vec{3600, 0}, Sigma: 10}, {Kind: Face, A: Vec{3600, 0}, B: Vec{3600, 2400}, Sigma: 10},
		{Kind: Face, A: Vec{3600, 2400}, B: Vec{0, 2400}, Sigma: 10}, {Kind: Face, A: Vec{0, 2400}, B: Vec{0, 0}, Sigma: 10}}}
	a := &Answer{}
	for _, p := range spots {
		s.Positions = append(s.Positions, Position{Cutout: 76, Reach: 78, TailSigma: 10})
		a.Positions = append(a.Positions, PositionAnswer{Determinate: true, At: p.at,
			SetOut: []SetOut{{p.at.V, 3}, {3600 - p.at.U, 3}, {2400 - p.at.V, 3}, {p.at.U, 3}},
			Mark:   &Mark{From: p.from, Cov: Cov{9, 0, 9}, Frame: Cov{16, 0, 16}}})
	}
	return s, a
}

// offCentre is how far a hole of roomOf must keep off a joist's centre line.
var offCentre = 23.5 + 38 + keepOff*math.Sqrt(16+25)

func TestPlanOfAHoleThatClears(t *testing.T) {
	s, a := roomOf([]Timber{joist(1200)}, spot{Vec{900, 628}, [2]int{south, west}})
	judge(s, roomNormals, a)
	p := a.Positions[0]
	if p.Plan.Offsets != [2]float64{628, 900} || p.Plan.Move != (Vec{}) || !p.Plan.Clears || !p.Clears {
		t.Errorf("an unmoved hole is marked by its set-out: %+v", p.Plan)
	}
	if len(p.Timbers) != 1 || p.Timbers[0].Hit != 0 || math.Abs(p.Timbers[0].Gap-238.5) > 1e-9 {
		t.Errorf("timbers %+v, want a gap of 238.5", p.Timbers)
	}
	// Rayleigh: 1 - exp(-R²/2s²) with s² = 9 + 100.
	near(t, "find", p.Find, 1-math.Exp(-78*78/218.0), 1e-9)
	if p.Plan.Find != p.Find {
		t.Errorf("an unmoved hole finds as before: %v, %v", p.Plan.Find, p.Find)
	}
}

func TestPlanOfAHoleThatMoves(t *testing.T) {
	s, a := roomOf([]Timber{joist(800), joist(1200), joist(1600)}, spot{Vec{1190, 628}, [2]int{south, east}})
	judge(s, roomNormals, a)
	p := a.Positions[0]
	by := -(offCentre - 10)
	if p.Plan.Move.distance(Vec{by, 0}) > 0.02 || p.Plan.Move != p.Move {
		t.Errorf("move %v, want %v along u", p.Plan.Move, by)
	}
	near(t, "offset from south", p.Plan.Offsets[0], 628, 1e-12)
	near(t, "offset from east", p.Plan.Offsets[1], 3600-1190-by, 2e-5)
	if p.Plan.Hit > HitLimit || p.Plan.Hit < 0.99*HitLimit || !p.Plan.Clears {
		t.Errorf("hit %v, want just below %v", p.Plan.Hit, HitLimit)
	}
	want := inCircle(Cov{109, 0, 109}, Vec{by, 0}, 78)
	near(t, "find after the move", p.Plan.Find, want, 1e-4)
	if p.Plan.Find >= p.Find {
		t.Errorf("moving off the tail makes it no surer: %v, was %v", p.Plan.Find, p.Find)
	}
}

func TestPlanThinCases(t *testing.T) {
	bay := []Timber{joist(800), joist(1200), joist(1600)}
	s, a := roomOf(bay, spot{Vec{1200, 600}, [2]int{south, west}}, spot{Vec{1200, 900}, [2]int{south, west}},
		spot{Vec{1200, 1800}, [2]int{south, west}}, spot{})
	s.Positions[0].Cutout = 360       // larger than the gap between joists
	s.Positions[1].Cutout = 0         // no hole is judged
	a.Positions[3] = PositionAnswer{} // not determinate
	a.Positions[2].Mark = nil
	judge(s, roomNormals, a)
	if p := a.Positions[0]; p.Clears || p.Plan.Clears || p.Move != (Vec{}) || p.Plan.Move != (Vec{}) ||
		p.Plan.Hit < 0.999 || p.Plan.Offsets != [2]float64{600, 1200} {
		t.Errorf("too large to clear: %+v", p)
	}
	if p := a.Positions[1]; p.Timbers != nil || !p.Clears || !p.Plan.Clears || p.Find == 0 ||
		p.Plan.Offsets != [2]float64{900, 1200} {
		t.Errorf("no hole: %+v", p)
	}
	for _, i := range []int{2, 3} {
		if p := a.Positions[i]; p.Timbers != nil || p.Find != 0 || p.Clears || p.Plan != (Plan{}) {
			t.Errorf("no mark: %+v", p)
		}
	}
	if len(a.Lines) != 0 {
		t.Errorf("lines %+v, want none: each would serve one hole", a.Lines)
	}
	empty, none := roomOf(bay)
	judge(empty, roomNormals, none)
	if none.Lines != nil {
		t.Errorf("a room without positions has lines: %+v", none.Lines)
	}
}

// Whatever the ceiling: the plan clears or says that it does not, its offsets
// are the set-out's carried along by the move, its odds those of its place.
func TestPlanHoldsTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, a := drawRoom(t)
		judge(s, roomNormals, a)
		for i := range a.Positions {
			p, r := &a.Positions[i], s.Positions[i].Cutout/2
			worst := 0.0
			for k := range s.Timbers {
				worst = max(worst, hit(p.At.plus(p.Plan.Move), p.Mark.Frame, r, &s.Timbers[k]))
			}
			if math.Abs(worst-p.Plan.Hit) > 1e-12 || p.Plan.Clears != (worst <= HitLimit) {
				t.Fatalf("position %d: hit %v, plan %+v", i, worst, p.Plan)
			}
			if !p.Plan.Clears && p.Plan.Move != (Vec{}) {
				t.Fatalf("position %d: %+v", i, p)
			}
			for k, d := range p.Mark.From {
				want := p.SetOut[d].Value + roomNormals[d].dot(p.Plan.Move)
				if p.Plan.Offsets[k] != want || p.Plan.Move == (Vec{}) && want != p.SetOut[d].Value {
					t.Fatalf("position %d: offsets %v", i, p.Plan.Offsets)
				}
			}
		}
	})
}

// The order of positions and of timbers changes nothing that a tape could show:
// two timbers may name the same edge by sums that differ in their last bit.
func TestJudgeOrderChangesNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, a := drawRoom(t)
		index := make([]int, len(s.Positions))
		for i := range index {
			index[i] = i
		}
		order := rapid.Permutation(index).Draw(t, "order")
		s2, a2 := *s, &Answer{}
		s2.Positions = nil
		s2.Timbers = rapid.Permutation(s.Timbers).Draw(t, "timbers")
		for _, i := range order {
			s2.Positions = append(s2.Positions, s.Positions[i])
			a2.Positions = append(a2.Positions, a.Positions[i])
		}
		judge(s, roomNormals, a)
		judge(&s2, roomNormals, a2)
		for k, i := range order {
			p, q := a.Positions[i], a2.Positions[k]
			p.Timbers, q.Timbers = nil, nil
			if d := cmp.Diff(p, q, cmpopts.EquateApprox(0, 1e-9)); d != "" {
				t.Fatalf("position %d: %s", i, d)
			}
		}
		if len(a.Lines) != len(a2.Lines) {
			t.Fatalf("%d lines, then %d", len(a.Lines), len(a2.Lines))
		}
		for i, l := range a.Lines {
			m := a2.Lines[i]
			same := map[int]bool{}
			for _, p := range m.Positions {
				same[order[p]] = true
			}
			for _, p := range l.Positions {
				delete(same, p)
			}
			if len(same) > 0 || len(l.Positions) != len(m.Positions) || l.Datum != m.Datum ||
				math.Abs(l.Shift-m.Shift) > 1e-9 || l.Clears != m.Clears || math.Abs(l.Offset-m.Offset) > 1e-9 {
				t.Fatalf("line %+v, then %+v", l, m)
			}
		}
	})
}

// drawRoom draws rows and columns of holes, some a millimetre or two out of
// line, over joists and noggins.
func drawRoom(t *rapid.T) (*Surface, *Answer) {
	var timbers []Timber
	spacing := rapid.SampledFrom([]float64{400, 600}).Draw(t, "spacing")
	first := rapid.Float64Range(0, spacing).Draw(t, "first joist")
	for u := first; u < 3600; u += spacing {
		timbers = append(timbers, joist(u))
	}
	for range rapid.IntRange(0, 3).Draw(t, "noggins") {
		u := first + spacing*float64(rapid.IntRange(0, 4).Draw(t, "bay"))
		v := rapid.Float64Range(300, 2100).Draw(t, "noggin v")
		timbers = append(timbers, Timber{Vec{u + 23.5, v}, Vec{u + spacing - 23.5, v}, 47, 5})
	}
	var spots []spot
	pairs := [][2]int{{south, west}, {south, east}, {north, west}, {west, south}}
	u0, v0 := rapid.Float64Range(200, 900).Draw(t, "u"), rapid.Float64Range(200, 700).Draw(t, "v")
	du, dv := rapid.SampledFrom([]float64{spacing, 700, 850}).Draw(t, "across"),
		rapid.SampledFrom([]float64{600, 750}).Draw(t, "down")
	for i := range rapid.IntRange(1, 4).Draw(t, "columns") {
		for k := range rapid.IntRange(1, 3).Draw(t, "rows") {
			spots = append(spots, spot{
				Vec{u0 + du*float64(i) + rapid.Float64Range(-2, 2).Draw(t, "off u"), v0 + dv*float64(k) + rapid.Float64Range(-2,
					2).Draw(t, "off v")},
				rapid.SampledFrom(pairs).Draw(t, "marked from")})
		}
	}
	s, a := roomOf(timbers, spots...)
	for i := range s.Positions {
		s.Positions[i].Cutout = rapid.SampledFrom([]float64{45, 76, 76, 110, 400}).Draw(t, "cutout")
	}
	return s, a
}

func BenchmarkJudge(b *testing.B) {
	const seed = 5
	rng := rand.New(rand.NewPCG(seed, seed))
	var timbers []Timber
	for u := 200.0; u < 3600; u += 400 {
		timbers = append(timbers, joist(u))
	}
	timbers = append(timbers, Timber{Vec{623.5, 1200}, Vec{976.5, 1200}, 47, 5})
	var spots []spot
	for range 50 {
		spots = append(spots, spot{Vec{100 + 3400*rng.Float64(), 100 + 2200*rng.Float64()}, [2]int{south, west}})
	}
	s, a := roomOf(timbers, spots...)
	judge(s, roomNormals, a)
	moved := 0
	for i := range a.Positions {
		if a.Positions[i].Plan.Move != (Vec{}) {
			moved++
		}
	}
	b.Logf("seed %d: %d of 50 holes move, %d lines", seed, moved, len(a.Lines))
	b.ReportAllocs()
	for b.Loop() {
		judge(s, roomNormals, a)
	}
}

// Figures that no room has but that somebody may send: the answer is still a
// chance and a plan, and comes at once.
func TestJudgeAbsurdFigures(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		absurd := func(name string) float64 {
			return math.Pow(10, rapid.Float64Range(-9, 5).Draw(t, name))
		}
		var timbers []Timber
		for range rapid.IntRange(0, 4).Draw(t, "timbers") {
			a := Vec{rapid.Float64Range(0, 3600).Draw(t, "u"), rapid.Float64Range(0, 2400).Draw(t, "v")}
			b := a.plus(Vec{absurd("length"), 0}.turned(rapid.Float64Range(-4, 4).Draw(t, "lie")))
			timbers = append(timbers, Timber{a, b, absurd("width"), absurd("sigma")})
		}
		s, a := roomOf(timbers, column(1200, 600), column(1201, 1200))
		for i := range s.Positions {
			s.Positions[i] = Position{Cutout: rapid.Float64Range(1, 1000).Draw(t, "cutout"), Reach: absurd("reach"),
				TailSigma: absurd("tail")}
			a.Positions[i].Mark.Frame = turnedCov(absurd("major"), absurd("minor"), rapid.Float64Range(-4, 4).Draw(t, "angle"))
			a.Positions[i].Mark.Cov = turnedCov(absurd("major"), absurd("minor"), 1)
		}
		judge(s, roomNormals, a)
		for i, p := range a.Positions {
			for _, q := range []float64{p.Find, p.Plan.Find, p.Plan.Hit} {
				if !(q >= 0 && q <= 1) {
					t.Fatalf("position %d: not a chance: %+v", i, p)
				}
			}
			if l := p.Plan.Move.length(); math.IsNaN(l) || math.IsInf(l, 0) || p.Plan.Clears != (p.Plan.Hit <= HitLimit) {
				t.Fatalf("position %d: %+v", i, p.Plan)
			}
		}
	})
}
