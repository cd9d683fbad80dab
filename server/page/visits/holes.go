package visits

import (
	"fmt"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

// holes is every hole still to be opened in the room, one a screen.
func (s *scene) holes() web.HolesView {
	second := s.J.Gate.Gates[words.SecondFix].State
	v := web.HolesView{Outcomes: outcomes, MayOpen: !s.Closed() && (second == words.InHand || second == words.Offered)}
	holes := s.J.Holes
	for i := range holes {
		leaf := s.leaf(&holes[i])
		leaf.Turn = fmt.Sprintf("%d of %d", i+1, len(holes))
		if i > 0 {
			leaf.Back = &holes[i-1].Position
		}
		if i+1 < len(holes) {
			leaf.On = &holes[i+1].Position
		}
		v.Leaves = append(v.Leaves, leaf)
	}
	switch {
	case second == words.Waiting:
		s.Say("This is where the holes would be today. Nothing is cut before plaster is signed off.")
	case len(holes) > 0 && holes[0].First:
		s.Say("Open " + holes[0].Position.Name + " first, and say what was behind it.")
	case len(holes) > 0:
		s.Say("Mark, open, and say what was behind it. Each hole corrects those that follow.")
	}
	v.Sheet = s.Sheet
	return v
}

// leaf is one hole with what its form has to know.
func (s *scene) leaf(h *standing.ToOpen) web.HoleLeaf {
	own := s.J.Record.LayersOf(h.Surface.ID, id.Datum{})
	return web.HoleLeaf{Hole: s.hole(&h.Position), First: h.First, Marks: marks(s.J, &h.Position),
		Surface:  words.Capital(h.Surface.Name) + ", " + words.StateOf(s.J.Record.Now(own)) + " today",
		Cautions: s.holeCautions(&h.Position)}
}

// holeCautions are all the cautions at a position's hole, the worst first.
func (s *scene) holeCautions(q *room.Position) []web.Caution {
	a, _ := s.J.Position(q.ID)
	return kit.AllShown(s.CautionHole(q, a).Cautions())
}
