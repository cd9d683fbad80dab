package kit

import (
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"lathmark/domain/deed"

	"github.com/labstack/echo/v4"
)

// No form's answer leads to a code that no page can say, and none is left over.
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
	for code, says := range done {
		if !strings.Contains(all.String(), `"`+code+`"`) {
			t.Errorf("nothing leads to %q", code)
		}
		if !strings.HasSuffix(says, ".") {
			t.Errorf("%q is no sentence: %s", code, says)
		}
	}
	for kind, of := range deed.Kinds {
		if says := of.Done; says != "" && (!strings.HasSuffix(says, ".") || done[string(kind)] != "") {
			t.Errorf("%s: %q is no sentence, or %q is said as well", kind, says, done[string(kind)])
		}
	}
	for said, ok := range map[string]bool{"job": true, "": true, "snag": true, "danced": false} {
		c := echo.New().NewContext(httptest.NewRequest("POST", "/", nil), httptest.NewRecorder())
		if err := SeeOther(c, "/", said); (err == nil) != ok {
			t.Errorf("going on with %q: %v", said, err)
		}
	}
}
