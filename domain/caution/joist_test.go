package caution

import (
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func codes(cautions []Caution) []string {
	var out []string
	for _, c := range cautions {
		out = append(out, c.Code)
	}
	return out
}

// The joist of the worked example, D 195, span 3600, under each published
// alternative: just inside its limits, and just outside each of them.
func TestCutsInAJoist(t *testing.T) {
	j := Joist{Depth: 195, Span: 3600, Width: 47}
	us := Joist{Depth: 234.95, Span: 3600, Width: 38.1}
	hole := func(at, size float64) Cut { return Cut{At: at, Size: size} }
	notch := func(at, size float64) Cut { return Cut{Notch: true, At: at, Size: size} }
	for _, c := range []struct {
		name string
		rule JoistRule
		j    Joist
		cuts []Cut
		want []string
	}{
		{"nothing cut", BS5268, j, nil, nil},
		{"bs hole at its limits", BS5268, j, []Cut{hole(1200, 48.75)}, nil},
		{"bs hole, from the other support", BS5268, j, []Cut{hole(2400, 48.75)}, nil},
		{"bs hole too wide", BS5268, j, []Cut{hole(1200, 49)}, []string{"joist/hole_size"}},
		{"bs hole reaches out of its place", BS5268, j, []Cut{hole(910, 30)}, []string{"joist/hole_place"}},
		{"bs hole in the middle", BS5268, j, []Cut{hole(1800, 30)}, []string{"joist/hole_place"}},
		{"bs hole off the centre line", BS5268, j, []Cut{{At: 1200, Size: 30, Off: -6}}, []string{"joist/hole_centre"}},
		{"bs notch at its limits", BS5268, j, []Cut{notch(252, 24.375)}, nil},
		{"bs notch too deep", BS5268, j, []Cut{notch(600, 25)}, []string{"joist/notch_depth"}},
		{"bs notch near the support", BS5268, j, []Cut{notch(250, 20)}, []string{"joist/notch_place"}},
		{"bs notch near the other support", BS5268, j, []Cut{notch(3400, 20)}, []string{"joist/notch_place"}},
		{"bs holes three diameters apart", BS5268, j, []Cut{hole(1100, 40), hole(1220, 20)}, nil},
		{"bs holes nearer", BS5268, j, []Cut{hole(1100, 40), hole(1219, 20)}, []string{"joist/apart"}},
		{"bs hole and notch 100 apart", BS5268, j, []Cut{hole(1000, 40), notch(880, 20)}, nil},
		{"bs hole and notch 99 apart", BS5268, j, []Cut{hole(999, 40), notch(880, 20)},
			[]string{"joist/apart"}},
		// The two British alternatives differ: each notch suits one of them.
		{"a notch for nhbc", NHBC, j, []Cut{notch(500, 29)}, nil},
		{"the same for bs", BS5268, j, []Cut{notch(500, 29)}, []string{"joist/notch_depth"}},
		{"a notch for bs", BS5268, j, []Cut{notch(800, 24)}, nil},
		{"the same for nhbc", NHBC, j, []Cut{notch(800, 24)}, []string{"joist/notch_place"}},
		{"nhbc holes", NHBC, j, []Cut{hole(1100, 20), hole(1219, 20)}, []string{"joist/apart"}},
		{"nhbc deep joist", NHBC, Joist{Depth: 251, Span: 3600}, []Cut{hole(1200, 30)}, []string{"joist/depth"}},
		{"nhbc deep joist uncut", NHBC, Joist{Depth: 251, Span: 3600}, nil, nil},
		{"us hole at its limits", IRC, us, []Cut{hole(1800, 78.3)}, nil},
		{"us hole near the edge", IRC, us, []Cut{{At: 1800, Size: 40, Off: 47}}, []string{"joist/hole_edge"}},
		{"us notch", IRC, us, []Cut{notch(600, 39)}, nil},
		{"us notch in the middle third", IRC, us, []Cut{notch(1300, 30)}, []string{"joist/notch_place"}},
		{"us end notch", IRC, us, []Cut{notch(0, 58)}, nil},
		{"us end notch too deep", IRC, us, []Cut{notch(0, 59)}, []string{"joist/notch_depth"}},
		{"us holes", IRC, us, []Cut{hole(1000, 20), hole(1070, 20)}, []string{"joist/apart"}},
	} {
		if got := codes(c.rule.Judge(c.j, c.cuts)); !slices.Equal(got, c.want) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// Laws: a joist seen from its other end is the same joist, and a smaller hole
// or notch is never worse.
func TestJoistLaws(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rule := rapid.SampledFrom(JoistRules).Draw(t, "rule")
		j := Joist{Depth: rapid.Float64Range(95, 300).Draw(t, "depth"), Span: rapid.Float64Range(1000, 6000).Draw(t, "span"),
			Width: 47}
		var cuts, mirrored []Cut
		for range rapid.IntRange(1, 4).Draw(t, "cuts") {
			c := Cut{Notch: rapid.Bool().Draw(t, "notch"), At: rapid.Float64Range(0, j.Span).Draw(t, "at"),
				Size: rapid.Float64Range(5, 120).Draw(t, "size"), Off: rapid.Float64Range(-30, 30).Draw(t, "off")}
			cuts = append(cuts, c)
			c.At = j.Span - c.At
			mirrored = append(mirrored, c)
		}
		all := codes(rule.Judge(j, cuts))
		if got := codes(rule.Judge(j, mirrored)); !slices.Equal(got, all) {
			t.Fatalf("%v, mirrored %v", all, got)
		}
		smaller := slices.Clone(cuts)
		smaller[0].Size *= 0.9
		if got := codes(rule.Judge(j, smaller)); len(got) > len(all) {
			t.Fatalf("%v, with a smaller cut %v", all, got)
		}
	})
}

// A place is told from the support on, never from below it.
func TestNoPlaceIsBelowNothing(t *testing.T) {
	for _, c := range IRC.Judge(Joist{Depth: 195, Span: 2400}, []Cut{{Notch: true, At: 1200, Size: 20}}) {
		if c.Code == "joist/notch_place" && !strings.Contains(c.Text, "keep it between 0 and 800 mm from the support") {
			t.Error(c.Text)
		}
	}
}
