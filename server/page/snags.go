package page

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/visit"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Snags is every snag of a room.
func (p *Pages) Snags(c echo.Context) error {
	s, err := p.scene(c, "Snags")
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Snags, s.snags())
}

func (s *scene) snags() web.SnagsView {
	var v web.SnagsView
	open := 0
	for _, n := range s.j.Record.Snags {
		row := web.SnagRow{ID: n.ID.String(), What: n.Says, By: s.people.name(n.NotedBy), At: n.NotedAt}
		if !n.ClosedAt.IsZero() {
			row.DoneBy, row.DoneAt = s.people.name(n.ClosedBy), n.ClosedAt
		} else {
			open++
		}
		v.Rows = append(v.Rows, row)
	}
	if s.say("No snag is open."); open > 0 {
		s.say(words.Count(open, "snag") + " open: decoration is not signed off before they are put right.")
	}
	v.Sheet = s.sheet
	return v
}

// NoteSnag takes one more.
func (p *Pages) NoteSnag(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := roomID(c)
	if err != nil {
		return err
	}
	d := snagOf(f)
	if err = f.err(); err == nil {
		_, err = p.Stage.NoteSnag(c.Request().Context(), who(c), of, d.Snag)
	}
	return p.taken(c, err, PlaceOf(c).Snags(), "snag", "Snags", func(s *scene, status int, faults []fault.Field) error {
		v := s.snags()
		v.Faults, v.What, v.Where = renamed(faults, "says", "what"), f.Get("what"), f.Get("where")
		return Draw(c, status, web.Snags, v)
	})
}

// snagOf reads the form: what, and where.
func snagOf(f *form) visit.NoteSnag {
	says := f.Get("what")
	if says == "" {
		f.bad("what", "it does not say what is wrong", "Say it in a few words")
	}
	if where := f.Get("where"); where != "" {
		says += ", " + where
	}
	return visit.NoteSnag{Snag: room.Snag{ID: newID[id.Snag](f, 0), Says: says}}
}

// SnagDone says that a snag was put right.
func (p *Pages) SnagDone(c echo.Context) error {
	of, snag, err := inRoom[id.Snag](c, "snag")
	if err != nil {
		return err
	}
	if _, err := p.Stage.CloseSnag(c.Request().Context(), who(c), of, snag); err != nil {
		return err
	}
	return seeOther(c, PlaceOf(c).Snags(), "snag-done")
}
