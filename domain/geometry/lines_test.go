package geometry

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// column returns a hole of 76 mm at u, v marked from south and west.
func column(u, v float64) spot { return spot{Vec{u, v}, [2]int{south, west}} }

var bays = []Timber{joist(800), joist(1200), joist(1600)}

// judged has tails that a long hook can reach, so that lines may move a good way.
func judged(timbers []Timber, spots ...spot) *Answer {
	s, a := roomOf(timbers, spots...)
	for i := range s.Positions {
		s.Positions[i].Reach = 130
	}
	judge(s, roomNormals, a)
	return a
}

func wantLines(t *testing.T, what string, got, want []SetOutLine) {
	t.Helper()
	same := func(a, b SetOutLine) bool {
		return a.Datum == b.Datum && math.Abs(a.Offset-b.Offset) < 1e-9 && slices.Equal(a.Positions, b.Positions) &&
			math.Abs(a.Shift-b.Shift) < 0.01 && a.Clears == b.Clears
	}
	if !slices.EqualFunc(got, want, same) {
		t.Errorf("%s:\n got %+v\nwant %+v", what, got, want)
	}
}

// Offsets 600, 602 and 603 share a line, 603.5 starts the next; a hole marked
// from elsewhere is on a line that others are marked from, but starts none.
func TestLinesServeTwoOrMore(t *testing.T) {
	a := judged(nil, column(500, 603), column(900, 600), column(1300, 603.5), column(1700, 602), column(2100, 606))
	wantLines(t, "by threes", a.Lines, []SetOutLine{
		{south, 1805.0 / 3, []int{0, 1, 3}, 0, true},
		{south, (603.5 + 606) / 2, []int{2, 4}, 0, true},
	})
	other := spot{Vec{1300, 601}, [2]int{north, east}}
	a = judged(nil, column(500, 600), other)
	wantLines(t, "one marked from it", a.Lines, nil)
	a = judged(nil, column(500, 600), other, column(900, 602))
	wantLines(t, "one marked from elsewhere", a.Lines, []SetOutLine{{south, 601, []int{0, 1, 2}, 0, true}})
}

// A column along a joist: the line moves, the smaller way, until the last of
// its holes clears, and all move with it.
func TestLineMovesAsOne(t *testing.T) {
	a := judged(bays, column(1190, 600), column(1191, 1200), column(1189, 1800))
	shift := 1200 - offCentre - 1191
	wantLines(t, "column", a.Lines, []SetOutLine{{west, 1190, []int{0, 1, 2}, shift, true}})
	for i, p := range a.Positions {
		if p.Plan.Move.distance(Vec{shift, 0}) > 0.01 || !p.Plan.Clears || p.Plan.Hit > HitLimit {
			t.Errorf("position %d: %+v, want a move of %.2f", i, p.Plan, shift)
		}
		near(t, "offset from west", p.Plan.Offsets[1], p.At.U+shift, 1e-5)
	}
	if a.Positions[0].Move.distance(a.Positions[0].Plan.Move) < 0.5 {
		t.Error("its own move is smaller than the line's")
	}
}

// A hole of the column that is in the clear, marked from another wall, goes
// along too: half a row moved is a crooked row.
func TestLineTakesAlongWhatLiesOnIt(t *testing.T) {
	short := []Timber{joist(800), {Vec{1200, 0}, Vec{1200, 1500}, 47, 5}, joist(1600)}
	a := judged(short, column(1210, 600), column(1210, 1200), spot{Vec{1210, 2000}, [2]int{north, east}})
	shift := offCentre - 10
	wantLines(t, "column", a.Lines, []SetOutLine{{west, 1210, []int{0, 1, 2}, shift, true}})
	if p := a.Positions[2]; p.Move != (Vec{}) || p.Plan.Move.distance(Vec{shift, 0}) > 0.01 ||
		math.Abs(p.Plan.Offsets[1]-(2390-shift)) > 0.01 {
		t.Errorf("the third stays behind: %+v", p.Plan)
	}
}

// One column seen from both walls is one row: it moves once, and both lines say
// so.
func TestRowFromTwoWallsMovesOnce(t *testing.T) {
	e := func(v float64) spot { return spot{Vec{1210, v}, [2]int{south, east}} }
	a := judged(bays, column(1210, 400), column(1210, 900), e(1400), e(1900))
	shift := offCentre - 10
	wantLines(t, "column", a.Lines, []SetOutLine{
		{east, 2390, []int{0, 1, 2, 3}, -shift, true},
		{west, 1210, []int{0, 1, 2, 3}, shift, true},
	})
	for i, p := range a.Positions {
		if p.Plan.Move.distance(Vec{shift, 0}) > 0.01 {
			t.Errorf("position %d moves by %v", i, p.Plan.Move)
		}
	}
}

// A hole over a joist is no reason to move a line that runs across it.
func TestLineAcrossJoistsStays(t *testing.T) {
	a := judged(bays, column(1190, 600), column(1000, 600))
	wantLines(t, "row", a.Lines, []SetOutLine{{south, 600, []int{0, 1}, 0, true}})
	if p := a.Positions[0].Plan; p.Move.distance(Vec{10 - offCentre, 0}) > 0.01 {
		t.Errorf("the hole on the joist moves along its line: %+v", p)
	}
	if p := a.Positions[1].Plan; p.Move != (Vec{}) {
		t.Errorf("the hole in the clear moves: %+v", p)
	}
}

// A hole too large for the bay bars the whole line: the others move alone.
func TestLineThatCannotClear(t *testing.T) {
	s, a := roomOf(bays, column(1190, 600), column(1190, 1200), column(1190, 1800))
	s.Positions[2].Cutout = 360
	judge(s, roomNormals, a)
	wantLines(t, "column", a.Lines, []SetOutLine{{west, 1190, []int{0, 1, 2}, 0, false}})
	for i, p := range a.Positions[:2] {
		if p.Plan.Move != p.Move || p.Move.distance(Vec{10 - offCentre, 0}) > 0.01 || !p.Plan.Clears {
			t.Errorf("position %d: %+v", i, p.Plan)
		}
	}
	if p := a.Positions[2].Plan; p.Clears || p.Move != (Vec{}) {
		t.Errorf("the large one: %+v", p)
	}
}

// The hole at the corner is on a column over a joist and on a row over a
// batten: it gets both shifts, though the row alone could not clear it.
func TestHoleOnTwoLinesGetsBothShifts(t *testing.T) {
	timbers := append([]Timber{{Vec{2000, 600}, Vec{3000, 600}, 47, 5}}, bays...)
	spots := []spot{column(1210, 610), column(1210, 1500), column(2500, 610)}
	a := judged(timbers, spots...)
	shift := offCentre - 10
	wantLines(t, "both", a.Lines, []SetOutLine{
		{south, 610, []int{0, 2}, shift, true},
		{west, 1210, []int{0, 1}, shift, true},
	})
	if p := a.Positions[0].Plan; p.Move.distance(Vec{shift, shift}) > 0.02 || !p.Clears {
		t.Errorf("the corner: %+v, want %v both ways", p, shift)
	}
	// With a block where that would land the row goes the other way.
	block := Timber{Vec{1210 + shift - 60, 650 + shift}, Vec{1210 + shift + 60, 650 + shift}, 47, 5}
	a = judged(append(timbers, block), spots...)
	if l := a.Lines[0]; math.Abs(l.Shift-(-offCentre-10)) > 0.01 || !l.Clears {
		t.Errorf("the row over the block: %+v", l)
	}
	if p := a.Positions[0].Plan; p.Move.distance(Vec{shift, -offCentre - 10}) > 0.02 || !p.Clears {
		t.Errorf("the corner over the block: %+v", p)
	}
}

// A noggin has no neighbours of its own that say how far a row may go: the
// limit is half the joists' spacing, and a row with a hole over a joist too
// stays.
func TestRowOverANogginStaysNear(t *testing.T) {
	noggin := Timber{Vec{823.5, 600}, Vec{1176.5, 600}, 47, 5}
	a := judged(append([]Timber{noggin}, bays...), column(1000, 610), column(1410, 612))
	wantLines(t, "noggin alone", a.Lines, []SetOutLine{{south, 611, []int{0, 1}, offCentre - 10, true}})
	a = judged(append([]Timber{noggin}, bays...), column(1000, 610), column(1590, 612))
	wantLines(t, "noggin and joist", a.Lines, []SetOutLine{{south, 611, []int{0, 1}, 0, false}})
	for i, p := range a.Positions {
		if p.Plan.Move != p.Move || !p.Plan.Clears || p.Plan.Move == (Vec{}) {
			t.Errorf("position %d does not move alone: %+v", i, p.Plan)
		}
	}
}

// Exactly under a joist the line goes where it leaves more room, else along
// its normal.
func TestLineTie(t *testing.T) {
	for _, c := range []struct{ neighbour, want float64 }{{800, offCentre}, {850, offCentre}, {750, -offCentre}} {
		a := judged([]Timber{joist(c.neighbour), joist(1200), joist(1600)}, column(1200, 600), column(1200, 1200))
		if l := a.Lines[0]; math.Abs(l.Shift-c.want) > 0.01 {
			t.Errorf("neighbour at %v: shift %v, want %v", c.neighbour, l.Shift, c.want)
		}
	}
}

// Whatever the room: lines do not overlap, hold what their tolerance says, and
// a line that has moved has taken all its holes that way.
func TestLinesHoldTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, a := drawRoom(t)
		judge(s, roomNormals, a)
		seen := map[[2]int]bool{}
		for _, l := range a.Lines {
			lo, hi, marked := math.Inf(1), math.Inf(-1), 0
			for _, p := range l.Positions {
				if seen[[2]int{l.Datum, p}] {
					t.Fatalf("position %d is on two lines from datum %d", p, l.Datum)
				}
				seen[[2]int{l.Datum, p}] = true
				v := a.Positions[p].SetOut[l.Datum].Value
				lo, hi = min(lo, v), max(hi, v)
				if slices.Contains(a.Positions[p].Mark.From[:], l.Datum) {
					marked++
				}
				along := a.Positions[p].Plan.Move.dot(roomNormals[l.Datum])
				if l.Shift != 0 && math.Abs(along-l.Shift) > 1e-9 {
					t.Fatalf("line %+v: position %d goes %v along it", l, p, along)
				}
			}
			if hi-lo > LineTolerance || marked < 2 || l.Offset < lo-1e-9 || l.Offset > hi+1e-9 || !l.Clears && l.Shift != 0 {
				t.Fatalf("line %+v: offsets %v to %v, %d marked from it", l, lo, hi, marked)
			}
		}
	})
}

// The shift is the smallest: the twin tries every tenth of a millimetre.
func TestRowShiftAgainstSteps(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var spots []spot
		u := rapid.Float64Range(1100, 1300).Draw(t, "u")
		for i := range rapid.IntRange(2, 4).Draw(t, "holes") {
			spots = append(spots, column(u+rapid.Float64Range(0, 2.9).Draw(t, "off"), 300+500*float64(i)))
		}
		timbers := []Timber{{Vec{1200, rapid.Float64Range(0, 1500).Draw(t, "starts")}, Vec{1220, 2400}, 47, 5},
			joist(rapid.Float64Range(700, 1000).Draw(t, "left")), joist(rapid.Float64Range(1400, 1700).Draw(t, "right"))}
		a := judged(timbers, spots...)
		l := a.Lines[0]
		if l.Datum != west || l.Shift == 0 { // no row moves: what is said to clear has to, each hole where it is planned
			for i, p := range spots {
				plan := a.Positions[i].Plan
				for k := range timbers {
					if h := hit(p.at.plus(plan.Move), Cov{16, 0, 16}, 38, &timbers[k]); plan.Clears && h > HitLimit {
						t.Fatalf("hole %d moved by %v is said to clear, and cuts a timber with a chance of %g", i, plan.Move, h)
					}
				}
			}
			return
		}
		for s := 0.0; s < math.Abs(l.Shift)-0.1; s += 0.1 {
			for _, way := range []float64{1, -1} {
				clears := true
				for _, p := range spots {
					for k := range timbers {
						clears = clears && hit(p.at.plus(Vec{way * s, 0}), Cov{16, 0, 16}, 38, &timbers[k]) <= HitLimit
					}
				}
				if clears {
					t.Fatalf("shift %v, but %v clears already", l.Shift, way*s)
				}
			}
		}
	})
}
