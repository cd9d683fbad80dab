package caution

import (
	"math"
	"slices"
	"strings"
	"testing"
	"time"

	"lathmark/domain/words"

	"pgregory.net/rapid"
)

// every returns cautions of every code that the package can produce.
func every() []Caution {
	metal := wall()
	out := slices.Concat(Hole{Kind: "downlight", Surface: "ceiling", Height: 2400}.Cautions(),
		Hole{Kind: "fan", Surface: "slope", Height: math.NaN(), Use: words.Kitchen}.Cautions(),
		Hole{Kind: "fan", Surface: "wall", Wall: &metal}.Cautions(),
		ZoneAt([]Basin{bath}, Point{800, 300}, 1000).Cautions("S1", 1000, true), []Caution{Webbed, NotAJoist, JoistCable,
			NearEdge,
			Screed(65, time.Time{}), Dabs(time.Time{}), Plaster(3, time.Date(2026, 3, 2, 0, 0, 0, 0, time.UTC)).Caution})
	if c, ok := wall().Route(Point{1000, 500}, Point{1800, 900}); ok {
		out = append(out, c)
	}
	for _, rule := range JoistRules {
		out = append(out, rule.Judge(Joist{Depth: 260, Span: 3000, Width: 150}, []Cut{
			{At: 1500, Size: 200, Off: 20}, {At: 1520, Size: 20, Off: 6}, {Notch: true, At: 1500, Size: 90}})...)
	}
	return out
}

// Every caution says where it is from and who decides, and says so where its source was
// not read.
func TestEveryCautionCarriesItsSource(t *testing.T) {
	seen := map[string]bool{}
	for _, c := range every() {
		seen[c.Code] = true
		if c.Code == "" || !strings.HasSuffix(c.Text, ".") || c.Source.Document == "" {
			t.Errorf("%+v", c)
		}
		s := c.String()
		if !strings.HasSuffix(s, Decide) || !strings.Contains(s, c.Source.Document) ||
			strings.Contains(s, "check the current edition") != (c.Source.Known == Unread) {
			t.Errorf("%s", s)
		}
	}
	for _, code := range Codes {
		if !seen[code] {
			t.Errorf("no caution %s among those looked at", code)
		}
		delete(seen, code)
	}
	for code := range seen {
		t.Errorf("%s is not among the codes", code)
	}
}

// What is said at a hole goes by its surface, its height, its kind and the room's use, and
// what can kill comes before what can annoy.
func TestAtAHole(t *testing.T) {
	w := wall()
	always := []string{"prove_dead", "services", "asbestos", "dust"}
	for name, c := range map[string]struct {
		hole Hole
		want []string // beside those that are always there
	}{
		"downlight": {Hole{Kind: "downlight", Surface: "ceiling", Height: 2400},
			[]string{"height", "fire_floor", "fitting_heat"}},
		"under a roof": {Hole{Kind: "downlight", Surface: "slope", Height: math.NaN()},
			[]string{"height", "fitting_heat"}},
		"low ceiling": {Hole{Kind: "pendant", Surface: "ceiling", Height: Reach}, []string{"fire_floor"}},
		"fan, use not said": {Hole{Kind: "fan", Surface: "ceiling", Height: 2400},
			[]string{"height", "fire_floor", "fitting_heat", "extract_unsaid"}},
		"fan in a kitchen": {Hole{Kind: "fan", Surface: "wall", Height: 2000, Use: words.Kitchen, Wall: &w},
			[]string{"cable_zone", "height", "extract"}},
		"fan in a bedroom": {Hole{Kind: "fan", Surface: "slope", Height: 1200, Use: words.Bedroom},
			[]string{"fitting_heat"}},
		"waste in a floor": {Hole{Kind: "waste", Surface: "floor"}, nil},
		"socket near a shower": {Hole{Kind: "socket", Surface: "wall", Height: 450, Wall: &w,
			Wet: ZoneAt([]Basin{bath}, Point{800, 800}, 450).Cautions("S1", 450, true)}, []string{"cable_zone", "zone_socket",
			"zone",
			"zone_protection"}},
	} {
		got := c.hole.Cautions()
		want := append(slices.Clone(c.want), always...)
		slices.SortFunc(want, func(a, b string) int { return slices.Index(byHarm, a) - slices.Index(byHarm, b) })
		if !slices.Equal(codes(got), want) {
			t.Errorf("%s: %v, want %v", name, codes(got), want)
		}
		for _, c := range got {
			if c.Code == "" || c.Source.Document == "" {
				t.Errorf("%s: %+v", name, c)
			}
		}
	}
}

// The sentences that must keep their point.
func TestWhatIsSaidWhereSomebodyCuts(t *testing.T) {
	for _, c := range []struct {
		of    Caution
		words []string
	}{
		{ProveDead, []string{"prove it dead", "qualified person"}},
		{Services, []string{"Gas, water and heating pipes", "Scan", "if in doubt, stop", "registered gas engineer"}},
		{Asbestos, []string{"built or refurbished before 2000", "before you cut"}},
		{Dust, []string{"FFP3"}},
	} {
		for _, w := range c.words {
			if !strings.Contains(c.of.Text, w) {
				t.Errorf("%s does not say %q: %s", c.of.Code, w, c.of.Text)
			}
		}
	}
}

func TestSourceReadsAsPeopleQuoteIt(t *testing.T) {
	for s, want := range map[Source]string{
		zoneSource:       "BS 7671:2018+A2:2022, 701.32; not checked against the document: check the current edition",
		ProveDead.Source: "Electricity at Work Regulations 1989, regulation 14",
		BS5268.Source: "BS 5268-2:2002, as restated by TRADA (withdrawn); not checked against the document: check the " +
			"current edition",
		site: "Site practice",
	} {
		if got := s.String(); got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

func TestDry(t *testing.T) {
	day := func(m time.Month, d int) time.Time { return time.Date(2026, m, d, 0, 0, 0, 0, time.UTC) }
	for _, c := range []struct {
		thickness       float64
		earliest, usual time.Time
	}{{3, day(3, 5), day(3, 9)}, {5, day(3, 5), day(3, 9)}, {5.1, day(3, 16), day(3, 30)}, {13, day(3, 16), day(3, 30)}} {
		got := Plaster(c.thickness, day(3, 2))
		if !got.Earliest.Equal(c.earliest) || !got.Usual.Equal(c.usual) {
			t.Errorf("%.1f: %v to %v", c.thickness, got.Earliest, got.Usual)
		}
	}
	for thickness, want := range map[float64]int{65: 90, 40: 40, 0: 0, -4: 0, 30.2: 31} {
		if got := ScreedDays(thickness); got != want {
			t.Errorf("a screed of %v: %d days", thickness, got)
		}
	}
	for got, want := range map[string]string{
		Plaster(3, day(3, 2)).Caution.Text: "The plaster cannot be dry before Thursday 5 March; allow until " +
			"Monday 9 March. Paint when it is evenly pale all over; thin the first coat.",
		Screed(65, day(3, 2)).Text: "The screed of 65 mm cannot be dry before Sunday 31 May, and often longer. Measure it: " +
			"the floor goes on at 75 % humidity or below.",
		Dabs(day(3, 2)).Text: "The boards on dabs take no tiles before Thursday 12 March, 10 days after they went on.",
	} {
		if got != want {
			t.Errorf("%s, want %s", got, want)
		}
	}
}

// Law: a thicker screed never dries sooner.
func TestLawThickerScreedNeverDriesSooner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0, 120).Draw(t, "a"), rapid.Float64Range(0, 50).Draw(t, "more")
		thin, thick := ScreedDays(a), ScreedDays(a+b)
		if thick < thin {
			t.Fatalf("%v mm %d days, %v mm %d days", a, thin, a+b, thick)
		}
	})
}

// wall is 4 m long and 2.4 m high with a socket low and a switch by the door.
func wall() CableWall {
	return CableWall{Width: 4000, Height: 2400, AngleLeft: true, Accessories: []Accessory{
		{"S1", Point{1000, 450}, 146, 86}, {"S2", Point{3000, 1200}, 86, 86}}}
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
		if got := wall().Expected(c.a, c.b); got != c.want {
			t.Errorf("%s: %v", c.name, got)
		}
		if got := wall().Expected(c.b, c.a); got != c.want {
			t.Errorf("%s, the other way: %v", c.name, got)
		}
	}
	if c, out := wall().Route(Point{1000, 450}, Point{3000, 1200}); !out || c.Code != "cable_route" {
		t.Errorf("a diagonal: %+v", c)
	}
	if c, out := wall().Route(Point{1000, 450}, Point{1000, 2400}); out {
		t.Errorf("straight up: %+v", c)
	}
}

// A hole is told where it lies to the zones, as Expected has them.
func TestHolesInWalls(t *testing.T) {
	for at, want := range map[Point]string{
		{2000, 2300}: "within 150 mm of the top of the wall", {100, 1000}: "within 150 mm of a corner",
		{1010, 200}: "straight below S1", {1010, 1800}: "straight above S1", {2000, 1190}: "straight across from S2",
		{2000, 800}: "",
	} {
		if got := wall().where(at); got != want {
			t.Errorf("%v: %q, want %q", at, got, want)
		}
		if got := wall().Expected(at, at); got != (want != "") {
			t.Errorf("%v: expected %v", at, got)
		}
		says := wall().Hole("W1", at).Text
		if strings.Contains(says, "outside the safe zones") != (want == "") || !strings.HasPrefix(says, "W1 ") {
			t.Error(says)
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
		w := wall()
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

// Extract goes by the use; every use is asked for.
func TestExtractGoesByTheUse(t *testing.T) {
	for use, want := range map[words.Use]string{
		words.Kitchen: "An extract fan in a kitchen needs at least 60 l/s (216 m³/h), 30 l/s (108 m³/h) with a " +
			"cooker hood to outside; 13 l/s (47 m³/h) if it runs continuously.",
		words.Bathroom: "An extract fan in a bathroom needs at least 15 l/s (54 m³/h); 8 l/s (29 m³/h) if it runs " +
			"continuously.",
		words.ShowerRoom: "An extract fan in a shower room needs at least 15 l/s (54 m³/h); 8 l/s (29 m³/h) if it runs " +
			"continuously.",
		words.WC:      "An extract fan in a WC needs at least 6 l/s (22 m³/h).",
		words.Utility: "An extract fan in a utility room needs at least 30 l/s (108 m³/h).",
		words.Bedroom: "", words.LivingRoom: "", words.Hall: "", words.OtherUse: "",
		"": Unsaid.Text,
	} {
		if c, ok := Air(use); c.Text != want || ok != (want != "") {
			t.Errorf("%s: %q", use, c.Text)
		}
	}
}
