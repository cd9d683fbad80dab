package roomsheet

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// bend is a change to the utility sheet, and the one fault it has to cause.
type bend struct{ old, new, path, wrong string }

// Every rule that can be broken in a document. Each bend causes exactly one
// fault, at its path.
var bends = []bend{
	// shape
	{`"room": "Utility",`, ``, "$.room", "this document has no room"},
	{`"room": "Utility"`, `"room": 7`, "$.room", "a number, not a text"},
	{`"room": "Utility"`, `"room": ""`, "$.room", "is empty"},
	{`"room": "Utility"`, `"room": "Utility", "room": "Utility"`, "$.room", "twice"},
	{`"room": "Utility"`, `"room": "Utility", "lathmark x": 1`, "$['lathmark x']", "does not know"},
	{`"cutout": 76, "reach"`, `"cutuot": 76, "reach"`, "$.surfaces[0].positions[0].cutuot", "D1 has a field"},
	{`"value": 905`, `"value": "905"`, "$.surfaces[0].measurements[3].value", "the value of m4 is a text, not a number"},
	{`"value": 905`, `"value": null`, "$.surfaces[0].measurements[3].value", "null"},
	{`, "value": 905`, ``, "$.surfaces[0].measurements[3].value", "m4 has no value"},
	{`"value": 905`, `"value": 1e999`, "$.surfaces[0].measurements[3].value", "too large"},
	{`"value": 900, "sigma": 2`, `"value": 900, "sigma": 0`, "$.surfaces[0].measurements[1].sigma",
		"the sigma of m2 is 0"},
	{`"value": 900, "sigma": 2`, `"value": 900, "sigma": -2`, "$.surfaces[0].measurements[1].sigma",
		"the sigma of m2 is negative"},
	{`"reach": 80`, `"reach": 0`, "$.surfaces[0].positions[0].reach", "is 0"},
	{`"point": [3300,2100]`, `"point": [3300]`, "$.surfaces[0].datums[4].point", "has 1 numbers, not 2"},
	{`"line": [[0,2400],[0,0]]`, `"line": [[0,2400],[0,"x"]]`, "$.surfaces[0].datums[1].line[1][1]", "a text"},
	{`"line": [[0,2400],[0,0]]`, `"line": [[0,2400]]`, "$.surfaces[0].datums[1].line", "has 1 ends"},
	{`"timbers": [`, `"timbers": [4, `, "$.surfaces[0].timbers[0]", "the timber is a number"},
	{`"id": "D1", "kind": "downlight"`, `"id": 4, "kind": "downlight"`, "$.surfaces[0].positions[0].id",
		"the id of this position is a number"},
	// room and surface
	{"lathmark-room/1", "lathmark-room/2", "$.format", "lathmark-room/2"},
	{`"id": "ceiling", "kind": "ceiling"`, `"id": "ceiling", "kind": "cieling"`, "$.surfaces[0].kind", "cieling"},
	{`"now": "skim",` + "\n    \"datums\"", `"now": "paint",` + "\n    \"datums\"", "$.surfaces[0].now",
		"ceiling has no state called \"paint\""},
	// ids
	{`"id": "D2"`, `"id": "D2 "`, "$.surfaces[0].positions[1].id", "starts or ends with a space"},
	{`"id": "m8"`, `"id": "m7"`, "$.surfaces[0].measurements[7].id", "second measurement with the id m7"},
	{`"id": "m8"`, `"id": "m\u0007"`, "$.surfaces[0].measurements[7].id", "control character"},
	{`"id": "m8"`, `"id": "` + strings.Repeat("m", 61) + `"`, "$.surfaces[0].measurements[7].id", "longer than 60"},
	{`"id": "J1"`, `"id": "J\u202e1"`, "$.surfaces[0].timbers[0].id", "control character"},
	// layers
	{`{"id": "board", "thickness": 25}]`, `{"id": "board", "thickness": 25}, {"id": "bare", "thickness": 2}]`,
		"$.surfaces[0].datums[2].layers[1].id", "layer called bare"},
	{`{"id": "board", "thickness": 25}]`, `{"id": "board", "thickness": 25}, {"id": "board", "thickness": 2}]`,
		"$.surfaces[0].datums[2].layers[1].id", "second layer"},
	{`{"id": "board", "thickness": 25}]`, `{"id": "board", "thickness": -25}]`,
		"$.surfaces[0].datums[2].layers[0].thickness", "the thickness of board on north is negative"},
	{`{"id": "board", "thickness": 25}]`, `{"id": "board", "thickness": 0}]`,
		"$.surfaces[0].datums[2].layers[0].thickness", "is 0"},
	{`{"id": "board", "thickness": 25}]`, `{"id": "board", "thickness": 25, "stage": "skimming"}]`,
		"$.surfaces[0].datums[2].layers[0].stage", "skimming"},
	// datums
	{`"kind": "line",  "line"`, `"kind": "laser",  "line"`, "$.surfaces[0].datums[3].kind",
		"the kind of flange is \"laser\""},
	{`"line": [[0,2400],[0,0]]`, `"line": [[0,0],[0,0]]`, "$.surfaces[0].datums[1].line", "no length"},
	{`"line": [[0,2400],[0,0]]`, `"line": [[0,2400],[0,0]], "point": [0,2400]`, "$.surfaces[0].datums[1].point",
		"has a line, not a point"},
	{`"line": [[0,2400],[0,0]]`, `"line": [[0,240000],[0,0]]`, "$.surfaces[0].datums[1].line[0][1]", "over 100 m"},
	{`"point": [3300,2100]`, `"point": [3300,2100], "line": [[0,0],[9,9]]`, "$.surfaces[0].datums[4].line",
		"a point has no line"},
	{`"point": [3300,2100]`, `"point": [3300,2100], "lean": 3`, "$.surfaces[0].datums[4].lean", "only a face leans"},
	{`[3600,1500]], "sigma": 2`, `[3600,1500]], "now": "bare"`, "$.surfaces[0].datums[3].now", "only a face is covered"},
	{`[3600,1500]], "sigma": 2`, `[3600,1500]], "layers": [{"id": "x", "thickness": 2}]`, "$.surfaces[0].datums[3].layers",
		"only a face is covered"},
	{`"lean": 0`, `"lean": 80`, "$.surfaces[0].datums[0].lean", "leans by 80 degrees"},
	{`"lean": 0`, `"lean": -80`, "$.surfaces[0].datums[0].lean", "leans by -80 degrees"},
	{`"sigma": 10, "lean"`, `"sigma": -10, "lean"`, "$.surfaces[0].datums[0].sigma", "the sigma of south is negative"},
	{`"now": "bare"`, `"now": "board"`, "$.surfaces[0].datums[1].now", "west has no state called \"board\""},
	// timbers and positions
	{`"width": 47`, `"width": 0`, "$.surfaces[0].timbers[0].width", "the width of J1 is 0"},
	{`[[1200,0],[1200,2400]]`, `[[1200,0],[1200,0]]`, "$.surfaces[0].timbers[0].line", "the line of J1 has no length"},
	{`"cutout": 76, "reach"`, `"cutout": 1000.5, "reach"`, "$.surfaces[0].positions[0].cutout", "1000 is the most"},
	{`"tail_sigma": 10`, `"tail_sigma": -1`, "$.surfaces[0].positions[0].tail_sigma", "negative"},
	// measurements
	{`"kind": "distance"`, `"kind": "distence"`, "$.surfaces[0].measurements[3].kind", "distence"},
	{`"by": "laser"`, `"by": "lasers"`, "$.surfaces[0].measurements[6].by", "lasers"},
	{`"of": "D1", "from": "west"`, `"of": "D9", "from": "west"`, "$.surfaces[0].measurements[1].of",
		"no position called \"D9\""},
	{`"of": "D1", "from": "west"`, `"from": "west"`, "$.surfaces[0].measurements[1].of", "m2 does not say which position"},
	{`"from": "south", "value": 610`, `"from": "South", "value": 610`, "$.surfaces[0].measurements[7].from",
		"no datum called \"South\""},
	{`"from": "south", "value": 610`, `"from": "south", "state": "tile", "value": 610`,
		"$.surfaces[0].measurements[7].state", "south has no state called \"tile\""},
	{`"from": "south", "value": 610`, `"from": "south", "state": "", "value": 610`, "$.surfaces[0].measurements[7].state",
		"is empty"},
	{`"from": "south", "value": 610`, `"from": "south", "value": -610`, "$.surfaces[0].measurements[7].value", "negative"},
	{`"from": "south", "value": 610`, `"from": "south", "value": 610, "to": "north"`, "$.surfaces[0].measurements[7].to",
		"an offset has none"},
	{`"from": "south", "value": 610`, `"from": "south", "value": 610, "to_state": "bare"`,
		"$.surfaces[0].measurements[7].to_state", "an offset has none"},
	{`"from": "south", "value": 610`, `"from": "south", "value": 610, "from_state": "bare"`,
		"$.surfaces[0].measurements[7].from_state", "an offset has none"},
	{`"from": "south", "value": 610`, `"from": "south", "value": 610, "surface_state": "tile"`,
		"$.surfaces[0].measurements[7].surface_state", "ceiling has no state"},
	{`"from": "flange", "value"`, `"from": "flange", "state": "bare", "value"`, "$.surfaces[0].measurements[5].state",
		"which no layer covers"},
	{`"from": "stack", "value"`, `"from": "stack", "surface_state": "bare", "value"`,
		"$.surfaces[0].measurements[6].surface_state", "which no layer covers"},
	{`"to": "north", "to_state": "board"`, `"to": "west", "to_state": "bare"`, "$.surfaces[0].measurements[2].to",
		"90 degrees off"},
	{`[[3600,2400],[0,2400]]`, `[[0,2400],[3600,2400]]`, "$.surfaces[0].measurements[2].to", "180 degrees off"},
	{`[[3600,2400],[0,2400]]`, `[[3600,2730],[0,2400]]`, "$.surfaces[0].measurements[2].to", "5 degrees off"},
	{`"to": "north", "to_state": "board"`, `"to": "south", "to_state": "board"`, "$.surfaces[0].measurements[2].to",
		"to itself"},
	{`"to": "north", "to_state": "board"`, `"to": "flange"`, "$.surfaces[0].measurements[2].to", "needs a face"},
	{`"to": "north", "to_state": "board"`, `"to": "north", "to_state": "skim"`, "$.surfaces[0].measurements[2].to_state",
		"north has no state"},
	{`"value": 2371`, `"value": 237100`, "$.surfaces[0].measurements[2].value", "over 100 m"},
	{`"to": "D2"`, `"to": "D1"`, "$.surfaces[0].measurements[3].to", "to itself"},
	{`"of": "D1", "to": "D2"`, `"of": "D1", "to": "D2", "state": "bare"`, "$.surfaces[0].measurements[3].state",
		"a distance has none"},
	{`"of": "D1", "to": "D2"`, `"of": "D1"`, "$.surfaces[0].measurements[3].to", "does not say which position"},
	{`"from": "south", "state": "skim", "value": 31`, `"from": "west", "value": 31`, "$.surfaces[0].measurements[4].from",
		"which has no layers"},
	{`"from": "south", "state": "skim", "value": 31`, `"from": "stack", "value": 31`, "$.surfaces[0].measurements[4].from",
		"needs a face"},
	{`"from": "south", "state": "skim", "value": 31`, `"from": "south", "state": "bare", "value": 31`,
		"$.surfaces[0].measurements[4].state", "no thickness"},
	{`"from": "south", "state": "skim", "value": 31`,
		`"from": "south", "state": "board", "from_state": "skim", "value": 31`, "$.surfaces[0].measurements[4].from_state",
		"does not come before board"},
	{`"from": "south", "state": "skim", "value": 31`, `"from": "south", "from_state": "skim", "value": 31`,
		"$.surfaces[0].measurements[4].from_state", "nothing goes on after"},
	{`"from": "south", "state": "skim", "value": 31`, `"from": "south", "state": "skim", "of": "D1", "value": 31`,
		"$.surfaces[0].measurements[4].of", "a thickness has none"},
}

func TestEveryFault(t *testing.T) {
	whole := utility(t)
	for _, b := range bends {
		if strings.Count(whole, b.old) != 1 {
			t.Errorf("%q stands %d times in the sheet", b.old, strings.Count(whole, b.old))
			continue
		}
		_, err := Read(strings.NewReader(strings.Replace(whole, b.old, b.new, 1)))
		if err == nil {
			t.Errorf("%s: no fault", b.new)
			continue
		}
		got := fields(t, err)
		if len(got) != 1 || got[0].Path != b.path || !strings.Contains(got[0].Wrong, b.wrong) {
			t.Errorf("%s:\n got %v\nwant %s: ...%s...", b.new, err, b.path, b.wrong)
		}
	}
}

// What breaks no rule, near what does.
func TestNearlyFaults(t *testing.T) {
	whole := utility(t)
	for _, b := range []bend{
		{`"lean": 0`, `"lean": 79.9`, "", ""},
		{`"cutout": 76, "reach"`, `"cutout": 1000, "reach"`, "", ""},
		{`[[3600,2400],[0,2400]]`, `[[3600,2700],[0,2400]]`, "", ""},
		{`"state": "skim", "value": 31`, `"value": 31`, "", ""},
		{`"to": "north", "to_state": "board"`, `"to": "north"`, "", ""},
		{`"id": "m8"`, `"id": "` + strings.Repeat("ü", 60) + `"`, "", ""},
		{`"value": 905`, `"value": 0`, "", ""},
		{`"value": 905`, `"value": 100000`, "", ""},
		{`"value": 905`, `"value": 9.05e2`, "", ""},
		{`{`, "\uFEFF{", "", ""},
	} {
		if _, err := Read(strings.NewReader(strings.Replace(whole, b.old, b.new, 1))); err != nil {
			t.Errorf("%s: %v", b.new, err)
		}
	}
}

// All faults at once, as they are printed: read this file as the person who
// has to mend the sheet.
func TestFaultsGolden(t *testing.T) {
	doc, err := os.ReadFile("testdata/faulty.json")
	if err != nil {
		t.Fatal(err)
	}
	_, err = Read(bytes.NewReader(doc))
	golden(t, "testdata/faulty.txt", []byte(fmt.Sprintln(err)))
}

// golden compares with a file, or with UPDATE_GOLDEN=1 writes it.
func golden(t *testing.T, file string, got []byte) {
	t.Helper()
	if os.Getenv("UPDATE_GOLDEN") != "" {
		if err := os.WriteFile(file, got, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(string(want), string(got)); d != "" {
		t.Errorf("%s: -want +got\n%s", file, d)
	}
}
