package page

import (
	"math"

	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/web"
)

// A fixed line has two sides, and an offset from it a sign: above 0 on its
// left. On site nobody says minus; people say towards which wall. These are the
// two, as a form sends them in the place of a state.
const (
	leftSide  = "+"
	rightSide = "-"
)

// sideOf is the side of an offset.
func sideOf(value float64) string {
	if value < 0 {
		return rightSide
	}
	return leftSide
}

// sideWords are a side of a fixed line from a to b on a surface as people say
// it: "towards the south wall".
func sideWords(r *room.Record, on id.Surface, a, b roomsheet.Point, side string) string {
	step := 100 / distance(a, b) // 100 mm off the line
	if side == rightSide {
		step = -step
	}
	middle := roomsheet.Point{(a[0] + b[0]) / 2, (a[1] + b[1]) / 2}
	return towards(r, on, middle, roomsheet.Point{middle[0] - step*(b[1]-a[1]), middle[1] + step*(b[0]-a[0])})
}

// lineSides are both sides of a fixed line to choose from.
func lineSides(r *room.Record, d *room.Datum) []web.Option {
	return []web.Option{{Value: leftSide, Label: sideWords(r, d.Surface, d.A, d.B, leftSide)}, {Value: rightSide, Label: sideWords(r, d.Surface, d.A, d.B, rightSide)}}
}

// said is an offset from a datum as people say it: the length, and in the place
// of a sign the side.
func said(r *room.Record, of id.Datum, value float64) (length float64, side string) {
	d, err := r.Datum(of)
	if err != nil || d.Kind != gate.Line {
		return value, ""
	}
	return math.Abs(value), sideWords(r, d.Surface, d.A, d.B, sideOf(value))
}

// withSide is an offset as typed, with the sign of the side that was chosen; a
// sign that was typed stays.
func withSide(value float64, side string) float64 {
	if side == rightSide {
		return -math.Abs(value)
	}
	return value
}

// isSide tells a side from a state.
func isSide(state string) bool { return state == leftSide || state == rightSide }
