package page

import (
	"context"
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Hold is the form that holds a position, releases it or leaves it out.
func (p *Pages) Hold(c echo.Context) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	s, q, err := p.onPosition(c, "Hold")
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Hold, p.holdView(s, q))
}

func (p *Pages) holdView(s *scene, q *room.Position) web.HoldView {
	s.sheet.Title = "Hold " + q.Name
	s.say("Hold " + q.Name + " while it is not known what will be fitted, or leave it as it is.")
	switch {
	case !q.OmittedAt.IsZero():
		s.sheet.Title = q.Name + " is left out"
		s.say("Nothing is owed for " + q.Name + ".")
	case q.Held:
		s.sheet.Title = q.Name + " is held"
		s.say("Release " + q.Name + " when the choice is made.")
	}
	return web.HoldView{Sheet: s.sheet, PositionID: q.ID.String(), PositionName: q.Name, Kind: q.Kind, Held: q.Held,
		HeldReason:    q.HeldWhy,
		OmittedReason: q.OmitWhy}
}

// HoldIt holds a position, with the reason.
func (p *Pages) HoldIt(c echo.Context) error {
	return p.decide(c, "held", "reason", p.Services.Room.Hold)
}

// Omit notes that the client gave a position up, and in what words.
func (p *Pages) Omit(c echo.Context) error {
	return p.decide(c, "omitted", "omit_reason", p.Services.Room.Omit)
}

// Release takes a position off hold.
func (p *Pages) Release(c echo.Context) error {
	return p.decide(c, "released", "", func(ctx context.Context, by firm.Person, of id.Room, q id.Position, version int64,
		_ string) (*standing.Standing, error) {
		return p.Services.Room.Release(ctx, by, of, q, version)
	})
}

// WantAgain takes back that a position was given up.
func (p *Pages) WantAgain(c echo.Context) error {
	return p.decide(c, "wanted", "", func(ctx context.Context, by firm.Person, of id.Room, q id.Position, version int64,
		_ string) (*standing.Standing, error) {
		return p.Services.Room.WantAgain(ctx, by, of, q, version)
	})
}

// decide takes a decision about a position, with the reason in a field.
func (p *Pages) decide(c echo.Context, said, field string,
	do func(context.Context, firm.Person, id.Room, id.Position, int64, string) (*standing.Standing, error)) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, position, err := inRoom[id.Position](c, "position")
	if err != nil {
		return err
	}
	_, err = do(c.Request().Context(), who(c), of, position, 0, f.Get(field))
	return p.taken(c, err, PlaceOf(c).Schedule(), said, "Hold", func(s *scene, status int, faults []fault.Field) error {
		q, err := s.j.Record.Position(position)
		if err != nil {
			return err
		}
		v := p.holdView(s, q)
		v.Faults = renamed(faults, "reason", field)
		v.Reason, v.OmitReason = f.Get("reason"), f.Get("omit_reason")
		return Draw(c, status, web.Hold, v)
	})
}
