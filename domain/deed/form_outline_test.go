package deed

import (
	"fmt"
	"math"
	"net/url"
	"slices"
	"testing"

	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"

	"pgregory.net/rapid"
)

// filled is a form with one field.
func filled(field, text string) *Form { return &Form{Values: url.Values{field: {text}}} }

func TestWallsAreReadAsTheyArePaced(t *testing.T) {
	o := &outline{f: filled("walls", "3600 left south\n2400 left\r\n\n3600 mm left\n2400")}
	got := o.paced("walls")
	want := []roomsheet.Point{{0, 0}, {3600, 0}, {3600, 2400}, {0, 2400}}
	if !slices.Equal(got, want) || len(o.f.Wrong) > 0 {
		t.Fatalf("walls became %v, %v", got, o.f.Wrong)
	}
	if names := []string{"south", "east", "north", "west"}; !slices.Equal(o.walls, names) {
		t.Errorf("walls are called %v", o.walls)
	}
	for _, bad := range []string{"left 3600", "3600 up", "-3600 left", "3600 left\n2400 left\n3600 left", ""} {
		o := &outline{f: filled("walls", bad)}
		if got := o.paced("walls"); len(o.f.Wrong) == 0 && len(got) > 2 {
			t.Errorf("%q was taken as %v", bad, got)
		}
	}
}

// Law: a chimney breast takes its width times its depth off the room, on
// whichever wall it stands, and leaves an outline that a room can have.
func TestBreastTakesItsArea(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := float64(rapid.IntRange(2000, 9000).Draw(t, "wide")), float64(rapid.IntRange(2000, 9000).Draw(t, "high"))
		corners := []roomsheet.Point{{0, 0}, {w, 0}, {w, h}, {0, h}}
		o := &outline{walls: room.Sides(corners), called: make([]string, 4)}
		wall := rapid.IntRange(0, 3).Draw(t, "wall")
		along := []float64{w, h, w, h}[wall]
		wide := rapid.IntRange(100, int(along)-300).Draw(t, "breast")
		from := rapid.IntRange(1, int(along)-wide-1).Draw(t, "from")
		deep := rapid.IntRange(50, 900).Draw(t, "deep")
		line := fmt.Sprintf("%s %d %d %d", o.walls[wall], from, wide, deep)
		o.f = filled("breasts", line)
		got := o.breasts(corners, "breasts")
		if len(o.f.Wrong) > 0 {
			t.Fatalf("%s: %v", line, o.f.Wrong)
		}
		if a := area(got); math.Abs(a-(w*h-float64(wide*deep))) > 1 {
			t.Fatalf("%s leaves %g of %g", line, a, w*h)
		}
		if _, err := room.CheckOutline(got); err != nil {
			t.Fatalf("%s: %v", line, err)
		}
	})
}

// area of an outline that goes anticlockwise.
func area(outline []roomsheet.Point) float64 {
	sum := 0.0
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		sum += a[0]*b[1] - b[0]*a[1]
	}
	return sum / 2
}

// A wall of 900, a pitch of 30 degrees and a room of 2,400: the slope is twice
// what it climbs.
func TestSlopeIsMeasuredUpIt(t *testing.T) {
	o := &outline{f: filled("slopes", "north wall 30 900\n"), walls: []string{"south", "east", "north", "west"}}
	got := o.slopes("slopes", 2400)
	if len(o.f.Wrong) > 0 || len(got) != 1 || got[0].Wall != 3 || got[0].Name != "slope" {
		t.Fatalf("%+v, %v", got, o.f.Wrong)
	}
	if l := got[0].Length; math.Abs(l-3000) > 1e-9 {
		t.Errorf("the slope is %g long", l)
	}
}

func TestBathsAreReadByTheirCorners(t *testing.T) {
	f := filled("wet", "bath 0 0 1700 0 1700 700 0 700\nShower 0 1000 900 1000 900 1900 0 1900\n")
	got := f.wet("wet")
	if len(f.Wrong) > 0 || len(got) != 2 || got[0].Kind != "bath" || got[1].Kind != "shower" || len(got[1].Outline) != 4 ||
		got[0].Outline[2] != (roomsheet.Point{1700, 700}) {
		t.Errorf("%+v, %v", got, f.Wrong)
	}
	for _, bad := range []string{"bath", "bath 0 0 1700 0", "basin 0 0 1 0 1 1", "bath 0 0 1700 0 1700"} {
		f := filled("wet", bad)
		if f.wet("wet"); len(f.Wrong) == 0 {
			t.Errorf("%q was taken", bad)
		}
	}
}

func TestLayersAreReadInTheirOrder(t *testing.T) {
	f := filled("layers", "dabs and board 25 boarding\nskim 3 mm plaster\n\npaint 0.2 decoration")
	got := f.Layers("layers")
	if len(f.Wrong) > 0 || len(got) != 3 || got[0].Name != "dabs and board" || got[0].Thickness != 25 ||
		got[1].Stage != words.Plaster || got[2].Thickness != 0.2 {
		t.Fatalf("%+v, %v", got, f.Wrong)
	}
	for _, bad := range []string{"25 boarding", "board boarding", "board 25", "board 25 lunch", "board 1,2 boarding"} {
		f := filled("layers", bad)
		if got := f.Layers("layers"); len(f.Wrong) == 0 {
			t.Errorf("%q was taken as %+v", bad, got)
		}
	}
}

func TestPastedLinesWithBlanks(t *testing.T) {
	for line, want := range map[string]string{
		"D1 downlight 76":         "D1, downlight, 76",
		"P1 pipe tail":            "P1, pipe tail",
		"D2 downlight 76 900 600": "D2, downlight, 76, 900, 600",
		"D3, downlight, 76":       "D3, downlight, 76",
		"S1\tsocket":              "S1\tsocket",
		"D4":                      "D4",
	} {
		if got := parted(line); got != want {
			t.Errorf("%q became %q, want %q", line, got, want)
		}
	}
}

// Law: timbers along a face keep their distance from it and lie within the box
// of the surface.
func TestTimbersRunAlongTheFace(t *testing.T) {
	corners := []roomsheet.Point{{0, 0}, {3600, 0}, {3600, 2400}, {2000, 2400}, {2000, 3000}, {0, 3000}}
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(0, len(corners)-1).Draw(t, "face")
		d := room.Datum{A: corners[i], B: corners[(i+1)%len(corners)]}
		offset := rapid.Float64Range(1, 4000).Draw(t, "offset")
		a, b, ok := chord(corners, &d, offset)
		if !ok {
			return
		}
		for _, p := range []roomsheet.Point{a, b} {
			l := math.Hypot(d.B[0]-d.A[0], d.B[1]-d.A[1])
			off := ((d.B[0]-d.A[0])*(p[1]-d.A[1]) - (d.B[1]-d.A[1])*(p[0]-d.A[0])) / l
			if math.Abs(off-offset) > 0.01 || p[0] < -0.01 || p[0] > 3600.01 || p[1] < -0.01 || p[1] > 3000.01 {
				t.Fatalf("at %g from face %d it runs from %v to %v", offset, i, a, b)
			}
		}
	})
}

func TestCounted(t *testing.T) {
	for name, want := range map[string]int{"J3": 3, "J": 1, "R12": 12, "7": 7} {
		if _, n := counted(name); n != want {
			t.Errorf("%s counts from %d", name, n)
		}
	}
}
