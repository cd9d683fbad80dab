package setoutsheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"
)

// stateWords are states as people say them of a wall.
var stateWords = map[string]string{
	"bare": "bare", "dabs": "dabbed", "board": "boarded", "skim": "skimmed", "plaster": "plastered",
	"tile": "tiled", "screed": "screeded", "paint": "painted", "render": "rendered",
}

// stateWord returns a state as it is said; one that has no word is "with x on".
func stateWord(state string) string {
	if word, ok := stateWords[state]; ok {
		return word
	}
	return "with " + state + " on"
}

// today returns the state of something with these layers, as it is said.
func today(now string) string {
	if now == "" {
		now = roomsheet.Bare
	}
	return stateWord(now)
}

// whole returns a length to mark, to the nearest millimetre.
func whole(x float64) string { return strconv.Itoa(int(math.Round(x))) }

// plusMinus is half the interval that holds 95 times in 100, rounded up.
func plusMinus(sigma float64) string {
	const two = 1.96 // two-sided 95 % of the normal
	return "± " + strconv.Itoa(int(math.Ceil(two*sigma-0.05)))
}

// odds returns a chance in words of tens: "about 1 in 30", "about 7 in 10".
func odds(p float64) string {
	switch {
	case p < 0.001:
		return "under 1 in 1000"
	case p > 0.95:
		return "almost certain"
	case p >= 0.55:
		return fmt.Sprintf("about %.0f in 10", math.Min(9, 10*p))
	}
	n := math.Round(1 / p)
	if n >= 10 {
		ten := math.Pow(10, math.Floor(math.Log10(n)))
		n = math.Round(n/ten) * ten
	}
	return fmt.Sprintf("about 1 in %.0f", n)
}

// often is a chance of missing the tail that calls for a hook to fetch it with.
// Ours, no source.
const often = 0.1

// missing says how likely the tail is missed, from the chance that it is
// found, and what to bring where that is more than now and then.
func missing(find float64) string {
	said := "tail missed: " + odds(1-find)
	if 1-find > often {
		said += ", have a hook ready"
	}
	return said
}

// names joins names as a sentence does: "A", "A and B", "A, B and C".
func names(list []string) string {
	if len(list) < 2 {
		return strings.Join(list, "")
	}
	return strings.Join(list[:len(list)-1], ", ") + " and " + list[len(list)-1]
}

// reading returns what a measurement is of: "D7 from north".
func reading(m *roomsheet.Measurement) string {
	switch m.Kind {
	case "offset":
		return m.Of + " from " + m.From
	case "span":
		return m.From + " to " + m.To
	case "distance":
		return m.Of + " to " + m.To
	}
	return "build-up on " + m.From
}

// normal returns the direction in which the offset from a face or line grows.
func normal(d *geometry.Datum) geometry.Vec {
	u, v := d.B.U-d.A.U, d.B.V-d.A.V
	l := math.Hypot(u, v)
	return geometry.Vec{U: -v / l, V: u / l}
}

func dot(a, b geometry.Vec) float64 { return a.U*b.U + a.V*b.V }
