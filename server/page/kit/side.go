package kit

import (
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/web"
)

// The sides of a fixed line, as a form sends them in the place of a state.
const (
	LeftSide  = room.LeftSide
	rightSide = room.RightSide
)

// SideOf is the side of an offset.
func SideOf(value float64) string { return room.SideOf(value) }

// SideWords are a side of a fixed line from a to b as people say it.
func SideWords(r *room.Record, on id.Surface, a, b roomsheet.Point, side string) string {
	return r.SideWords(on, a, b, side)
}

// LineSides are both sides of a fixed line to choose from.
func LineSides(r *room.Record, d *room.Datum) []web.Option {
	return []web.Option{{Value: LeftSide, Label: SideWords(r, d.Surface, d.A, d.B, LeftSide)},
		{Value: rightSide, Label: SideWords(r, d.Surface, d.A, d.B, rightSide)}}
}
