package kit

import (
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

// Every code that a form's answer leads to is one that a page can say, and none
// is left over.
func TestWhatWasDoneIsSaid(t *testing.T) {
	files, err := filepath.Glob("../*/*.go")
	if err != nil {
		t.Fatal(err)
	}
	var all strings.Builder
	for _, name := range files {
		if filepath.Base(name) == "done.go" || strings.HasSuffix(name, "_test.go") {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		all.Write(text)
	}
	for code, says := range Done {
		if !strings.Contains(all.String(), `"`+code+`"`) {
			t.Errorf("nothing leads to %q", code)
		}
		if !strings.HasSuffix(says, ".") {
			t.Errorf("%q is no sentence: %s", code, says)
		}
	}
	calls := regexp.MustCompile(`(?:SeeOther\(c, [^\n]*, |p\.taken\(c, err, [^\n"]*, |p\.decide\(c, |p\.atGate\(c, |p\.patch\(c, )"([a-z-]+)"`)
	found := calls.FindAllStringSubmatch(all.String(), -1)
	if len(found) < 25 {
		t.Fatalf("only %d answers found", len(found))
	}
	for _, m := range found {
		if Done[m[1]] == "" {
			t.Errorf("%q is said nowhere", m[1])
		}
	}
}
