package page

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Reopen is the form that opens a signed stage again.
func (p *Pages) Reopen(c echo.Context) error {
	v, err := p.reopenForm(c)
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Reopen, v)
}

func (p *Pages) reopenForm(c echo.Context) (web.ReopenView, error) {
	of, err := stageOf(c)
	if err != nil {
		return web.ReopenView{}, err
	}
	s, err := p.scene(c, "Open "+of.String()+" again")
	if err != nil {
		return web.ReopenView{}, err
	}
	if err := firm.MayRunJobs(s.by); err != nil {
		return web.ReopenView{}, err
	}
	if s.j.Record.Gates[of].State != words.SignedOff {
		return web.ReopenView{}, &fault.Error{Kind: fault.Conflict,
			Msg: words.Capital(of.String()) + " is not signed off, so there is nothing to reopen."}
	}
	s.say("Say why, so that somebody who was not here understands it.")
	v := web.ReopenView{Sheet: s.sheet, Gate: gateOf(s.j, of)}
	for _, later := range gate.ReopenedBy(s.j.Gate.Gates, of) {
		if later != of {
			v.Follows = append(v.Follows, later.String())
		}
	}
	return v, nil
}

// OpenAgain takes it.
func (p *Pages) OpenAgain(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	err = p.atGate(c, "reopened", func(of words.Stage) error {
		room, err := roomID(c)
		if err != nil {
			return err
		}
		_, err = p.Stage.Reopen(c.Request().Context(), who(c), room, of, f.Get("reason"))
		return err
	})
	if fault.KindOf(err) != fault.BadInput {
		return err
	}
	fields, _ := mendable(err)
	v, err := p.reopenForm(c)
	if err != nil {
		return err
	}
	v.Faults, v.Reason = fields, f.Get("reason")
	return Draw(c, http.StatusBadRequest, web.Reopen, v)
}
