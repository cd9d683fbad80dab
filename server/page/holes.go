package page

import (
	"fmt"
	"net/http"

	"lathmark/domain/caution"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Holes is every hole still to be opened in a room, one a screen.
func (p *Pages) Holes(c echo.Context) error {
	s, err := p.scene(c, "Holes")
	if err != nil {
		return err
	}
	second := s.j.Gate.Gates[words.SecondFix].State
	v := web.HolesView{Outcomes: outcomes, MayOpen: !s.closed() && (second == words.InHand || second == words.Offered)}
	holes := s.j.Holes
	for i := range holes {
		leaf := s.leaf(&holes[i])
		leaf.Turn = fmt.Sprintf("%d of %d", i+1, len(holes))
		if i > 0 {
			leaf.Back = leafOf(&holes[i-1].Position)
		}
		if i+1 < len(holes) {
			leaf.On = leafOf(&holes[i+1].Position)
		}
		v.Leaves = append(v.Leaves, leaf)
	}
	switch {
	case s.j.Gate.Gates[words.SecondFix].State == words.Waiting:
		s.say("This is where the holes would be today. Nothing is cut before plaster is signed off.")
	case len(holes) > 0 && holes[0].First:
		s.say("Open " + holes[0].Position.Name + " first, and say what was behind it.")
	case len(holes) > 0:
		s.say("Mark, open, and say what was behind it. Each hole corrects those that follow.")
	}
	v.Sheet = s.sheet
	return Draw(c, http.StatusOK, web.Holes, v)
}

func leafOf(q *room.Position) web.Leaf { return web.Leaf{ID: q.ID.String(), Name: q.Name} }

// leaf is one hole with what its form has to know.
func (s *scene) leaf(h *standing.ToOpen) web.HoleLeaf {
	own := s.j.Record.LayersOf(h.Surface.ID, id.Datum{})
	v := web.HoleLeaf{Hole: s.hole(&h.Position, h.Answer, h.Solved), First: h.First,
		Surface:  words.Capital(h.Surface.Name) + ", " + words.StateOf(s.j.Record.Now(own)) + " today",
		Cautions: allShown(append(caution.BeforeCutting(), caution.ForKind(h.Position.Kind)...))}
	v.Marks = marks(s.j, &h.Position)
	return v
}
