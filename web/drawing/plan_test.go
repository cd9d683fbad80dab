package drawing

import (
	"encoding/xml"
	"errors"
	"io"
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// room returns a rectangle of w by h whose first face runs from the given corner.
func room(w, h, turn float64) roomsheet.Surface {
	c, s := math.Cos(turn), math.Sin(turn)
	at := func(x, y float64) roomsheet.Point { return roomsheet.Point{x*c - y*s, x*s + y*c} }
	layers := []roomsheet.Layer{{ID: "board", Thickness: 25, Stage: "boarding"},
		{ID: "skim", Thickness: 3, Stage: "plaster"}}
	corners := []roomsheet.Point{at(0, 0), at(w, 0), at(w, h), at(0, h)}
	surface := roomsheet.Surface{ID: "ceiling", Kind: "ceiling"}
	for i, id := range []string{"south", "east", "north", "west"} {
		surface.Datums = append(surface.Datums, roomsheet.Datum{ID: id, Kind: "face", Now: "board", Layers: layers,
			Line: &roomsheet.Line{corners[i], corners[(i+1)%4]}})
	}
	surface.Timbers = []roomsheet.Timber{{ID: "J1", Line: roomsheet.Line{at(w/3, 0), at(w/3, h)}, Width: 47}}
	surface.Positions = []roomsheet.Position{{ID: "D1", Kind: "downlight", Cutout: 76}, {ID: "D2", Kind: "fan"},
		{ID: "D3", Kind: "socket"}}
	surface.Measurements = []roomsheet.Measurement{
		{ID: "a", Kind: "offset", Of: "D1", From: "south", State: "bare", Value: 600},
		{ID: "b", Kind: "offset", Of: "D1", From: "west", State: "", Value: 900},
	}
	return surface
}

func answer(turn float64) *geometry.Answer {
	c, s := math.Cos(turn), math.Sin(turn)
	at := func(x, y float64) geometry.Vec { return geometry.Vec{U: x*c - y*s, V: x*s + y*c} }
	p := geometry.PositionAnswer{Determinate: true, At: at(900, 600), Cov: geometry.Cov{UU: 16, VV: 4},
		Mark: &geometry.Mark{From: [2]int{0, 3}, Ellipse: geometry.Ellipse{A: 10, B: 5}},
		Plan: geometry.Plan{Move: at(100, 0), Offsets: [2]float64{575, 975}}}
	return &geometry.Answer{Positions: []geometry.PositionAnswer{p, {}, {}}, First: 0}
}

// starts parses a plan strictly and returns its start tags.
func starts(t *testing.T, svg string) []xml.StartElement {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(svg))
	var all []xml.StartElement
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return all
		}
		if err != nil {
			t.Fatalf("not well formed: %v\n%s", err, svg)
		}
		if s, ok := tok.(xml.StartElement); ok {
			all = append(all, s.Copy())
		}
	}
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

func number(t *testing.T, e xml.StartElement, name string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(attr(e, name), 64)
	if err != nil {
		t.Fatalf("<%s %s>: %v", e.Name.Local, name, err)
	}
	return v
}

func find(t *testing.T, all []xml.StartElement, class string) []xml.StartElement {
	t.Helper()
	var some []xml.StartElement
	for _, e := range all {
		if attr(e, "class") == class {
			some = append(some, e)
		}
	}
	return some
}

func TestNoDatumsNoPlan(t *testing.T) {
	if got := (Plan{Surface: roomsheet.Surface{ID: "x"}}).SVG(); got != "" {
		t.Errorf("a plan without a wall: %s", got)
	}
}

// TestFirstFaceLiesAlongTheFoot: however the frame is turned, the first wall
// is level, at the bottom, and runs from left to right.
func TestFirstFaceLiesAlongTheFoot(t *testing.T) {
	for _, turn := range []float64{0, 0.3, math.Pi / 2, 2.5, math.Pi, -1.2} {
		all := starts(t, string(Plan{Surface: room(3600, 2400, turn), Answer: answer(turn)}.SVG()))
		faces := find(t, all, "face")
		if len(faces) != 4 {
			t.Fatalf("turn %v: %d faces", turn, len(faces))
		}
		f := faces[0]
		if math.Abs(number(t, f, "y1")-number(t, f, "y2")) > 0.05 || number(t, f, "x2") < number(t, f, "x1") {
			t.Errorf("turn %v: the first face runs %v", turn, f.Attr)
		}
		for _, other := range faces[1:] {
			if number(t, other, "y1") > number(t, f, "y1")+0.05 || number(t, other, "y2") > number(t, f, "y1")+0.05 {
				t.Errorf("turn %v: a wall lies below the first", turn)
			}
		}
	}
}

// TestEllipseTurnsWithTheFrame: an ellipse long in u keeps to u when the sheet
// is turned to lay the first face level.
func TestEllipseTurnsWithTheFrame(t *testing.T) {
	for _, turn := range []float64{0, 0.3, -0.7, 1.2} {
		e := find(t, starts(t, string(Plan{Surface: room(3600, 2400, turn), Answer: answer(turn)}.SVG())), "sure")[0]
		got, err := strconv.ParseFloat(strings.Fields(strings.TrimPrefix(attr(e, "transform"), "rotate("))[0], 64)
		if err != nil {
			t.Fatal(err)
		}
		// SVG turns clockwise, and u lies turn clockwise from the first face.
		if want := turn * 180 / math.Pi; math.Abs(math.Remainder(got-want, 180)) > 0.1 {
			t.Errorf("turn %v: ellipse at %v, want %v", turn, got, want)
		}
	}
}

// TestLegendNamesWhatIsShown and nothing else.
func TestLegendNamesWhatIsShown(t *testing.T) {
	s := room(3600, 2400, 0)
	svg := string(Plan{Surface: s, Answer: answer(0)}.SVG())
	if !strings.Contains(svg, ">wall<") || !strings.Contains(svg, ">boards<") || strings.Contains(svg, ">plaster<") {
		t.Error("the legend of a boarded room is not wall and boards")
	}
}

// TestScaleHolds: the drawn room measures what the room measures today.
func TestScaleHolds(t *testing.T) {
	all := starts(t, string(Plan{Surface: room(3600, 2400, 0), Answer: answer(0)}.SVG()))
	bar := find(t, all, "scale")[0]
	metre := number(t, bar, "x2") - number(t, bar, "x1")
	faces := find(t, all, "face")
	if got, want := (number(t, faces[0], "x2")-number(t, faces[0], "x1"))/metre*1000,
		3600.0-2*25; math.Abs(got-want) > 0.5 {
		t.Errorf("between the boards %v mm, want %v", got, want)
	}
	ring := find(t, all, "cut-out")[0]
	if got := 2 * number(t, ring, "r") / metre * 1000; math.Abs(got-76) > 0.2 {
		t.Errorf("cut-out drawn %v mm, want 76", got)
	}
	if got := (number(t, ring, "cx") - number(t, faces[0], "x1")) / metre * 1000; math.Abs(got-875) > 0.5 {
		t.Errorf("D1 drawn %v mm from the boarded west wall, want 875", got)
	}
	e := find(t, all, "sure")[0]
	if got := number(t, e, "rx") / metre * 1000; math.Abs(got-Magnify*4*math.Sqrt(chi2At95)) > 0.5 {
		t.Errorf("ellipse drawn %v mm", got)
	}
}

// TestSetOutDrawsTheMovedHole: in that mode the hole is where it is to be cut,
// with today's offsets.
func TestSetOutDrawsTheMovedHole(t *testing.T) {
	surface := room(3600, 2400, 0)
	record := string(Plan{Surface: surface, Answer: answer(0)}.SVG())
	today := string(Plan{Surface: surface, Answer: answer(0), Mode: SetOut}.SVG())
	x := func(svg string) float64 { return number(t, find(t, starts(t, svg), "cut-out")[0], "cx") }
	wall := func(svg string) float64 { return number(t, find(t, starts(t, svg), "face")[0], "x1") }
	bar := find(t, starts(t, today), "scale")[0]
	scale := (number(t, bar, "x2") - number(t, bar, "x1")) / 1000
	old := find(t, starts(t, record), "scale")[0]
	was := (number(t, old, "x2") - number(t, old, "x1")) / 1000
	dx := (x(today)-wall(today))/scale - (x(record)-wall(record))/was
	if math.Abs(dx-100) > 0.5 {
		t.Errorf("the hole moved %v mm, want 100", dx)
	}
	for _, want := range []string{">575<", ">975<", "from south, boarded", "from west, boarded"} {
		if !strings.Contains(today, want) {
			t.Errorf("the set-out does not say %q", want)
		}
	}
}

// TestDimensionsNameTheState: recorded offsets say the state they were read
// in, and one that was not recorded says so.
func TestDimensionsNameTheState(t *testing.T) {
	svg := string(Plan{Surface: room(3600, 2400, 0), Answer: answer(0),
		Names: map[string]string{"south": "south wall"}}.SVG())
	for _, want := range []string{">600<", ">900<", "from south wall, bare", "from west, state not recorded"} {
		if !strings.Contains(svg, want) {
			t.Errorf("the plan does not say %q", want)
		}
	}
}

// TestLinksGoThereAndBack: everything that can be touched has an id and leads
// to the line of its schedule.
func TestLinksGoThereAndBack(t *testing.T) {
	all := starts(t, string(Plan{Surface: room(3600, 2400, 0), Answer: answer(0),
		Planned: map[string]roomsheet.Point{"D2": {2000, 600}},
		Leads: func(kind, id string) Lead {
			switch kind {
			case "timber":
				return Lead{Href: "/rooms/r#" + RowAnchor("ceiling", kind, id)}
			case "datum":
				return Lead{Href: "#f-datum", Field: "datum", Value: id}
			}
			return Lead{Href: "#" + RowAnchor("ceiling", kind, id)}
		}}.SVG()))
	want := map[string]string{
		"plan-ceiling-datum-south": "#f-datum", "plan-ceiling-timber-J1": "/rooms/r#row-ceiling-timber-J1",
		"plan-ceiling-position-D1": "#row-ceiling-position-D1", "plan-ceiling-position-D2": "#row-ceiling-position-D2"}
	for _, e := range all {
		if e.Name.Local == "a" && want[attr(e, "id")] != "" {
			if attr(e, "href") != want[attr(e, "id")] {
				t.Errorf("%s leads to %s", attr(e, "id"), attr(e, "href"))
			}
			delete(want, attr(e, "id"))
		}
	}
	for id := range want {
		t.Errorf("nothing on the plan is %s", id)
	}
}

func TestUnplaced(t *testing.T) {
	p := Plan{Surface: room(3600, 2400, 0), Answer: answer(0), Planned: map[string]roomsheet.Point{"D2": {2000, 600}}}
	if got := p.Unplaced(); len(got) != 1 || got[0] != "D3" {
		t.Errorf("unplaced %v, want D3", got)
	}
	if strings.Contains(string(p.SVG()), "plan-ceiling-position-D3") {
		t.Error("D3 has no place but is drawn")
	}
}

// TestHostileNames: a name cannot break out of the drawing.
func TestHostileNames(t *testing.T) {
	s := room(3600, 2400, 0)
	s.ID = `c"><script>`
	s.Datums[0].ID = `<b>&"'`
	s.Positions[0].ID = `D 1"/>`
	svg := string(Plan{Surface: s, Answer: answer(0), Words: map[string]string{s.Positions[0].ID: "</text>"}}.SVG())
	for _, e := range starts(t, svg) {
		if e.Name.Local == "script" || e.Name.Local == "b" {
			t.Errorf("<%s> came through", e.Name.Local)
		}
		if id := attr(e, "id"); strings.ContainsAny(id, " \"<>&") {
			t.Errorf("id %q", id)
		}
	}
}

// TestNoStrayNumbers: odd rooms draw without NaN or Inf.
func TestNoStrayNumbers(t *testing.T) {
	same := roomsheet.Point{5, 5}
	odd := []roomsheet.Surface{
		{ID: "line", Datums: []roomsheet.Datum{{ID: "a", Kind: "face", Line: &roomsheet.Line{same, same}}}},
		{ID: "point", Datums: []roomsheet.Datum{{ID: "p", Kind: "point", Point: &same}},
			Positions: []roomsheet.Position{{ID: "D1"}}},
		{ID: "open", Datums: []roomsheet.Datum{{ID: "a", Kind: "face", Line: &roomsheet.Line{{0, 0}, {1000, 0}}},
			{ID: "b", Kind: "face", Line: &roomsheet.Line{{1000, 0}, {2000, 1}}}}},
	}
	bad := regexp.MustCompile(`NaN|Inf|%!`)
	for _, s := range odd {
		svg := string(Plan{Surface: s, Answer: &geometry.Answer{}}.SVG())
		starts(t, svg)
		if m := bad.FindString(svg); m != "" {
			t.Errorf("%s: %s in the drawing", s.ID, m)
		}
	}
}

// TestEllipse95 against the axes of a known covariance: 95 % of chi-square
// with two degrees of freedom is 5.991 (published tables).
func TestEllipse95(t *testing.T) {
	k := math.Sqrt(5.991)
	for _, c := range []struct {
		cov  geometry.Cov
		a, b float64
		deg  float64
	}{
		{geometry.Cov{UU: 16, VV: 4}, 4 * k, 2 * k, 0},
		{geometry.Cov{UU: 4, VV: 16}, 4 * k, 2 * k, 90},
		{geometry.Cov{UU: 10, UV: 6, VV: 10}, 4 * k, 2 * k, 45},
		{geometry.Cov{UU: 10, UV: -6, VV: 10}, 4 * k, 2 * k, -45},
		{geometry.Cov{}, 0, 0, 0},
	} {
		e := Ellipse95(c.cov)
		if math.Abs(e.A-c.a) > 0.001 || math.Abs(e.B-c.b) > 0.001 || math.Abs(e.Angle-c.deg) > 1e-9 {
			t.Errorf("%v: %v, want %v %v at %v", c.cov, e, c.a, c.b, c.deg)
		}
	}
}

func TestStateWord(t *testing.T) {
	for state, want := range map[string]string{"": "bare", "bare": "bare", "skim": "skimmed", "tile": "tiled",
		"cork": "with cork"} {
		if got := words.StateOf(state); got != want {
			t.Errorf("%q: %q, want %q", state, got, want)
		}
	}
}

// TestEveryKindHasASymbol of the schedule's kinds: none falls back by mistake.
func TestEveryKindHasASymbol(t *testing.T) {
	for _, kind := range []string{"downlight", "pendant", "fan", "switch drop", "socket", "sensor", "pipe tail", "waste",
		"duct"} {
		if symbolOf(kind) == symbols["other"] {
			t.Errorf("%s has no symbol of its own", kind)
		}
		starts(t, string(Symbol(kind)))
	}
}
