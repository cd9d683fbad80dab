package room

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"lathmark/domain/fault"
	"lathmark/domain/roomsheet"
)

func TestCornersOfARoomWithAChimneyBreast(t *testing.T) {
	got, err := Corners([]Wall{{4000, 90}, {3000, 90}, {1400, 90}, {400, -90}, {1200, -90}, {400, 90}, {1400, 90},
		{3000, 90}})
	if err != nil {
		t.Fatal(err)
	}
	want := []roomsheet.Point{{0, 0}, {4000, 0}, {4000, 3000}, {2600, 3000}, {2600, 2600}, {1400, 2600}, {1400, 3000},
		{0, 3000}}
	if !slices.Equal(got, want) {
		t.Errorf("got %v, want %v", got, want)
	}
	if inside(got, roomsheet.Point{2000, 2800}) || !inside(got, roomsheet.Point{2000, 2500}) {
		t.Error("the chimney breast is not part of the room")
	}
	var names []string
	for _, f := range faces(got, nil) {
		names = append(names, f.Name)
	}
	if want := []string{"south wall", "east wall", "north wall", "west wall", "north wall 2", "east wall 2",
		"north wall 3", "west wall 2"}; !slices.Equal(names, want) {
		t.Errorf("faces %v, want %v", names, want)
	}
}

func TestWallsThatMissALittleAreClosed(t *testing.T) {
	got, err := Corners([]Wall{{3600, 90}, {2400, 90}, {3570, 90}, {2400, 90}})
	if err != nil {
		t.Fatal(err)
	}
	// Bowditch's rule: the 30 mm are spread by length, and the walls meet.
	if end := got[3]; math.Abs(end[0]-(30-30*9570.0/11970)) > 0.01 {
		t.Errorf("the last corner is at %v", end)
	}
	if _, err := Corners([]Wall{{3600, 90}, {2400, 90}, {3500, 90}, {2400, 90}}); fault.KindOf(err) != fault.BadInput {
		t.Errorf("walls 100 mm apart: %v", err)
	}
	if _, err := Corners([]Wall{{math.NaN(), 90}}); fault.KindOf(err) != fault.BadInput {
		t.Errorf("a wall of no length: %v", err)
	}
}

func TestOutlinesThatAreNone(t *testing.T) {
	for name, corners := range map[string][]roomsheet.Point{
		"two corners":      {{0, 0}, {1000, 0}},
		"a wall of nought": {{0, 0}, {1000, 0}, {1000, 0}, {0, 1000}},
		"crossed":          {{0, 0}, {1000, 1000}, {1000, 0}, {0, 1000}},
		"too far":          {{0, 0}, {200_000, 0}, {0, 1000}},
		"not a number":     {{0, 0}, {math.NaN(), 0}, {0, 1000}},
	} {
		if _, err := CheckOutline(corners); fault.KindOf(err) != fault.BadInput {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// Law: whichever way round a room is given, it comes out anticlockwise with
// the same corners and the same wall first.
func TestEitherWayRoundIsTheSameRoom(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(t, "corners")
		var round []roomsheet.Point
		for i := range n {
			a := 2 * math.Pi * float64(i) / float64(n)
			d := rapid.Float64Range(500, 5000).Draw(t, "distance")
			round = append(round, roomsheet.Point{d * math.Cos(a), d * math.Sin(a)})
		}
		got, err := CheckOutline(round)
		if err != nil {
			t.Fatal(err)
		}
		other := append([]roomsheet.Point{round[1], round[0]}, reversed(round[2:])...)
		back, err := CheckOutline(other)
		if err != nil {
			t.Fatal(err)
		}
		if area(got) <= 0 || !slices.Equal(got, back) {
			t.Errorf("%v became %v; the other way round %v", round, got, back)
		}
	})
}

func reversed(p []roomsheet.Point) []roomsheet.Point {
	out := slices.Clone(p)
	slices.Reverse(out)
	return out
}

func TestSurfacesOfARoom(t *testing.T) {
	r := Room{Outline: Rectangle(3600, 2400), Height: 2300}
	for _, c := range []struct {
		draft SurfaceDraft
		name  string
		box   roomsheet.Point
		first string
		lean  float64
	}{
		{SurfaceDraft{Kind: "ceiling"}, "ceiling", roomsheet.Point{3600, 2400}, "south wall", 0},
		{SurfaceDraft{Kind: "wall", Wall: 2}, "east wall", roomsheet.Point{2400, 2300}, "floor", 0},
		{SurfaceDraft{Kind: "slope", Wall: 1, Pitch: 35, Length: 3000}, "slope 1", roomsheet.Point{3600, 3000}, "low wall",
			35},
		{SurfaceDraft{Kind: "floor", Name: "bay", Outline: Rectangle(500, 700)}, "bay", roomsheet.Point{500, 700},
			"south wall", 0},
	} {
		s, round, err := r.Drawn(c.draft, 1)
		if err != nil {
			t.Errorf("%+v: %v", c.draft, err)
			continue
		}
		if _, high := Box(s.Outline); s.Name != c.name || high != c.box || round[0].Name != c.first ||
			round[0].Lean != c.lean {
			t.Errorf("%+v became %+v with %+v", c.draft, s, round[0])
		}
	}
	for _, d := range []SurfaceDraft{{Kind: "wall"}, {Kind: "wall", Wall: 5}, {Kind: "slope", Wall: 1},
		{Kind: "slope", Wall: 1, Pitch: 95, Length: 10}} {
		if _, _, err := r.Drawn(d, 1); fault.KindOf(err) != fault.BadInput {
			t.Errorf("%+v: %v", d, err)
		}
	}
}

// TestAChimneyBreast: the wall on both sides of it lies in one line, and that is
// no crossing; walls that lie on each other are one.
func TestAChimneyBreast(t *testing.T) {
	breast := []roomsheet.Point{{0, 0}, {3600, 0}, {3600, 2800}, {2500, 2800}, {2500, 2450}, {1300, 2450}, {1300, 2800},
		{0, 2800}}
	if _, err := CheckOutline(breast); err != nil {
		t.Error(err)
	}
	back := []roomsheet.Point{{0, 0}, {3600, 0}, {3600, 2800}, {1000, 2800}, {1000, 2000}, {2000, 2000}, {2000, 2800},
		{0, 2800}}
	if _, err := CheckOutline(back); err == nil {
		t.Error("walls that lie on each other pass")
	}
}

// TestWallsKeepTheirNames: as typed, also where the walls were paced the other
// way round; a name twice is told apart, no name is the side.
func TestWallsKeepTheirNames(t *testing.T) {
	square := []roomsheet.Point{{0, 0}, {3000, 0}, {3000, 2000}, {0, 2000}}
	for _, c := range []struct {
		outline []roomsheet.Point
		called  []string
		want    map[string]roomsheet.Point // where each wall begins
	}{
		{square, []string{"window", "", "window", "door"}, map[string]roomsheet.Point{"window": {0, 0},
			"east wall": {3000, 0}, "window 2": {3000, 2000}, "door": {0, 2000}}},
		{[]roomsheet.Point{{3000, 0}, {0, 0}, {0, 2000}, {3000, 2000}}, []string{"window", "door", "stairs", "stack"},
			map[string]roomsheet.Point{"window": {0, 0}, "door": {0, 2000}, "stairs": {3000, 2000}, "stack": {3000, 0}}},
	} {
		d := Draft{Name: "Snug", Height: 2400, Outline: c.outline, Called: slices.Clone(c.called)}
		r, err := d.Room()
		if err != nil {
			t.Fatal(err)
		}
		_, round, err := r.Drawn(SurfaceDraft{Kind: "ceiling", Called: d.Called}, 1)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range round {
			if at, ok := c.want[f.Name]; !ok || at != f.A {
				t.Errorf("%q begins at %v, want %v", f.Name, f.A, c.want)
			}
		}
	}
	d := Draft{Name: "Snug", Height: 2400, Outline: square, Called: []string{"window"}}
	if _, err := d.Room(); err == nil {
		t.Error("one name for four walls passes")
	}
}
