package kit

import (
	"strings"

	"lathmark/domain/geometry"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
)

// HoleCaution is what to mind at one hole alone: its zone near a bath or a
// shower.
func (s *Scene) HoleCaution(q *room.Position, a *geometry.PositionAnswer) string {
	var out []string
	for _, c := range s.J.Record.WetCautions(q, roomsheet.Point{a.At.U, a.At.V}) {
		out = append(out, c.String())
	}
	return strings.Join(out, " ")
}
