package door

import (
	"io"
	"net/http"

	"lathmark/domain/firm"
	"lathmark/server/auth"
	"lathmark/server/page/kit"

	"github.com/labstack/echo/v4"
)

// AskPasskey begins coming in with a passkey, for a script.
func (p *Pages) AskPasskey(c echo.Context) error {
	if p.Passkeys == nil {
		return echo.ErrNotFound
	}
	options, err := p.Passkeys.BeginSignIn(c.Request().Context())
	if err != nil {
		return err
	}
	return kit.Unkept(c, options)
}

// ComeWithPasskey starts the session of whose passkey answered. With "again" in the
// address that is whoever is signed in.
func (p *Pages) ComeWithPasskey(c echo.Context) error {
	if p.Passkeys == nil {
		return echo.ErrNotFound
	}
	answer, err := io.ReadAll(http.MaxBytesReader(c.Response(), c.Request().Body, kit.AnswerLimit))
	if err != nil {
		return echo.ErrStatusRequestEntityTooLarge
	}
	var only firm.Person
	if c.QueryParam("again") != "" {
		a, there := auth.Who(c)
		if only = a.Person; !there {
			return auth.ErrNobody
		}
	}
	by, session, err := p.Passkeys.SignIn(c.Request().Context(), only, answer)
	if err != nil {
		return err
	}
	if err := p.Auth.Begin(c, session); err != nil {
		return err
	}
	return kit.Unkept(c, map[string]string{"go": kit.WorkOf(by)})
}
