package setoutsheet

import (
	"math"
	"strconv"

	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// today returns the state of something with these layers, as it is said.
func today(now string) string {
	if now == "" {
		now = roomsheet.Bare
	}
	return words.StateOf(now)
}

// plusMinus is half the interval that holds 95 times in 100, rounded up.
func plusMinus(sigma float64) string {
	const two = 1.96 // two-sided 95 % of the normal
	return "± " + strconv.Itoa(int(math.Ceil(two*sigma-0.05)))
}

// often is a chance of missing the tail that calls for a hook to fetch it with.
// Our own figure, no source.
const often = 0.1

// missing says how likely the tail is missed, from the chance that it is
// found, and what to bring where that is more than now and then.
func missing(find float64) string {
	said := "tail missed: " + words.Odds(1-find)
	if 1-find > often {
		said += ", have a hook ready"
	}
	return said
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
