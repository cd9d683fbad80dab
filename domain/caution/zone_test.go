package caution

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// bath is 1700 x 700 along the walls in the corner of a room.
var bath = Basin{Name: "bath", Outline: []Point{{0, 0}, {1700, 0}, {1700, 700}, {0, 700}}, Rim: 560}

// Figures: BS 7671 701.32 at second hand; see testdata/worked.csv.
func TestZonesRoundABath(t *testing.T) {
	high := bath
	high.Head = 2400
	wet := Basin{Name: "shower", Outlet: Point{1000, 1000}}
	for _, c := range []struct {
		name     string
		basin    Basin
		at       Point
		height   float64
		zone     Zone
		distance float64
	}{
		{"in the bath", bath, Point{800, 300}, 300, Zone0, 0},
		{"on the rim", bath, Point{800, 300}, 560, Zone0, 0},
		{"over the bath", bath, Point{800, 300}, 561, Zone1, 0},
		{"at the top of zone 1", bath, Point{800, 300}, 2250, Zone1, 0},
		{"ceiling over the bath", bath, Point{800, 300}, 2400, Outside, 0},
		{"the same under a high head", high, Point{800, 300}, 2400, Zone1, 0},
		{"on the edge", bath, Point{800, 700}, 1000, Zone1, 0},
		{"just beside", bath, Point{800, 701}, 1000, Zone2, 1},
		{"600 away", bath, Point{800, 1300}, 1000, Zone2, 600},
		{"601 away", bath, Point{800, 1301}, 1000, Outside, 601},
		{"round the corner", bath, Point{2000, 1100}, 1000, Zone2, 500},
		{"beside, ceiling", bath, Point{800, 1000}, 2251, Outside, 300},
		{"wet room, floor", wet, Point{1000, 2200}, 100, Zone0, 0},
		{"wet room", wet, Point{1000, 2200}, 101, Zone1, 0},
		{"wet room has no zone 2", wet, Point{1000, 2201}, 101, Outside, 1},
	} {
		got := ZoneAt([]Basin{c.basin}, c.at, c.height)
		if got.Zone != c.zone || math.Abs(got.Distance-c.distance) > 1e-6 {
			t.Errorf("%s: %s, %.1f mm; want %s, %.1f", c.name, got.Zone, got.Distance, c.zone, c.distance)
		}
	}
}

func TestWettestBasinDecides(t *testing.T) {
	shower := Basin{Name: "shower", Outline: []Point{{2000, 0}, {2800, 0}, {2800, 800}, {2000, 800}}}
	got := ZoneAt([]Basin{bath, shower}, Point{2100, 100}, 1500)
	if got.Zone != Zone1 || got.Basin != 1 {
		t.Errorf("%+v", got)
	}
	if got = ZoneAt([]Basin{shower, bath}, Point{1800, 100}, 1500); got.Zone != Zone2 || got.Basin != 1 ||
		got.Distance != 100 {
		t.Errorf("the nearer of two: %+v", got)
	}
	if got = ZoneAt(nil, Point{}, 0); got.Zone != Outside || got.Basin != -1 || got.Cautions("D1", 0, true) != nil {
		t.Errorf("a room with neither: %+v", got)
	}
}

func TestProtection(t *testing.T) {
	for z, want := range map[Zone][2]string{Zone0: {"IPX7", "IPX7"}, Zone1: {"IPX4", "IPX5"}, Zone2: {"IPX4", "IPX5"},
		Outside: {"", ""}} {
		if got := [2]string{z.Protection(false), z.Protection(true)}; got != want {
			t.Errorf("%s: %v", z, got)
		}
	}
	got := ZoneAt([]Basin{bath}, Point{800, 1000}, 2000).Cautions("D3", 2000, true)
	if len(got) != 3 ||
		!strings.HasPrefix(got[0].Text, "D3, 2000 mm above the finished floor, is in zone 2, 300 mm from the edge") ||
		!strings.Contains(got[1].Text, "IPX4") || !strings.Contains(got[2].Text, "within 2500 mm") {
		t.Errorf("%+v", got)
	}
	for height, want := range map[float64]string{2400: " is above zone 1, which ends at 2250 mm, ", 2000: " is in zone 1.",
		200: " is in zone 0."} {
		got := ZoneAt([]Basin{bath}, Point{800, 300}, height).Cautions("D1", height, false)[0].Text
		if !strings.Contains(got, want) {
			t.Errorf("at %v: %s", height, got)
		}
	}
	if got := ZoneAt([]Basin{bath}, Point{800, 3700}, 300).Cautions("S1", 300, true); len(got) != 0 {
		t.Errorf("a socket 3000 mm away: %+v", got)
	}
}

// bumpy draws a star-shaped outline, either way round, with reflex corners.
func bumpy(t *rapid.T) []Point {
	n := rapid.IntRange(3, 9).Draw(t, "corners")
	out := make([]Point, n)
	for i := range out {
		r := rapid.Float64Range(200, 2000).Draw(t, "radius")
		a := 2 * math.Pi * float64(i) / float64(n)
		out[i] = Point{r * math.Cos(a), r * math.Sin(a)}
	}
	if rapid.Bool().Draw(t, "other way round") {
		for i, j := 0, n-1; i < j; i, j = i+1, j-1 {
			out[i], out[j] = out[j], out[i]
		}
	}
	return out
}

// The distance's brute-force twin walks round the outline in small steps, and
// tells inside from outside by the sum of the angles under which the sides are
// seen.
func TestDistanceAgainstItsTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		outline := bumpy(t)
		p := Point{rapid.Float64Range(-3000, 3000).Draw(t, "x"), rapid.Float64Range(-3000, 3000).Draw(t, "y")}
		near, turn := math.Inf(1), 0.0
		for i, a := range outline {
			b := outline[(i+1)%len(outline)]
			const steps = 2000
			for k := range steps {
				s := float64(k) / steps
				near = math.Min(near, math.Hypot(a.X+s*(b.X-a.X)-p.X, a.Y+s*(b.Y-a.Y)-p.Y))
			}
			ax, ay, bx, by := a.X-p.X, a.Y-p.Y, b.X-p.X, b.Y-p.Y
			turn += math.Atan2(ax*by-ay*bx, ax*bx+ay*by)
		}
		got := distanceToOutline(outline, p)
		if inside := math.Abs(turn) > math.Pi; near > 3 && (got == 0) != inside {
			t.Fatalf("inside %v, distance %v", inside, got)
		}
		// A step is at most 4000/2000 = 2 mm long.
		if got > near || got != 0 && got < near-2 {
			t.Fatalf("distance %v, twin %v", got, near)
		}
	})
}

// Laws: turning and moving the room changes nothing; going up never makes a
// place wetter, and going straight away from everything neither.
func TestZoneLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := Basin{Outline: bumpy(t), Rim: 500}
		p := Point{rapid.Float64Range(-3000, 3000).Draw(t, "x"), rapid.Float64Range(-3000, 3000).Draw(t, "y")}
		h := rapid.Float64Range(0, 2600).Draw(t, "height")
		is := ZoneAt([]Basin{b}, p, h)
		if up := ZoneAt([]Basin{b}, p, h+rapid.Float64Range(0, 2600).Draw(t, "up")); up.Zone < is.Zone {
			t.Fatalf("wetter higher up: %v, %v", is, up)
		}
		a := rapid.Float64Range(0, 7).Draw(t, "turn")
		turned := func(q Point) Point {
			return Point{q.X*math.Cos(a) - q.Y*math.Sin(a) + 700, q.X*math.Sin(a) + q.Y*math.Cos(a) - 300}
		}
		moved := Basin{Rim: b.Rim}
		for _, q := range b.Outline {
			moved.Outline = append(moved.Outline, turned(q))
		}
		if got := ZoneAt([]Basin{moved}, turned(p), h); math.Abs(got.Distance-is.Distance) > 1e-4 {
			t.Fatalf("%v, turned %v", is, got)
		}
		if far := ZoneAt([]Basin{b}, Point{p.X + 10000, p.Y}, h); far.Zone != Outside {
			t.Fatalf("10 m away: %v", far)
		}
	})
}
