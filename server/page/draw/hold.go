package draw

import (
	"net/http"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Hold is the form that holds a position, releases it or leaves it out.
func (p *Pages) Hold(c echo.Context) error {
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	s, q, err := kit.On(c, p.scene, "Hold", "position", (*room.Record).Position)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.Hold, p.holdView(s, q))
}

func (p *Pages) holdView(s *scene, q *room.Position) web.HoldView {
	s.Sheet.Title = "Hold " + q.Name
	s.Say("Hold " + q.Name + " while it is not known what will be fitted, or leave it as it is.")
	switch {
	case !q.OmittedAt.IsZero():
		s.Sheet.Title = q.Name + " is left out"
		s.Say("Nothing is owed for " + q.Name + ".")
	case q.Held:
		s.Sheet.Title = q.Name + " is held"
		s.Say("Release " + q.Name + " when the choice is made.")
	}
	return web.HoldView{Sheet: s.Sheet, PositionID: q.ID.String(), PositionName: q.Name, Kind: q.Kind, Held: q.Held,
		HeldReason:    q.HeldWhy,
		OmittedReason: q.OmitWhy}
}

// HoldIt holds a position, with the reason.
func (p *Pages) HoldIt(c echo.Context) error {
	return p.decide(c, "held", "reason", func(q id.Position, why string) deed.Deed {
		return deed.Hold{Position: q, Why: why}
	})
}

// Omit notes that the client gave a position up, and in what words.
func (p *Pages) Omit(c echo.Context) error {
	return p.decide(c, "omitted", "omit_reason", func(q id.Position, why string) deed.Deed {
		return deed.Omit{Position: q, Why: why}
	})
}

// Release takes a position off hold.
func (p *Pages) Release(c echo.Context) error {
	return p.decide(c, "released", "", func(q id.Position, _ string) deed.Deed { return deed.Release{Position: q} })
}

// WantAgain takes back that a position was given up.
func (p *Pages) WantAgain(c echo.Context) error {
	return p.decide(c, "wanted", "", func(q id.Position, _ string) deed.Deed { return deed.WantAgain{Position: q} })
}

// decide takes a decision about a position, with the reason in a field.
func (p *Pages) decide(c echo.Context, said, field string, of func(id.Position, string) deed.Deed) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	in, position, err := kit.InRoom[id.Position](c, "position")
	if err != nil {
		return err
	}
	_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), in, of(position, f.Get(field)))
	return p.taken(c, err, kit.PlaceOf(c).Schedule(), said, "Hold",
		func(s *scene, status int, faults []fault.Field) error {
			q, err := s.J.Record.Position(position)
			if err != nil {
				return err
			}
			v := p.holdView(s, q)
			v.Faults = kit.Renamed(faults, "reason", field)
			v.Reason, v.OmitReason = f.Get("reason"), f.Get("omit_reason")
			return kit.Draw(c, status, web.Hold, v)
		})
}
