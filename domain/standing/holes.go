package standing

import (
	"lathmark/domain/advice"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
)

// ToOpen is one hole that is still to be cut.
type ToOpen struct {
	*advice.Hole
	Position room.Position
	Surface  room.Surface
	Answer   *geometry.PositionAnswer // determinate
	Solved   *roomsheet.Solved
}

// holes returns the holes that are still to be cut in a room, in the order of
// advice.Room.ToCut. Positions that are held, left out, cut already or not
// determinate are not among them.
func (j *Standing) holes() []ToOpen {
	place := map[[2]int]int{}
	for i := range j.Record.Positions {
		place[j.where[j.Record.Positions[i].ID]] = i
	}
	surface := map[id.Surface]int{}
	for i := range j.Record.Surfaces {
		surface[j.Record.Surfaces[i].ID] = i
	}
	var out []ToOpen
	for _, h := range j.Advice.ToCut() {
		p := j.Record.Positions[place[[2]int{h.Surface, h.Position}]]
		s := &j.Solved[h.Surface]
		out = append(out, ToOpen{h, p, j.Record.Surfaces[surface[p.Surface]], &s.Answer.Positions[h.Position], s})
	}
	return out
}
