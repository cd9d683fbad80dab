package setoutsheet

import (
	"fmt"
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

func TestOdds(t *testing.T) {
	for _, c := range []struct {
		p    float64
		want string
	}{
		{0, "under 1 in 1000"}, {0.0009, "under 1 in 1000"}, {0.001, "about 1 in 1000"}, {0.0033, "about 1 in 300"},
		{0.011, "about 1 in 90"}, {0.034, "about 1 in 30"}, {0.1, "about 1 in 10"}, {0.099, "about 1 in 10"}, {0.12,
			"about 1 in 8"},
		{0.3, "about 1 in 3"}, {0.5, "about 1 in 2"}, {0.549, "about 1 in 2"}, {0.55, "about 6 in 10"}, {0.94,
			"about 9 in 10"}, {0.96, "almost certain"}, {1, "almost certain"},
	} {
		if got := odds(c.p); got != c.want {
			t.Errorf("odds(%v) = %q, want %q", c.p, got, c.want)
		}
	}
}

// A worse chance never reads as a better one: the words fall as the chance does.
func TestOddsNeverRiseAsChanceFalls(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := rapid.Float64Range(0.001, 0.5).Draw(t, "a"), rapid.Float64Range(0.001, 0.5).Draw(t, "b")
		if a > b {
			a, b = b, a
		}
		var na, nb float64
		for s, n := range map[string]*float64{odds(a): &na, odds(b): &nb} {
			*n = oneIn(t, s)
		}
		if odds(a) != odds(b) && na < nb {
			t.Fatalf("%v is %s, %v is %s", a, odds(a), b, odds(b))
		}
	})
}

func TestPlusMinus(t *testing.T) {
	// 1.96 is the two-sided 95 % point of the normal (1.95996 in any table).
	for sigma, want := range map[float64]string{1: "± 2", 2: "± 4", 2.6: "± 6", 0.01: "± 0", 10: "± 20"} {
		if got := plusMinus(sigma); got != want {
			t.Errorf("sigma %v reads %q, want %q", sigma, got, want)
		}
	}
}

func TestNames(t *testing.T) {
	for want, list := range map[string][]string{"": nil, "A": {"A"}, "A and B": {"A", "B"},
		"A, B and C": {"A", "B", "C"}} {
		if got := names(list); got != want {
			t.Errorf("%v reads %q", list, got)
		}
	}
}

// oneIn returns the N of "about 1 in N".
func oneIn(t *rapid.T, s string) float64 {
	var n float64
	if _, err := fmt.Sscanf(s, "about 1 in %f", &n); err != nil {
		t.Fatalf("%q: %v", s, err)
	}
	return n
}
