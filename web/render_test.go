package web

import (
	"bytes"
	"flag"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"strings"
	"testing"
)

var (
	update = flag.Bool("update", false, "write the golden pages anew")
	sheetD = flag.String("sheets", "", "write every canned page, with its stylesheet, into this `folder` to be looked at")
)

var (
	hashed = regexp.MustCompile(`/static/([\w-]+)\.[0-9a-f]{12}\.`)
	// sumsLine is present only if the sums were built.
	sumsLine     = regexp.MustCompile(`\n<meta name="sums"[^>]*>`)
	hashedFolder = regexp.MustCompile(`/static/[0-9a-f]{12}/`)
)

// TestGoldenPages compares every canned page with the one on file. Run with
// -update after an intended change, and read the difference.
func TestGoldenPages(t *testing.T) {
	for _, s := range samples() {
		got := hashed.ReplaceAll(sumsLine.ReplaceAll(s.html(t), nil), []byte("/static/$1."))
		got = hashedFolder.ReplaceAll(got, []byte("/static/"))
		file := filepath.Join("testdata", "golden", s.name+".html")
		if *update {
			writeFile(t, file, got)
			continue
		}
		want, err := os.ReadFile(file)
		if err != nil {
			t.Fatalf("%v (run go test ./web -update)", err)
		}
		if !bytes.Equal(got, want) {
			t.Errorf("%s differs from its golden at %s", s.name, firstDifference(got, want))
		}
	}
}

func firstDifference(got, want []byte) string {
	g, w := strings.Split(string(got), "\n"), strings.Split(string(want), "\n")
	for i := range g {
		if i >= len(w) || g[i] != w[i] {
			other := ""
			if i < len(w) {
				other = w[i]
			}
			return "line\n got: " + g[i] + "\nwant: " + other
		}
	}
	return "its end"
}

// TestGoldenHasNoLeftovers fails on a golden whose page is gone.
func TestGoldenHasNoLeftovers(t *testing.T) {
	known := map[string]bool{}
	for _, s := range samples() {
		if known[s.name] {
			t.Errorf("two canned pages are called %s", s.name)
		}
		known[s.name] = true
	}
	entries, err := os.ReadDir(filepath.Join("testdata", "golden"))
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range entries {
		if !known[strings.TrimSuffix(e.Name(), ".html")] {
			t.Errorf("golden %s belongs to no canned page", e.Name())
		}
	}
}

// TestEveryTemplateIsCanned: a template without a page, or a page without a
// canned case, cannot ship.
func TestEveryTemplateIsCanned(t *testing.T) {
	have := map[string]bool{}
	for _, s := range samples() {
		have[s.page] = true
		if sheets.Lookup(sheetOf(s.page)) == nil {
			t.Errorf("page %s has no template", s.page)
		}
	}
	for _, one := range sheets.Templates() {
		if name, page := strings.CutPrefix(one.Name(), sheetOf("")); page && !have[name] {
			t.Errorf("template %s has no canned page", name)
		}
	}
}

// TestViewsDoNotHideTheSheet: a view's own field must not shadow one of the
// title block's.
func TestViewsDoNotHideTheSheet(t *testing.T) {
	sheet := reflect.TypeFor[Sheet]()
	for _, s := range samples() {
		for _, f := range reflect.VisibleFields(s.view) {
			if _, same := sheet.FieldByName(f.Name); same && len(f.Index) == 1 {
				t.Errorf("%s: field %s hides the sheet's", s.view, f.Name)
			}
		}
	}
}

func TestRenderRefusesAnUnknownPage(t *testing.T) {
	var b bytes.Buffer
	if err := Render(&b, Page[TroubleView]{"no such page"}, TroubleView{}); err == nil {
		t.Error("no error for a page that is not there")
	}
	if b.Len() != 0 {
		t.Errorf("wrote %d bytes of a page that is not there", b.Len())
	}
}

// TestSheetsFolder writes the pages to the folder given by -sheets, where
// people can look at them, and checks that every asset that a page names is
// beside it.
func TestSheetsFolder(t *testing.T) {
	folder := *sheetD
	if folder == "" {
		folder = t.TempDir()
	}
	for _, a := range Assets {
		writeFile(t, filepath.Join(folder, a.Path), a.Data)
	}
	if Sums.Path != "" {
		writeFile(t, filepath.Join(folder, Sums.Path), Sums.Data)
	}
	for _, s := range samples() {
		page := bytes.ReplaceAll(s.html(t), []byte(`"/static/`), []byte(`"static/`))
		writeFile(t, filepath.Join(folder, s.name+".html"), page)
		for _, named := range regexp.MustCompile(`"(static/[^"]+)"`).FindAllSubmatch(page, -1) {
			if _, err := os.Stat(filepath.Join(folder, string(named[1]))); err != nil {
				t.Errorf("%s: %v", s.name, err)
			}
		}
	}
}

func writeFile(t *testing.T, file string, data []byte) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(file), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(file, data, 0o644); err != nil {
		t.Fatal(err)
	}
}
