package draw

import (
	"lathmark/domain/deed"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Hold is the form that holds a position, with the reason, or leads to what
// releases it or leaves it out.
func (p *Pages) Hold() kit.Pair { return p.decide(deed.KindHold) }

// Omit notes that the client gave a position up, and in what words.
func (p *Pages) Omit() echo.HandlerFunc { return p.decide(deed.KindOmit).Post }

// Release takes a position off hold.
func (p *Pages) Release() echo.HandlerFunc { return p.decide(deed.KindRelease).Post }

// WantAgain puts a position that was left out back on the schedule.
func (p *Pages) WantAgain() echo.HandlerFunc { return p.decide(deed.KindWantAgain).Post }

// decide takes a decision about a position.
func (p *Pages) decide(of deed.Kind) kit.Pair {
	return pair(p, form[web.HoldView]{of: deed.Kinds[of], page: web.Hold, title: "Hold", param: "position",
		view: func(s *scene, position string, typed web.Typed) (web.HoldView, error) {
			v, err := s.hold(position, typed)
			v.Asks = asks(string(of), &v.Typed)
			return v, err
		}, to: toSchedule})
}

func (s *scene) hold(position string, typed web.Typed) (v web.HoldView, err error) {
	q, err := deed.ByID(s.J.Record.Position, position)
	if err != nil {
		return v, err
	}
	s.Sheet.Title = "Hold " + q.Name
	s.Say("Hold " + q.Name + " until the fitting is chosen.")
	switch {
	case !q.OmittedAt.IsZero():
		s.Sheet.Title = q.Name + " is left out"
		s.Say("Nothing to do for " + q.Name + ".")
	case q.Held:
		s.Sheet.Title = q.Name + " is held"
		s.Say("Release " + q.Name + " when the choice is made.")
	}
	return web.HoldView{Sheet: s.Sheet, Typed: typed, PositionID: position, PositionName: q.Name, Kind: q.Kind,
		Held: q.Held, HeldReason: q.HeldWhy, OmittedReason: q.OmitWhy}, nil
}
