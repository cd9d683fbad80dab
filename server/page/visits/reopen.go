package visits

import (
	"net/http"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Reopen is the form that opens a signed stage again.
func (p *Pages) Reopen(c echo.Context) error {
	v, err := p.reopenForm(c)
	if err != nil {
		return err
	}
	return kit.Draw(c, http.StatusOK, web.Reopen, v)
}

func (p *Pages) reopenForm(c echo.Context) (web.ReopenView, error) {
	of, err := kit.StageOf(c)
	if err != nil {
		return web.ReopenView{}, err
	}
	s, err := p.scene(c, "Open "+of.String()+" again")
	if err != nil {
		return web.ReopenView{}, err
	}
	if err := firm.MayRunJobs(s.By); err != nil {
		return web.ReopenView{}, err
	}
	if s.J.Record.Gates[of].State != words.SignedOff {
		return web.ReopenView{}, &fault.Error{Kind: fault.Conflict,
			Msg: words.Capital(of.String()) + " is not signed off, so there is nothing to reopen."}
	}
	s.Say("Say why, so that somebody who was not here understands it.")
	v := web.ReopenView{Sheet: s.Sheet, Gate: kit.GateOf(s.J, of)}
	for _, later := range gate.ReopenedBy(s.J.Gate.Gates, of) {
		if later != of {
			v.Follows = append(v.Follows, later.String())
		}
	}
	return v, nil
}

// OpenAgain takes it.
func (p *Pages) OpenAgain(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	err = p.atGate(c, "reopened", func(of words.Stage) error {
		room, err := kit.RoomID(c)
		if err != nil {
			return err
		}
		_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), room, deed.Reopen{Stage: of, Reason: f.Get("reason")})
		return err
	})
	if fault.KindOf(err) != fault.BadInput {
		return err
	}
	fields, _ := kit.Mendable(err)
	v, err := p.reopenForm(c)
	if err != nil {
		return err
	}
	v.Faults, v.Reason = fields, f.Get("reason")
	return kit.Draw(c, http.StatusBadRequest, web.Reopen, v)
}
