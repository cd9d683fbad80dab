package caution

import (
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// every returns cautions of every code that the package can produce.
func every() []Caution {
	out := slices.Concat(BeforeCutting(), ForKind("downlight"), ForKind("fan"),
		ZoneAt([]Basin{bath}, Point{800, 300}, 1000).Cautions("S1", 1000, true),
		wall(true).Cable(Point{1000, 500}, Point{1800, 900}, 60), []Caution{Webbed, NotAJoist, JoistCable})
	for _, rule := range JoistRules {
		out = append(out, rule.Judge(Joist{Depth: 260, Span: 3000, Width: 150}, []Cut{
			{At: 1500, Size: 200, Off: 20}, {At: 1520, Size: 20, Off: 6}, {Notch: true, At: 1500, Size: 90, Length: 200,
				Bottom: true}})...)
	}
	for _, c := range []Coat{Skim, Backing, Screed} {
		out = append(out, Dry(c, 13, time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)).Caution)
	}
	for room := range Extracts {
		c, _ := FanCaution(room)
		out = append(out, c)
	}
	return out
}

// Every caution says where it is from, how that is known, and who decides.
func TestEveryCautionCarriesItsSource(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range every() {
		seen[c.Code] = true
		if c.Code == "" || !strings.HasSuffix(c.Text, ".") || c.Source.Document == "" || c.Source.Known == "" {
			t.Errorf("%+v", c)
		}
		if s := c.String(); !strings.HasSuffix(s, Decide) || !strings.Contains(s, c.Source.Document) || !strings.Contains(s,
			string(c.Source.Known)) {
			t.Errorf("%s", s)
		}
	}
	for _, code := range []string{"prove_dead", "asbestos", "zone", "zone_protection", "zone_socket", "cable_route",
		"cable_metal_frame",
		"joist/depth", "joist/notch_depth", "joist/hole_size", "joist/hole_place", "joist/hole_centre", "joist/apart",
		"joist/notch_below", "dry", "extract"} {
		if !seen[code] {
			t.Errorf("no caution %s among those looked at", code)
		}
	}
}

// The words that refuse to take decisions, and the order of the cautions before
// a hole: what can kill comes before what can annoy.
func TestBeforeCutting(t *testing.T) {
	got := codes(BeforeCutting())
	if !slices.Equal(got, []string{"asbestos", "prove_dead", "services", "dust", "height"}) {
		t.Error(got)
	}
	const want = "This is guidance: local codes and a qualified person decide."
	if Decide != want || !strings.Contains(Asbestos.Text, "before you drill") || !strings.Contains(ProveDead.Text,
		"prove it dead") {
		t.Error("the standing cautions have lost their point")
	}
}

func TestSourceReadsAsPeopleQuoteIt(t *testing.T) {
	for s, want := range map[Source]string{
		zoneSource: "BS 7671:2018, 701.32 (read at second hand)",
		{Document: "Site practice", Known: Practice}: "Site practice (common practice)",
	} {
		if got := s.String(); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

func TestDry(t *testing.T) {
	day := func(m time.Month, d int) time.Time { return time.Date(2026, m, d, 0, 0, 0, 0, time.UTC) }
	for _, c := range []struct {
		coat            Coat
		thickness       float64
		earliest, usual time.Time
	}{
		{Skim, 3, day(3, 5), day(3, 9)},
		{Backing, 13, day(3, 16), day(3, 30)},
		{Screed, 65, day(5, 21), day(5, 21)},
		{Screed, 0, day(3, 2), day(3, 2)},
		{Screed, -4, day(3, 2), day(3, 2)},
		{Screed, 30.2, day(4, 2), day(4, 2)},
	} {
		got := Dry(c.coat, c.thickness, day(3, 2))
		if !got.Earliest.Equal(c.earliest) || !got.Usual.Equal(c.usual) {
			t.Errorf("%s %.0f: %v to %v", c.coat, c.thickness, got.Earliest, got.Usual)
		}
	}
	want := "The skim cannot be dry before Thursday 5 March, more often not before Monday 9 March. Paint when it is " +
		"evenly pale all over, and thin the first coat."
	if got := Dry(Skim, 3, day(3, 2)).Caution.Text; got != want {
		t.Error(got)
	}
	for thickness, want := range map[float64]Coat{0: Skim, 5: Skim, 5.1: Backing, 13: Backing} {
		if got := CoatOf(thickness); got != want {
			t.Errorf("CoatOf(%v) = %s", thickness, got)
		}
	}
}

// Law: a thicker screed never dries sooner.
func TestLawThickerScreedNeverDriesSooner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0, 120).Draw(t, "a"), rapid.Float64Range(0, 50).Draw(t, "more")
		thin, _ := Days(Screed, a)
		thick, _ := Days(Screed, a+b)
		if thick < thin {
			t.Fatalf("%v mm %d days, %v mm %d days", a, thin, a+b, thick)
		}
	})
}

// wall is 4 m long and 2.4 m high with a socket low and a switch by the door.
func wall(metal bool) CableWall {
	return CableWall{Width: 4000, Height: 2400, AngleLeft: true, MetalFrame: metal, Accessories: []Accessory{
		{Point{1000, 450}, 146, 86}, {Point{3000, 1200}, 86, 86}}}
}

// Figures: BS 7671 522.6.202 at second hand; see testdata/worked.csv.
func TestWhereCablesRun(t *testing.T) {
	for _, c := range []struct {
		name string
		a, b Point
		want bool
	}{
		{"along the top", Point{0, 2250}, Point{4000, 2400}, true},
		{"below the top strip", Point{200, 2249}, Point{800, 2249}, false},
		{"in the angle", Point{150, 0}, Point{10, 2400}, true},
		{"at the open end", Point{3900, 600}, Point{3900, 900}, false},
		{"straight up from the socket", Point{1000, 450}, Point{1000, 2400}, true},
		{"up at the plate's edge", Point{927, 450}, Point{927, 2400}, true},
		{"beside the plate", Point{926, 600}, Point{926, 1100}, false},
		{"across from the switch", Point{500, 1200}, Point{3500, 1200}, true},
		{"a diagonal between the two", Point{1000, 450}, Point{3000, 1200}, false},
		{"a diagonal that stays in two zones", Point{1050, 1200}, Point{1000, 1300}, true},
		{"a point in none", Point{2000, 800}, Point{2000, 800}, false},
		{"a point in one", Point{2000, 450}, Point{2000, 450}, true},
	} {
		if got := wall(false).Expected(c.a, c.b); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
		if got := wall(false).Expected(c.b, c.a); got != c.want {
			t.Errorf("%s, the other way: %v", c.name, got)
		}
	}
	// A socket 400 from the right as seen from the other side is 400 from the
	// left here, and clear of the strip in the angle.
	behind, up := []Accessory{{Point{3600, 450}, 86, 86}}, Point{400, 2400}
	for thickness, want := range map[float64]bool{100: true, 101: false} {
		if got := wall(false).WithOtherSide(behind, thickness).Expected(Point{400, 450}, up); got != want {
			t.Errorf("through a wall of %v: %v", thickness, got)
		}
	}
	a, b := Point{1000, 450}, Point{3000, 1200}
	for _, c := range []struct {
		metal bool
		depth float64
		want  []string
	}{
		{false, 49, []string{"cable_route"}}, {false, 50, nil}, {true, 50, []string{"cable_route", "cable_metal_frame"}},
	} {
		if got := codes(wall(c.metal).Cable(a, b, c.depth)); !slices.Equal(got, c.want) {
			t.Errorf("metal %v, %v deep: %v", c.metal, c.depth, got)
		}
	}
}

// The brute-force twin of Expected asks at many places along the run.
func TestExpectedAgainstItsTwin(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		draw := func(what string) Point {
			// Whole centimetres, so that runs often lie straight in a zone.
			return Point{10 * float64(rapid.IntRange(0, 400).Draw(t, what)), 10 * float64(rapid.IntRange(0, 240).Draw(t, what))}
		}
		a, b := draw("a"), draw("b")
		if rapid.Bool().Draw(t, "straight") {
			b.X = a.X
		}
		w := wall(false)
		missed := false
		const steps = 500
		for k := range steps + 1 {
			s := float64(k) / steps
			p, in := Point{a.X + s*(b.X-a.X), a.Y + s*(b.Y-a.Y)}, false
			for _, z := range w.zones() {
				in = in || p.X >= z.x0-edge && p.X <= z.x1+edge && p.Y >= z.y0-edge && p.Y <= z.y1+edge
			}
			missed = missed || !in
		}
		got := w.Expected(a, b)
		if got && missed {
			t.Fatalf("%v to %v leaves the zones", a, b)
		}
		// Where a slanting run cuts the corner between two zones, the gap can be
		// shorter than a step of the twin; a straight run has no such corners.
		if !got && !missed && (a.X == b.X || a.Y == b.Y) {
			t.Fatalf("%v to %v never leaves the zones", a, b)
		}
	})
}

func TestFans(t *testing.T) {
	c, ok := FanCaution(Bathroom)
	if want := "A fan in a bathroom moves 15 l/s (54 m³/h) at least, or 8 l/s where it always runs."; !ok ||
		c.Text != want {
		t.Errorf("%q", c.Text)
	}
	if _, ok := FanCaution("hall"); ok {
		t.Error("a hall has a rate")
	}
}
