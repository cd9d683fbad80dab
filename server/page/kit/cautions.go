package kit

import (
	"lathmark/domain/caution"
	"lathmark/domain/geometry"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/web"
)

// Shown is a caution as it stands next to the act it guards.
func Shown(c caution.Caution) web.Caution { return web.Caution{Says: c.Text, Source: c.Foot()} }

// AllShown is Shown for each of a list, those from one document as one.
func AllShown(list []caution.Caution) []web.Caution {
	var out []web.Caution
	for _, c := range caution.Together(list) {
		out = append(out, Shown(c))
	}
	return out
}

// RoomCautions stand on the room's page: where a cable goes through joists, what
// has to dry, and the extract that the room needs by its use.
func RoomCautions(j *standing.Standing) []web.Caution {
	var out []caution.Caution
	if len(j.Record.Timbers) > 0 {
		out = append(out, caution.JoistCable)
	}
	out = append(out, j.Record.OtherDrying()...)
	if c, ok := caution.Air(j.Record.Use); ok {
		out = append(out, c)
	}
	return AllShown(out)
}

// CautionHole is what the cautions go by at a position's hole.
func (s *Scene) CautionHole(q *room.Position, a *geometry.PositionAnswer) caution.Hole {
	return s.J.Record.CautionHole(q, geometry.Vec{U: a.At.U + a.Plan.Move.U, V: a.At.V + a.Plan.Move.V})
}
