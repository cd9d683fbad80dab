package roomsheet

import (
	"errors"
	"fmt"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"pgregory.net/rapid"
)

// Rooms built in code can break rules that no document can.
func TestCheckOfBuiltRooms(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for name, c := range map[string]struct {
		bend        func(r *Room, s *Surface)
		path, wrong string
	}{
		"value not a number": {func(r *Room, s *Surface) { s.Measurements[0].Value = nan }, ".measurements[0].value",
			"the value of m1 is not a number"},
		"endless value": {func(r *Room, s *Surface) { s.Measurements[0].Value = inf }, ".measurements[0].value",
			"not a number"},
		"endless sigma": {func(r *Room, s *Surface) { s.Datums[0].Sigma = inf }, ".datums[0].sigma", "not a number"},
		"sigma out of reach": {func(r *Room, s *Surface) { s.Timbers[0].Sigma = 1e-9 }, ".timbers[0].sigma",
			"the least is 0.001"},
		"lean not a number": {func(r *Room, s *Surface) { s.Datums[0].Lean = nan }, ".datums[0].lean", "leans by NaN"},
		"place": {func(r *Room, s *Surface) { s.Datums[4].Point[1] = -inf }, ".datums[4].point[1]",
			"the point of stack (v) is not a number"},
		"end": {func(r *Room, s *Surface) { s.Timbers[0].Line[1][0] = nan }, ".timbers[0].line[1][0]",
			"the end of J1 (u)"},
		"cutout": {func(r *Room, s *Surface) { s.Positions[0].Cutout = inf }, ".positions[0].cutout",
			"not a number"},
		"no line": {func(r *Room, s *Surface) { s.Datums[1].Line = nil }, ".datums[1].line", "west has no line"},
		"no point": {func(r *Room, s *Surface) { s.Datums[4].Point = nil }, ".datums[4].point",
			"stack is a point and has no place"},
		"no id": {func(r *Room, s *Surface) { s.Positions[1].ID = ""; s.Measurements = nil }, ".positions[1].id",
			"is empty"},
		"not text": {func(r *Room, s *Surface) { s.Positions[1].ID = "D\xff"; s.Measurements = nil },
			".positions[1].id", "UTF-8"},
		"kind not seen": {func(r *Room, s *Surface) { s.Positions[1].Kind = "a\nb" }, ".positions[1].kind",
			"control character"},
		"no surface id": {func(r *Room, s *Surface) { s.ID = "" }, ".id", "is empty"},
		"same surface": {func(r *Room, s *Surface) { r.Surfaces = append(r.Surfaces, Surface{ID: s.ID, Kind: "wall"}) },
			"$.surfaces[1].id", "second surface"},
		"no surfaces":  {func(r *Room, s *Surface) { r.Surfaces = nil }, "$.surfaces", "no surface"},
		"no room name": {func(r *Room, s *Surface) { r.Room = "" }, "$.room", "is empty"},
		"no format":    {func(r *Room, s *Surface) { r.Format = "" }, "$.format", "Give"},
	} {
		r := mustRead(t, utility(t))
		c.bend(r, &r.Surfaces[0])
		path := c.path
		if path[0] == '.' {
			path = "$.surfaces[0]" + path
		}
		err := Check(r)
		if err == nil {
			t.Errorf("%s: no fault", name)
			continue
		}
		if got := fields(t, err); len(got) != 1 || got[0].Path != path || !strings.Contains(got[0].String(), c.wrong) {
			t.Errorf("%s:\n got %v\nwant %s: ...%s...", name, err, path, c.wrong)
		}
	}
}

// The most that a surface may hold passes; one more of anything does not.
func TestCheckOfCounts(t *testing.T) {
	for _, extra := range []int{0, 1} {
		s := Surface{ID: "c", Kind: "ceiling"}
		for i := range mostDatums + extra {
			s.Datums = append(s.Datums, Datum{ID: fmt.Sprint("f", i), Kind: "face", Line: &Line{{0, 0}, {1, 0}}})
		}
		for i := range mostLayers + extra {
			s.Layers = append(s.Layers, Layer{ID: fmt.Sprint("l", i), Thickness: 1})
		}
		for i := range mostTimbers + extra {
			s.Timbers = append(s.Timbers, Timber{ID: fmt.Sprint("J", i), Line: Line{{0, 0}, {1, 0}}, Width: 47})
		}
		for i := range mostPositions + extra {
			s.Positions = append(s.Positions, Position{ID: fmt.Sprint("D", i)})
		}
		for i := range mostMeasurements + extra {
			s.Measurements = append(s.Measurements, Measurement{ID: fmt.Sprint("m", i), Kind: "offset", Of: "D0", From: "f0",
				Value: 1})
		}
		r := &Room{Format: Format, Room: "Hall", Surfaces: []Surface{s}}
		for i := range mostSurfaces - 1 + extra {
			r.Surfaces = append(r.Surfaces, Surface{ID: fmt.Sprint("w", i), Kind: "wall"})
		}
		err := Check(r)
		if extra == 0 && err != nil {
			t.Errorf("at the limits: %v", err)
		}
		if extra == 1 {
			if got := fields(t, err); len(got) != 6 {
				t.Errorf("one over every limit: %v", err)
			}
		}
	}
}

// Faces that look straight at each other are opposite whichever way the pair is
// turned, and opposition returns by how much they are out of parallel.
func TestOppositionTurnsWithThePair(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		off, turn := rapid.Float64Range(-179, 179).Draw(t, "off"), rapid.Float64Range(-180, 180).Draw(t, "turn")
		length := rapid.Float64Range(1, 1e4).Draw(t, "length")
		ray := func(deg float64) *Line {
			s, c := math.Sincos(deg * math.Pi / 180)
			return &Line{{100, 200}, {100 + length*c, 200 + length*s}}
		}
		if got := opposition(ray(turn), ray(turn+180+off)); math.Abs(got-math.Abs(off)) > 1e-6 {
			t.Fatalf("off by %v reads %v", off, got)
		}
	})
}

func TestDocumentsThatStopTheReader(t *testing.T) {
	for doc, want := range map[string][2]string{
		"":                 {"$", "the document is empty"},
		" \n ":             {"$", "the document is empty"},
		`{"room": "Hall"`:  {"$", "ends too soon"},
		`{"surfaces": [{`:  {"$.surfaces[0]", "ends too soon"},
		`{"room": }`:       {"$.room", "not JSON at line 1"},
		"{\n \"room\" 5}":  {"$.room", "not JSON at line 2"},
		`{"a": [1,]}`:      {"$.a[1]", "not JSON"},
		`{} {}`:            {"$", "something after the end"},
		`{} x`:             {"$", "something after the end"},
		"{\"a\": \"\xff\"": {"$", "not UTF-8"},
		`{"a":` + strings.Repeat("[", 200) + strings.Repeat("]", 200) + `}`: {"$.a" + strings.Repeat("[0]", 15), "too deep"},
		"[" + strings.Repeat("1,", mostValues) + "1]":                       {"$[499999]", "more than 500000 values"},
		strings.Repeat(" ", mostBytes) + "{}":                               {"$", "over 16 MiB"},
	} {
		_, err := Read(strings.NewReader(doc))
		if err == nil {
			t.Errorf("%.40q: no fault", doc)
			continue
		}
		if got := fields(t, err); len(got) != 1 || got[0].Path != want[0] || !strings.Contains(got[0].Wrong, want[1]) {
			t.Errorf("%.40q: %v, want %v", doc, err, want)
		}
	}
	for doc, kind := range map[string]string{"[]": "a list", "null": "null", "true": "true or false", "7": "a number",
		`"x"`: "a text"} {
		_, err := Read(strings.NewReader(doc))
		if got := fields(t, err); got[0].Path != "$" || got[0].Wrong != "the document is "+kind+", not an object" {
			t.Errorf("%s: %v", doc, err)
		}
	}
}

// A source that fails is not the sheet's fault.
func TestReadOfBrokenSource(t *testing.T) {
	broken := errors.New("line is down")
	_, err := Read(iotest.ErrReader(broken))
	if !errors.Is(err, broken) {
		t.Errorf("got %v", err)
	}
}

// A document that is wrong throughout costs no more than one with a few slips,
// and the list of its faults ends.
func TestEndlessFaultsEnd(t *testing.T) {
	var b strings.Builder
	b.WriteString(`{"format": "lathmark-room/1", "room": "Hall", "surfaces": [{"id": "c", "kind": "wall", "positions": [`)
	for i := range 40_000 {
		fmt.Fprintf(&b, `{"id": "p%d", "colour": 1, "%s": 2},`, i, strings.Repeat("x", 100))
	}
	b.WriteString(`{}]}]}`)
	_, err := Read(strings.NewReader(b.String()))
	got := fields(t, err)
	if len(got) != mostFaults+1 || !strings.Contains(got[mostFaults].Wrong, "more faults are not listed") {
		t.Errorf("%d faults listed, the last: %v", len(got), got[len(got)-1])
	}
}

func TestNearest(t *testing.T) {
	known := []string{"thickness", "tail_sigma", "south", "D4", "D14"}
	for name, want := range map[string]string{
		"thicknes": "thickness", "thicknesss": "thickness", "tihckness": "thickness", "thickmess": "thickness",
		"tailSigma": "tail_sigma", "South": "south", "d-4": "D4", "D5": "", "D15": "", "D24": "", "north": "", "": "",
		"sou": "",
	} {
		if got := nearest(name, known); got != want {
			t.Errorf("nearest(%q) = %q, want %q", name, got, want)
		}
	}
}
