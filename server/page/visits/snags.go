package visits

import (
	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Snags is every snag of a room.
func (p *Pages) Snags(c echo.Context) error { return kit.Show(c, p.House, web.Snags, Snags) }

// Snags draws it.
func Snags(v kit.Viewer, j *standing.Standing) web.SnagsView { return look(v, j, "Snags").snags() }

func (s *scene) snags() web.SnagsView {
	var v web.SnagsView
	open := 0
	for _, n := range s.J.Record.Snags {
		row := web.SnagRow{ID: n.ID.String(), What: n.Says, By: s.People.Name(n.NotedBy), At: n.NotedAt}
		if !n.ClosedAt.IsZero() {
			row.DoneBy, row.DoneAt = s.People.Name(n.ClosedBy), n.ClosedAt
		} else {
			open++
		}
		v.Rows = append(v.Rows, row)
	}
	if s.Say("No snag is open."); open > 0 {
		s.Say(words.Count(open, "snag") + " open: decoration is not signed off before they are put right.")
	}
	v.Sheet = s.Sheet
	return v
}

// NoteSnag takes one more.
func (p *Pages) NoteSnag(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	d, err := f.Deed(deed.KindSnag, "", nil)
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), of, d)
	}
	return p.taken(c, err, kit.PlaceOf(c).Snags(), "snag", "Snags",
		func(s *scene, status int, faults []fault.Field) error {
			v := s.snags()
			v.Faults, v.What, v.Where = kit.Renamed(faults, "says", "what"), f.Get("what"), f.Get("where")
			return kit.Draw(c, status, web.Snags, v)
		})
}

// SnagDone says that a snag was put right.
func (p *Pages) SnagDone(c echo.Context) error {
	of, snag, err := kit.InRoom[id.Snag](c, "snag")
	if err != nil {
		return err
	}
	if _, err := p.Desk.Do(c.Request().Context(), kit.Who(c), of, deed.CloseSnag{Snag: snag}); err != nil {
		return err
	}
	return kit.SeeOther(c, kit.PlaceOf(c).Snags(), "snag-done")
}
