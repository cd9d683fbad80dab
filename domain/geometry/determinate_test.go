package geometry

import (
	"math"
	"testing"
)

// square returns a room 4 by 3 m of four bare faces: south, east, north, west, with
// a steel east-west at 1500 and a stack at (3300, 2100).
func square() *Surface {
	c := []Vec{{0, 0}, {4000, 0}, {4000, 3000}, {0, 3000}}
	s := &Surface{}
	for i := range c {
		s.Datums = append(s.Datums, Datum{Kind: Face, A: c[i], B: c[(i+1)%4], Sigma: 10})
	}
	s.Datums = append(s.Datums,
		Datum{Kind: FixedLine, A: Vec{0, 1500}, B: Vec{4000, 1500}, Sigma: 2},
		Datum{Kind: FixedPoint, A: Vec{3300, 2100}, Sigma: 2})
	return s
}

const (
	south = iota
	east
	north
	west
	steel
	stack
)

func offset(of, from int, value float64) Measurement {
	return Measurement{Kind: Offset, Of: of, From: from, Value: value, Sigma: 2}
}

func distance(of, to int, value float64) Measurement {
	return Measurement{Kind: Distance, Of: of, To: to, Value: value, Sigma: 2}
}

func TestDeterminate(t *testing.T) {
	fixed := []Measurement{offset(0, south, 1000), offset(0, west, 1000), offset(1, south, 1000), offset(1, west, 2000)}
	cases := []struct {
		name string
		more []Measurement // of position 2; 0 is at (1000, 1000), 1 at (2000, 1000)
		want string        // "yes", "no" or "two places"
		at   Vec
	}{
		{"nothing", nil, "no", Vec{}},
		{"one offset", []Measurement{offset(2, south, 500)}, "no", Vec{}},
		{"two offsets", []Measurement{offset(2, south, 500), offset(2, east, 1000)}, "yes", Vec{3000, 500}},
		{"two offsets from opposite faces", []Measurement{offset(2, south, 500), offset(2, north, 2500)}, "no", Vec{}},
		{"face and steel that run alike", []Measurement{offset(2, south, 2000), offset(2, steel, 500)}, "no", Vec{}},
		{"offset and distance, mirrored", []Measurement{offset(2, west, 1500), distance(2, 0, 1000)}, "two places", Vec{}},
		{"offset and distance, the mirror is behind a wall", []Measurement{offset(2, west, 1500), distance(2, 0, 1600)},
			"yes", Vec{1500, 1000 + math.Sqrt(1600*1600-500*500)}},
		{"offset and stack", []Measurement{offset(2, south, 2700), {Kind: Offset, Of: 2, From: stack, Value: 800, Sigma: 2}},
			"two places", Vec{}},
		{"offset and stack, the mirror is behind a wall", []Measurement{offset(2, west, 3000),
			{Kind: Offset, Of: 2, From: stack, Value: 1200, Sigma: 2}}, "yes", Vec{3000, 2100 - math.Sqrt(1200*1200-300*300)}},
		{"two distances, mirrored", []Measurement{distance(2, 0, 800), distance(2, 1, 800)}, "two places", Vec{}},
		{"two distances, the mirror is behind a wall", []Measurement{distance(2, 0, 1400), distance(2, 1, 1400)}, "yes",
			Vec{1500, 1000 + math.Sqrt(1400*1400-500*500)}},
		{"two distances and an offset that tells", []Measurement{distance(2, 0, 800), distance(2, 1, 800),
			offset(2, north, 2000-math.Sqrt(800*800-500*500))}, "yes", Vec{1500, 1000 + math.Sqrt(800*800-500*500)}},
		{"distances that hardly cross", []Measurement{distance(2, 0, 1500), distance(2, 1, 501)}, "no", Vec{}},
		{"distances that do not reach", []Measurement{distance(2, 0, 300), distance(2, 1, 300)}, "no", Vec{}},
		{"offset along which the distance runs", []Measurement{offset(2, south, 2000), distance(2, 0, 1001)}, "no", Vec{}},
		{"distance to one that is not fixed", []Measurement{offset(2, west, 500), distance(2, 3, 700)}, "no", Vec{}},
		{"three distances", []Measurement{distance(2, 0, 700), distance(2, 1, 900), {Kind: Offset, Of: 2, From: stack,
			Value: 1800, Sigma: 2}}, "yes", Vec{}},
	}
	for _, c := range cases {
		s := square()
		s.Positions = make([]Position, 4)
		s.Measurements = append(append(s.Measurements, fixed...), c.more...)
		a := Solve(s)
		p := a.Positions[2]
		got := map[bool]string{true: "yes", false: "no"}[p.Determinate]
		if p.Ambiguous != nil {
			got = "two places"
		}
		if got != c.want {
			t.Errorf("%s: got %s (%v), want %s", c.name, got, p.Ambiguous, c.want)
			continue
		}
		if c.at != (Vec{}) && p.At.distance(c.at) > 0.01 {
			t.Errorf("%s: at %v, want %v", c.name, p.At, c.at)
		}
		for k := range c.more {
			if m := a.Measurements[len(fixed)+k]; m.Unused == p.Determinate {
				t.Errorf("%s: measurement %d: unused is %v", c.name, k, m.Unused)
			}
		}
		if !a.Positions[0].Determinate || !a.Positions[1].Determinate {
			t.Errorf("%s: the others wait for it", c.name)
		}
	}
}

// TestAmbiguousPlacesFitBoth: each place meets both measurements.
func TestAmbiguousPlacesFitBoth(t *testing.T) {
	s := square()
	s.Positions = make([]Position, 2)
	s.Measurements = []Measurement{offset(0, south, 1500), offset(0, west, 2000), offset(1, west, 1400),
		distance(1, 0, 1000)}
	places := Solve(s).Positions[1].Ambiguous
	want := []Vec{{1400, 700}, {1400, 2300}}
	for k, p := range places {
		if len(places) != 2 || p.distance(want[k]) > 0.001 {
			t.Errorf("got %v, want %v", places, want)
		}
	}
}

// TestAnglesOfTwoOffsets: 6° between two faces fix a position, less do not.
func TestAnglesOfTwoOffsets(t *testing.T) {
	for degrees, want := range map[float64]bool{5.9: false, 6.1: true, 90: true, 173.9: true, 174.1: false} {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		s := &Surface{
			Datums: []Datum{
				{Kind: Face, A: Vec{0, 0}, B: Vec{4000, 0}, Sigma: 10},
				{Kind: Face, A: Vec{0, -500}, B: Vec{4000 * cos, -500 + 4000*sin}, Sigma: 10},
			},
			Positions:    []Position{{}},
			Measurements: []Measurement{offset(0, 0, 500), offset(0, 1, 500)},
		}
		if got := Solve(s).Positions[0].Determinate; got != want {
			t.Errorf("%v°: determinate is %v", degrees, got)
		}
	}
}

// TestChainOfDistances: a position may rest on one that itself rests on a
// distance, whatever the order of the record.
func TestChainOfDistances(t *testing.T) {
	s := square()
	s.Positions = make([]Position, 3)
	s.Measurements = []Measurement{
		distance(2, 1, math.Hypot(900, 600)), offset(2, west, 1100), // (1100, 2900): its mirror is at 1700
		offset(1, west, 2000), distance(1, 0, 1700), offset(1, north, 700), // (2000, 2300)
		offset(0, south, 600), offset(0, west, 2000),
	}
	a := Solve(s)
	if !a.Positions[1].Determinate || a.Positions[2].Determinate || len(a.Positions[2].Ambiguous) != 2 {
		t.Fatalf("%+v", a.Positions)
	}
	s.Measurements = append(s.Measurements, distance(2, 0, math.Hypot(900, 2300)))
	a = Solve(s)
	if p := a.Positions[2]; !p.Determinate || p.At.distance(Vec{1100, 2900}) > 0.01 {
		t.Errorf("%+v", p)
	}
}

// TestUnrecordedTakesNoPart: a state left out is reported and changes nothing.
func TestUnrecordedTakesNoPart(t *testing.T) {
	s := square()
	s.Datums[south].Layers = []Layer{{25, 5}}
	s.Positions = make([]Position, 1)
	s.Measurements = []Measurement{offset(0, south, 500), offset(0, west, 700)}
	before := Solve(s)
	unrecorded := offset(0, south, 900)
	unrecorded.State = Unrecorded
	s.Measurements = append(s.Measurements, unrecorded)
	after := Solve(s)
	if m := after.Measurements[2]; !m.Unrecorded || m.Unused {
		t.Errorf("%+v", m)
	}
	if before.Positions[0].At != after.Positions[0].At || before.Fit != after.Fit {
		t.Errorf("the answer changed: %+v and %+v", before.Fit, after.Fit)
	}
	s.Measurements = s.Measurements[1:]
	if a := Solve(s); a.Positions[0].Determinate {
		t.Error("an offset of unknown state fixes a position")
	}
}

func TestOutline(t *testing.T) {
	ell := []Vec{{0, 0}, {4000, 0}, {4000, 1500}, {2000, 1500}, {2000, 3000}, {0, 3000}}
	var closed, open Surface
	for i := range ell {
		d := Datum{Kind: Face, A: ell[i], B: ell[(i+1)%len(ell)]}
		closed.Datums = append(closed.Datums, d)
		if i != 1 {
			open.Datums = append(open.Datums, d)
		}
	}
	for _, c := range []struct {
		at           Vec
		closed, open bool
	}{
		{Vec{1000, 1000}, false, false},
		{Vec{3000, 2500}, true, true},   // in the notch: behind both its faces
		{Vec{3000, 1520}, false, false}, // within the margin of a face
		{Vec{5000, 1000}, true, false},  // behind the face that nobody recorded
		{Vec{-100, -100}, true, false},  // past a corner: behind no face between its ends
		{Vec{-100, 500}, true, true},
	} {
		if got := closed.outline().outside(c.at); got != c.closed {
			t.Errorf("closed ring, %v: outside is %v", c.at, got)
		}
		if got := open.outline().outside(c.at); got != c.open {
			t.Errorf("open, %v: outside is %v", c.at, got)
		}
	}
}
