package door

import (
	"errors"
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/server/oidc"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// With sends somebody to a provider.
func (p *Pages) With(c echo.Context) error {
	to, attempt, err := p.Providers.Begin(c.Param("provider"), c.QueryParam(kit.LinkField))
	if err != nil {
		return p.notIn(c, err)
	}
	p.Auth.SetAttempt(c, attempt)
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	return c.Redirect(http.StatusSeeOther, to)
}

// Back takes somebody who comes back from a provider. Who is known in several
// firms chooses one; who is known in none reads the same as somebody whose e-mail
// the provider has not made sure of.
func (p *Pages) Back(c echo.Context) error {
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	attempt := p.Auth.Attempt(c)
	p.Auth.SetAttempt(c, "")
	ctx := c.Request().Context()
	came, err := p.Providers.Finish(ctx, c.Param("provider"), attempt, c.QueryParams())
	if err != nil {
		return p.notIn(c, err)
	}
	if came.Link != "" {
		by, session, err := p.Firm.SignInAndLink(ctx, came.Link, came.Attempt, came.Proof)
		if err != nil {
			return p.notIn(c, err)
		}
		return p.Begin(c, by, session)
	}
	places, err := p.Firm.Recognise(ctx, came.Attempt, came.Proof)
	switch {
	case err != nil:
		return p.notIn(c, err)
	case len(places) == 0:
		return p.stranger(c)
	case len(places) == 1:
		return p.comeInto(c, came.Attempt, places[0].Firm)
	}
	p.Auth.SetAttempt(c, attempt) // once more, to choose
	v := web.ChooseFirmView{Sheet: p.Sheet(c, "Which firm?")}
	v.Next = web.Next{Sentence: "You belong to several firms. Choose the one to work for."}
	for _, at := range places {
		v.Firms = append(v.Firms, web.Option{Value: at.Firm.String(), Label: at.FirmName})
	}
	return kit.Draw(c, http.StatusOK, web.ChooseFirm, v)
}

// ChooseFirm takes which of several firms somebody comes into.
func (p *Pages) ChooseFirm(c echo.Context) error {
	form, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := id.Parse[id.Firm](form.Get("firm"))
	if err != nil {
		return p.notIn(c, err)
	}
	attempt := p.Auth.Attempt(c)
	p.Auth.SetAttempt(c, "")
	return p.comeInto(c, oidc.AttemptOf(attempt), of)
}

func (p *Pages) comeInto(c echo.Context, attempt firm.Hash, of id.Firm) error {
	by, session, err := p.Firm.Choose(c.Request().Context(), attempt, of)
	if err != nil {
		return p.notIn(c, err)
	}
	return p.Begin(c, by, session)
}

// stranger is the one answer to whoever is not known, for whatever reason.
func (p *Pages) stranger(c echo.Context) error {
	v := web.TroubleView{Sheet: p.Sheet(c, "Not known"), Says: "No firm knows this account.",
		Way: "Ask the foreman for a code."}
	v.Next = web.Next{Sentence: "Try another account, or open the one-time link you were given.",
		Action: "Go to the sign-in page", Href: web.SignInPath}
	return kit.Draw(c, http.StatusForbidden, web.Trouble, v)
}

// notIn says that somebody is not signed in, and not which check it was.
func (p *Pages) notIn(c echo.Context, err error) error {
	v := web.TroubleView{Sheet: p.Sheet(c, "Not signed in")}
	v.Next = web.Next{Sentence: "Start again.", Action: "Go to the sign-in page", Href: web.SignInPath}
	switch {
	case errors.Is(err, oidc.ErrDown):
		v.Says, v.Way = "The sign-in service is not answering just now.", "Try again in a minute, or sign in another way."
		return kit.Draw(c, http.StatusServiceUnavailable, web.Trouble, v)
	case fault.KindOf(err) == "" || fault.KindOf(err) == fault.Down || c.Param("provider") != "" &&
		!p.Providers.Has(c.Param("provider")):
		return err
	}
	v.Says, v.Way = "That didn't work.", "It took too long, or it was used before, or the sign-in service refused."
	return kit.Draw(c, http.StatusForbidden, web.Trouble, v)
}

// WentOut takes a provider's word that somebody went out there. It is answered as
// Back-Channel Logout 1.0, section 2.8, has it: programs read this, not people.
func (p *Pages) WentOut(c echo.Context) error {
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	ctx := c.Request().Context()
	word, err := p.Providers.CheckLogout(ctx, c.Param("provider"), c.Request().PostFormValue("logout_token"))
	if err == nil {
		err = p.Firm.LogOut(ctx, word)
	}
	switch {
	case errors.Is(err, oidc.ErrDown):
		return c.JSON(http.StatusServiceUnavailable, map[string]string{"error": "temporarily_unavailable"})
	case fault.KindOf(err) == fault.BadInput:
		return c.JSON(http.StatusBadRequest, map[string]string{"error": "invalid_request", "error_description": err.Error()})
	case err != nil:
		return err
	}
	return c.NoContent(http.StatusOK)
}
