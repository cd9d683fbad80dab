package setoutsheet

import (
	"lathmark/domain/words"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// Wrapping keeps every character that is not a space, in order, and no line is
// wider than asked for.
func TestWrapKeepsTheText(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`[a-zäß0-9]{0,30}( {1,3}[A-Z0-9±,.]{1,70}){0,12}`).Draw(t, "text")
		most := rapid.IntRange(1, 50).Draw(t, "most")
		lines := wrap(text, most)
		for _, l := range lines {
			if width(l) > most {
				t.Fatalf("%q is wider than %d", l, most)
			}
		}
		strip := func(s string) string { return strings.Join(strings.Fields(s), "") }
		if got := strip(strings.Join(lines, "")); got != strip(text) {
			t.Fatalf("%q became %q", text, got)
		}
	})
}

// A row keeps its figure at the right edge however long the text is.
func TestRowKeepsItsFigure(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringMatching(`([a-z]{1,60} ?){1,6}`).Draw(t, "text")
		var p paper
		p.row("  1234 ", text, "± 12")
		lines := strings.Split(strings.TrimSuffix(p.String(), "\n"), "\n")
		for i, l := range lines {
			if width(l) > columns || i == 0 && (width(l) != columns || !strings.HasSuffix(l, " ± 12")) {
				t.Fatalf("%q", l)
			}
		}
	})
}

func TestNames(t *testing.T) {
	for want, list := range map[string][]string{"": nil, "A": {"A"}, "A and B": {"A", "B"},
		"A, B and C": {"A", "B", "C"}} {
		if got := words.List(list); got != want {
			t.Errorf("%v reads %q", list, got)
		}
	}
}
