package web

import (
	"strings"
	"testing"

	"lathmark/domain/fault"
)

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

// TestPlacePatterns: the same methods make addresses and the router's patterns,
// and no id can break out of its part of an address.
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
