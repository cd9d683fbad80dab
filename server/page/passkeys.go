package page

import (
	"io"
	"net/http"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/server/auth"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// answerLimit is the most that a device's answer weighs, in bytes: a key, a
// signature and some names are under 4 kB.
const answerLimit = 64 << 10

// OfferPasskey begins a new passkey, for a script.
func (p *Pages) OfferPasskey(c echo.Context) error {
	a, _ := auth.Who(c)
	if p.passkeys == nil {
		return echo.ErrNotFound
	}
	options, err := p.passkeys.BeginRegistration(c.Request().Context(), a.Person, a.FirmName)
	if err != nil {
		return err
	}
	return unkept(c, options)
}

// AddPasskey takes a new passkey, from a script.
func (p *Pages) AddPasskey(c echo.Context) error {
	if p.passkeys == nil {
		return echo.ErrNotFound
	}
	answer, err := io.ReadAll(http.MaxBytesReader(c.Response(), c.Request().Body, answerLimit))
	if err != nil {
		return echo.ErrStatusRequestEntityTooLarge
	}
	if _, err := p.passkeys.Register(c.Request().Context(), who(c), c.QueryParam("name"), answer); err != nil {
		return err
	}
	return unkept(c, map[string]string{"go": web.SessionsPath + "?done=passkey"})
}

// EndPasskey takes one of one's passkeys away.
func (p *Pages) EndPasskey(c echo.Context) error {
	of, err := id.Parse[id.Passkey](c.Param("passkey"))
	if err == nil {
		err = p.Firm.EndPasskey(c.Request().Context(), who(c), of)
	}
	if err != nil {
		return err
	}
	return seeOther(c, web.SessionsPath, "passkey-away")
}

// AskPasskey begins coming in with a passkey, for a script.
func (p *Pages) AskPasskey(c echo.Context) error {
	if p.passkeys == nil {
		return echo.ErrNotFound
	}
	options, err := p.passkeys.BeginSignIn(c.Request().Context())
	if err != nil {
		return err
	}
	return unkept(c, options)
}

// ComeWithPasskey starts the session of whose passkey answered.
func (p *Pages) ComeWithPasskey(c echo.Context) error {
	if p.passkeys == nil {
		return echo.ErrNotFound
	}
	answer, err := io.ReadAll(http.MaxBytesReader(c.Response(), c.Request().Body, answerLimit))
	if err != nil {
		return echo.ErrStatusRequestEntityTooLarge
	}
	by, session, err := p.passkeys.SignIn(c.Request().Context(), answer)
	if err != nil {
		return err
	}
	if err := p.sessions.Begin(c, session); err != nil {
		return err
	}
	to := web.TasksPath
	if firm.MayRunJobs(by) == nil {
		to = web.Home
	}
	return unkept(c, map[string]string{"go": to})
}

func unkept(c echo.Context, answer any) error {
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	return c.JSON(http.StatusOK, answer)
}
