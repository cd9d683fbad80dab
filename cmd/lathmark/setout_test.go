package main

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lathmark/domain/roomsheet"
)

const kitchen = "../../testdata/rooms/kitchen.json"

// called runs the command line as a person would type it.
func called(stdin string, args ...string) (status int, out, err string) {
	var o, e bytes.Buffer
	status = run(context.Background(), args, nil, strings.NewReader(stdin), &o, &e)
	return status, o.String(), e.String()
}

func TestSetOutPrintsTheSheet(t *testing.T) {
	status, out, err := called("", "setout", kitchen)
	if status != statusDone || err != "" || !strings.Contains(out, "SETTING-OUT SHEET: Kitchen") {
		t.Errorf("status %d, %q\n%s", status, err, out)
	}
	doc, e := os.ReadFile(kitchen)
	if e != nil {
		t.Fatal(e)
	}
	if _, piped, _ := called(string(doc), "setout", "-"); piped != out {
		t.Error("the sheet from standard input is another")
	}
}

// --json stands before or after the file, and returns the contract's answer.
func TestSetOutJSON(t *testing.T) {
	_, before, err := called("", "setout", "--json", kitchen)
	_, after, _ := called("", "setout", kitchen, "--json")
	if err != "" || before != after {
		t.Errorf("%q; before and after the file differ: %v", err, before != after)
	}
	var a roomsheet.Answer
	d := json.NewDecoder(strings.NewReader(before))
	d.DisallowUnknownFields()
	if err := d.Decode(&a); err != nil || a.Format != "lathmark-setout/1" || a.Room != "Kitchen" ||
		len(a.Surfaces[0].Positions) != 14 {
		t.Errorf("%v: %+v", err, a)
	}
}

// Bad input is status 1 with everything wrong, bad usage status 2 with the
// usage; neither prints half an answer.
func TestSetOutStatus(t *testing.T) {
	missing := filepath.Join(t.TempDir(), "none.json")
	for _, c := range []struct {
		name, stdin string
		args        []string
		status      int
		err         []string
	}{
		{"no file", "", nil, 2, []string{"not 0", "Usage: lathmark setout"}},
		{"two files", "", []string{"a", "b"}, 2, []string{"not 2"}},
		{"unknown option", "", []string{"--xml", kitchen}, 2, []string{`unknown option "--xml"`}},
		{"a file that looks like an option", "", []string{"--", "--json"}, 1, []string{"cannot be opened"}},
		{"no such file", "", []string{missing}, 1, []string{"cannot be opened", "none.json"}},
		{"not a sheet", "[1, 2", []string{"-"}, 1, []string{"One thing in this room sheet needs mending",
			"$: the document ends too soon"}},
		{"two faults", `{"format": "x", "room": "Hall", "surfaces": [{"id": "c", "kind": "roof"}]}`, []string{"--json", "-"},
			1,
			[]string{"2 things", "$.format: ", "$.surfaces[0].kind: "}},
	} {
		status, out, err := called(c.stdin, append([]string{"setout"}, c.args...)...)
		if status != c.status || out != "" {
			t.Errorf("%s: status %d, printed %q", c.name, status, out)
		}
		for _, want := range c.err {
			if !strings.Contains(err, want) {
				t.Errorf("%s: %q, want %q in it", c.name, err, want)
			}
		}
	}
	if status, out, _ := called("", "setout", "--help"); status != statusDone || !strings.Contains(out,
		"Usage: lathmark setout") {
		t.Errorf("help: status %d, %q", status, out)
	}
}
