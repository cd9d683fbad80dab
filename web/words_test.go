package web

import (
	"math"
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
)

func TestOdds(t *testing.T) {
	for _, c := range []struct {
		p    float64
		want string
	}{
		{0, "less than 1 in 1,000"}, {0.0009, "less than 1 in 1,000"}, {0.001, "about 1 in 1,000"}, {0.0048,
			"about 1 in 200"},
		{0.01, "about 1 in 100"}, {0.0105, "about 1 in 100"}, {0.034, "about 1 in 30"}, {0.105, "about 1 in 10"}, {0.2,
			"about 1 in 5"},
		{0.5, "about 1 in 2"}, {0.7, "about 7 in 10"}, {0.949, "about 9 in 10"}, {0.99, "almost certain"}, {1,
			"almost certain"}, {math.NaN(), "not known"},
	} {
		if got := Odds(c.p); got != c.want {
			t.Errorf("%v: %q, want %q", c.p, got, c.want)
		}
	}
	if got := Miss(0.99); got != "about 1 in 100" {
		t.Errorf("missing at 0.99: %q", got)
	}
}

func TestMM(t *testing.T) {
	for v, want := range map[float64]string{598.3: "598", 598.5: "599", -0.2: "0", -12.5: "-13", 0: "0"} {
		if got := MM(v); got != want {
			t.Errorf("%v: %q, want %q", v, got, want)
		}
	}
}

func TestCount(t *testing.T) {
	for n, want := range map[int]string{0: "no patches", 1: "1 patch", 3: "3 patches"} {
		if got := Count(n, "patch"); got != want {
			t.Errorf("%d: %q, want %q", n, got, want)
		}
	}
}

func TestDay(t *testing.T) {
	at := time.Date(2026, 11, 25, 7, 5, 0, 0, time.UTC)
	if Day(at) != "Wed 25 Nov 2026" || DayTime(at) != "Wed 25 Nov 2026, 07:05" || Day(time.Time{}) != "no date" {
		t.Errorf("%q %q %q", Day(at), DayTime(at), Day(time.Time{}))
	}
}

func TestDatumValueComesApartAgain(t *testing.T) {
	for _, c := range [][2]string{{"d1", "bare"}, {"d1", ""}, {"", ""}} {
		if d, s := SplitDatum(JoinDatum(c[0], c[1])); d != c[0] || s != c[1] {
			t.Errorf("%v came back as %q %q", c, d, s)
		}
	}
}

func TestFieldKeepsItsOwnFaults(t *testing.T) {
	faults := []fault.Field{{Path: "name", Wrong: "a"}, {Path: "names", Wrong: "b"}, {Path: "name", Wrong: "c"}}
	if in := newInput(faults, "name", "", "typed", ""); len(in.Faults) != 2 || in.Value != "typed" {
		t.Errorf("%+v", in)
	}
}

// TestPlacePatterns: the same methods make addresses and the router's
// patterns, and no id can leave its part of an address.
func TestPlacePatterns(t *testing.T) {
	p := Place{Job: ":job", Room: ":room"}
	if got := p.Outcome(":position"); got != "/rooms/:room/positions/:position/outcome" {
		t.Errorf("pattern %s", got)
	}
	evil := Place{Room: "../x?y#z"}
	if got := evil.RoomPage(); strings.Count(got, "/") != 2 || strings.ContainsAny(got, "?#") {
		t.Errorf("address %s", got)
	}
	if got := (Place{Room: "r"}).MeasureAt("a&b"); got != "/rooms/r/measure?position=a%26b" {
		t.Errorf("address %s", got)
	}
}

func TestAssetsAreHashed(t *testing.T) {
	for _, name := range []string{"sheet.css", "mark.svg"} {
		a, ok := Assets[assetPath(name)]
		if !ok || len(a.Data) == 0 || a.Type == "" || !hashed.MatchString(a.Path) {
			t.Errorf("%s: %q %q", name, a.Path, a.Type)
		}
	}
}
