package room_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// wetRoom is a room with a ceiling, a floor and each of its walls drawn, all of them called what nobody would guess.
func wetRoom(t testing.TB, outline []roomsheet.Point, height float64, bath []roomsheet.Point) *room.Record {
	t.Helper()
	r := &room.Record{Room: room.Room{ID: id.New[id.Room](), Outline: outline, Height: height,
		Wet: []room.Wet{{Kind: "bath", Outline: bath}}}}
	drafts := []room.SurfaceDraft{{Kind: "ceiling"}, {Kind: "floor"}}
	for i := range outline {
		drafts = append(drafts, room.SurfaceDraft{Kind: "wall", Wall: i + 1, Name: fmt.Sprint("where the heron hangs ", i)})
	}
	for i, d := range drafts {
		s, faces, err := r.Drawn(d, i+1)
		if err != nil {
			t.Fatal(err)
		}
		r.Surfaces, r.Datums = append(r.Surfaces, s), append(r.Datums, faces...)
	}
	return r
}

// goesOn plans one layer on a surface itself.
func goesOn(r *room.Record, surface int, mm ...float64) {
	for i, t := range mm {
		r.Layers = append(r.Layers, room.Layer{ID: id.New[id.Layer](), Surface: r.Surfaces[surface].ID, Place: i + 1,
			Name: fmt.Sprint("layer ", i), Thickness: t, Stage: words.Boarding})
	}
}

// says returns the cautions of a position of a kind at a place of a surface, in one text.
func says(r *room.Record, surface int, kind string, u, v float64) string {
	p := room.Position{ID: id.New[id.Position](), Surface: r.Surfaces[surface].ID, Name: "X1", Kind: kind}
	var out []string
	for _, c := range r.WetZone(&p, geometry.Vec{U: u, V: v}) {
		out = append(out, c.String())
	}
	return strings.Join(out, " ")
}

// The zones: BS 7671 701.32, as in caution. The bath is 1700 by 700 in the south-west corner of 2600 by 2100, with its
// long side along the south wall. Surfaces: 0 ceiling, 1 floor, 2 south wall, 3 east, 4 north, 5 west.
func TestWetZoneByPlace(t *testing.T) {
	box, bath := room.Rectangle(2600, 2100), room.Rectangle(1700, 700)
	for _, c := range []struct {
		name         string
		height       float64
		tile, boards []float64 // on the floor, on the ceiling
		surface      int
		kind         string
		u, v         float64
		want         string // empty: nothing is asked
	}{
		{"a socket beside the bath, on the side wall", 2400, []float64{14}, []float64{15.5}, 5, "socket", 300, 900,
			"886 mm above the finished floor, is in zone 1."},
		{"its other end, out of reach but near", 2400, []float64{14}, []float64{15.5}, 5, "socket", 2000, 900,
			"No 230 V socket within 2500 mm"},
		{"a switch at the same place", 2400, []float64{14}, []float64{15.5}, 5, "switch", 2000, 900, ""},
		{"within 600 of the bath", 2400, []float64{14}, []float64{15.5}, 5, "switch", 1200, 900, "is in zone 2, 500 mm"},
		{"above the bath on its long wall, seen from inside", 2400, []float64{14}, []float64{15.5}, 2, "socket", 2500, 1500,
			"is in zone 1."},
		{"the same wall, clear of the bath", 2400, []float64{14}, []float64{15.5}, 2, "switch", 100, 1500, ""},
		{"a downlight that the finished floor and ceiling bring into zone 1", 2265, []float64{14}, []float64{15.5}, 0,
			"downlight", 800, 300, "X1, 2236 mm above the finished floor, is in zone 1."},
		{"one a millimetre too high", 2265 + 15.6, []float64{14}, []float64{15.5}, 0, "downlight", 800, 300,
			"is above zone 1"},
		{"one on the very edge", 2265 + 14.5, []float64{14}, []float64{15.5}, 0, "downlight", 800, 300, "is in zone 1."},
		{"nobody has said what goes on the floor", 2320, nil, []float64{15.5}, 0, "downlight", 800, 300,
			"The floor's build-up is not planned"},
		{"nor on the ceiling", 2290, []float64{14}, nil, 0, "downlight", 800, 300, "the ceiling's build-up is not planned"},
		{"a waste in the floor under the bath", 2400, []float64{14}, []float64{15.5}, 1, "waste", 800, 300, "is in zone 0."},
		{"high on the wall, in by the floor alone", 2600, []float64{60}, []float64{15.5}, 2, "fan", 2000, 2300,
			"2240 mm above the finished floor, is in zone 1."},
		{"higher", 2600, []float64{60}, []float64{15.5}, 2, "fan", 2000, 2311, "is above zone 1"},
	} {
		r := wetRoom(t, box, c.height, bath)
		goesOn(r, 1, c.tile...)
		goesOn(r, 0, c.boards...)
		got := says(r, c.surface, c.kind, c.u, c.v)
		if c.want == "" && got != "" || !strings.Contains(strings.ToLower(got), strings.ToLower(c.want)) {
			t.Errorf("%s: %q; want %q", c.name, got, c.want)
		}
		if got != "" && !strings.Contains(got, "BS 7671") {
			t.Errorf("%s has no source: %q", c.name, got)
		}
	}
}

// A slope over the bath is in zone 1 wherever its height may be too low, and a wall of which nobody knows which one
// it is takes the wettest that it may be.
func TestWetZoneOfWhatIsNotKnown(t *testing.T) {
	r := wetRoom(t, room.Rectangle(2600, 2100), 2400, room.Rectangle(1700, 700))
	for _, d := range []room.SurfaceDraft{{Kind: "slope", Wall: 1, Pitch: 35, Length: 1500},
		{Kind: "wall", Name: "by hand", Outline: room.Rectangle(900, 2400)}} {
		s, faces, err := r.Drawn(d, len(r.Surfaces)+1)
		if err != nil {
			t.Fatal(err)
		}
		r.Surfaces, r.Datums = append(r.Surfaces, s), append(r.Datums, faces...)
	}
	for surface, want := range map[int]string{6: "the foot of the slope", 7: "Which wall of the room it is"} {
		if got := says(r, surface, "downlight", 1800, 700); !strings.Contains(strings.ToLower(got), strings.ToLower(want)) ||
			!strings.Contains(got, "in zone 1") {
			t.Errorf("surface %d: %q", surface, got)
		}
	}
}

// Law: in random rooms with everything planned, a hole on a ceiling or a wall has the zone that a plain reading of
// the rule gives at its place on the bare wall or on the finished one, whichever is wetter.
func TestWetZoneAgreeWithAPlainReading(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 7))
	seen := map[string]int{}
	for range 3000 {
		w, l, h := 1800+1500*rnd.Float64(), 1800+1500*rnd.Float64(), 2150+300*rnd.Float64()
		x, y := rnd.Float64()*(w-700), rnd.Float64()*(l-700)
		if rnd.IntN(2) == 0 {
			x, y = 0, 0
		}
		bath := []roomsheet.Point{{x, y}, {x + 700, y}, {x + 700, y + 600}, {x, y + 600}}
		r := wetRoom(t, room.Rectangle(w, l), h, bath)
		floor, ceiling, wall := 5+60*rnd.Float64(), 5+40*rnd.Float64(), 5+40*rnd.Float64()
		goesOn(r, 0, ceiling)
		goesOn(r, 1, floor)
		for k := 2; k < 6; k++ {
			goesOn(r, k, wall)
		}
		on := []int{0, 2, 3, 4, 5}[rnd.IntN(5)]
		u, v := rnd.Float64()*w, rnd.Float64()*l
		height, spots := h-floor-ceiling, [][2]float64{{u, v}}
		if on > 1 {
			u, v = rnd.Float64()*[]float64{w, l, w, l}[on-2], rnd.Float64()*h
			height = v - floor
			// Left and right as one stands in the room with one's face to the wall.
			spots = [][2]float64{}
			for _, in := range []float64{0, wall} {
				spots = append(spots, [][2]float64{{w - u, in}, {w - in, l - u}, {u, l - in}, {in, u}}[on-2])
			}
		}
		want := 3
		for _, at := range spots {
			want = min(want, plainZone(bath, at[0], at[1], height))
		}
		got := says(r, on, "fan", u, v)
		is := 3
		for z := range 3 {
			if strings.Contains(got, fmt.Sprintf("is in zone %d", z)) {
				is = z
			}
		}
		if is != want {
			t.Fatalf("%v by %v by %v, bath at %v, surface %d at %v, %v: zone %d, plainly %d: %q", w, l, h, bath[0], on, u, v,
				is, want, got)
		}
		seen[fmt.Sprint(min(on, 2), " ", want)]++
	}
	if len(seen) < 6 {
		t.Errorf("too few cases: %v", seen)
	}
}

// plainZone is the rule read off a bath that lies square in the room.
func plainZone(bath []roomsheet.Point, x, y, height float64) int {
	out := func(low, high, at float64) float64 { return math.Max(0, math.Max(low-at, at-high)) }
	d := math.Hypot(out(bath[0][0], bath[2][0], x), out(bath[0][1], bath[2][1], y))
	switch {
	case d < 1e-6 && height <= 550:
		return 0
	case height > 2250:
		return 3
	case d < 1e-6:
		return 1
	case d <= 600:
		return 2
	}
	return 3
}
