package office

import (
	"io"
	"net/http"

	"lathmark/server/auth"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// OfferPasskey begins a new passkey, for a script.
func (p *Pages) OfferPasskey(c echo.Context) error {
	a, _ := auth.Who(c)
	if p.Passkeys == nil {
		return echo.ErrNotFound
	}
	options, err := p.Passkeys.BeginRegistration(c.Request().Context(), a.Person, a.FirmName)
	if err != nil {
		return err
	}
	return kit.Unkept(c, options)
}

// AddPasskey takes a new passkey, from a script.
func (p *Pages) AddPasskey(c echo.Context) error {
	a, _ := auth.Who(c)
	if p.Passkeys == nil {
		return echo.ErrNotFound
	}
	answer, err := io.ReadAll(http.MaxBytesReader(c.Response(), c.Request().Body, kit.AnswerLimit))
	if err != nil {
		return echo.ErrStatusRequestEntityTooLarge
	}
	if _, err := p.Passkeys.Register(c.Request().Context(), a.Person, a.Session.ID, c.QueryParam("name"),
		answer); err != nil {
		return err
	}
	return kit.Unkept(c, map[string]string{"go": web.SessionsPath + "?done=passkey"})
}

// EndPasskey takes one of one's passkeys away.
func (p *Pages) EndPasskey(c echo.Context) error {
	return kit.Press(c, "passkey", p.Firm.EndPasskey, web.SessionsPath, "passkey-away")
}
