package page

import (
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/web"
)

// The sides of a fixed line, as a form sends them in the place of a state.
const (
	leftSide  = room.LeftSide
	rightSide = room.RightSide
)

// sideOf is the side of an offset.
func sideOf(value float64) string { return room.SideOf(value) }

// withSide is an offset as typed, with the sign of the side that was chosen.
func withSide(value float64, side string) float64 { return room.WithSide(value, side) }

// sideWords are a side of a fixed line from a to b as people say it.
func sideWords(r *room.Record, on id.Surface, a, b roomsheet.Point, side string) string {
	return r.SideWords(on, a, b, side)
}

// lineSides are both sides of a fixed line to choose from.
func lineSides(r *room.Record, d *room.Datum) []web.Option {
	return []web.Option{{Value: leftSide, Label: sideWords(r, d.Surface, d.A, d.B, leftSide)},
		{Value: rightSide, Label: sideWords(r, d.Surface, d.A, d.B, rightSide)}}
}
