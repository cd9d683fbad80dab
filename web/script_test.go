package web

import (
	"bytes"
	"encoding/json"
	"os"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// scriptLimit is the largest size of the modules and the worker together,
// before compression: phones load all of them over bad connections.
const scriptLimit = 64_000

// onSomePages are loaded by the pages alone that draw a room, plan its schedule, have a passkey or the wall chart.
var onSomePages = []string{"chart.js", "outline.js", "place.js", "passkey.js"}

// TestScriptsAreServed: every script of the folder except the tests and the
// worker has an address, all in one folder, and all together stay small.
func TestScriptsAreServed(t *testing.T) {
	entries, err := os.ReadDir("script")
	if err != nil {
		t.Fatal(err)
	}
	total, folder := len(Worker.Data), path.Dir(assetPath("start.js"))
	for _, e := range entries {
		at := Assets[folder+"/"+e.Name()]
		if wanted := e.Name() != workerFile && !strings.HasSuffix(e.Name(), ".test.js"); wanted != (at.Path != "") {
			t.Errorf("%s is at %q", e.Name(), at.Path)
		}
		if !slices.Contains(onSomePages, e.Name()) {
			total += len(at.Data)
		}
	}
	t.Logf("scripts: %d bytes", total)
	if total > scriptLimit {
		t.Errorf("the scripts are %d bytes, %d may be", total, scriptLimit)
	}
}

// TestCommentsStayHere: scripts are served without the comments that have lines
// of their own or say a type, and without indents; others within a line stay.
func TestCommentsStayHere(t *testing.T) {
	const script = "// One.\n\n/**\n * Two.\n */\nlet a = 1; // three\n\t/** @type {X} */ (b).c();\n\t/** four */\n\tlet " +
		"d = \"// five\";\n/** six */\n"
	const want = "let a = 1; // three\n(b).c();\nlet d = \"// five\";\n"
	if got := string(withoutComments([]byte(script))); got != want {
		t.Errorf("got %q", got)
	}
}

// TestScriptsImportOnlyEachOther: an import names a file beside it.
func TestScriptsImportOnlyEachOther(t *testing.T) {
	imports := regexp.MustCompile(`(?:from|import)[ (]+"([^"]+)"`)
	for name, data := range modules() {
		for _, m := range imports.FindAllSubmatch(data, -1) {
			if to, ok := strings.CutPrefix(string(m[1]), "./"); !ok || modules()[to] == nil {
				t.Errorf("%s imports %s", name, m[1])
			}
		}
	}
}

// TestWorkerKnowsTheFiles: the worker begins with every address, so that a
// change of any of them changes the worker, and its pages refer to no others.
func TestWorkerKnowsTheFiles(t *testing.T) {
	first, rest, _ := bytes.Cut(Worker.Data, []byte("\n"))
	var app workerKnows
	if err := json.Unmarshal(bytes.TrimSuffix(bytes.TrimPrefix(first, []byte("self.APP = ")), []byte(";")),
		&app); err != nil {
		t.Fatalf("%v: %s", err, first)
	}
	if len(app.Files) != len(Assets) || len(rest) == 0 || len(app.Stamp) != 12 || app.Policy != ContentSecurityPolicy {
		t.Errorf("the worker knows %d of %d files, stamp %q, policy %q", len(app.Files), len(Assets), app.Stamp, app.Policy)
	}
	for _, at := range app.Files {
		if _, ok := Assets[at]; !ok {
			t.Errorf("the worker keeps %s, which is not there", at)
		}
	}
	for _, says := range [][3]string{app.NotHere, app.NeedsNet} {
		page := strings.NewReplacer("{0}", says[0], "{1}", says[1], "{2}", says[2]).Replace(app.Page)
		if strings.Count(page, says[0]) != 2 || strings.Count(page, says[1]) != 1 || strings.Count(page, says[2]) != 1 {
			t.Errorf("the worker's page does not say %q: %s", says, page)
		}
		tags, words := read(t, "the worker's page", []byte(page))
		if w := softwareWords.FindString(words); w != "" || strings.Contains(words, "no date") {
			t.Errorf("the worker's page says %q: %s", w, words)
		}
		for _, e := range tags {
			for _, at := range []string{e.attr["href"], e.attr["src"]} {
				if _, ok := Assets[at]; !ok && at != "" && at != VisitsPath && at != ManifestPath {
					t.Errorf("the worker's page leads to %s", at)
				}
			}
		}
	}
}

// TestManifestMatchesTheSheet: its icons exist, and its colours are those of
// the stylesheet and of the pages, by day and by night.
func TestManifestMatchesTheSheet(t *testing.T) {
	var m struct {
		Theme string `json:"theme_color"`
		Paper string `json:"background_color"`
		Icons []icon
	}
	if err := json.Unmarshal(Manifest.Data, &m); err != nil {
		t.Fatal(err)
	}
	for _, i := range m.Icons {
		if a, ok := Assets[i.Src]; !ok || a.Type != i.Type {
			t.Errorf("icon %s: %q", i.Src, a.Type)
		}
	}
	tables := regexp.MustCompile(`--table: (#\w+)`).FindAllStringSubmatch(string(Assets[assetPath("sheet.css")].Data), -1)
	if len(tables) < 2 || tables[0][1] != themeLight || tables[1][1] != themeDark || m.Theme != themeLight ||
		m.Paper != themeLight {
		t.Errorf("the sheet has %q, the manifest %s and %s", tables, m.Theme, m.Paper)
	}
	layout, err := files.ReadFile("templates/layout/sheet.html")
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{`light)" content="` + themeLight, `dark)" content="` + themeDark,
		`href="` + ManifestPath + `"`} {
		if !bytes.Contains(layout, []byte(want)) {
			t.Errorf("the layout has no %s", want)
		}
	}
}
