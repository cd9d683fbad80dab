package door

import (
	"crypto/subtle"
	"errors"
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/server/oidc"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// With sends somebody to a provider, by a page of ours: a form of ours leads nowhere
// else, not even by a redirect (form-action, Content Security Policy Level 3). That a form
// of ours asks is what keeps other sites from beginning it.
func (p *Pages) With(c echo.Context) error {
	form, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	to, attempt, err := p.Providers.Begin(c.Param("provider"), form.Get("link"), form.Get("again") != "")
	if err != nil {
		return p.notIn(c, err)
	}
	p.Auth.SetAttempt(c, attempt)
	label := p.Providers.Label(c.Param("provider"))
	v := web.OnwardView{Sheet: p.Sheet(c, "Sign in with "+label)}
	v.Next = web.Next{Sentence: "You sign in with " + label + " on its own page, and come back from there.",
		Action: "Go on", Href: to}
	c.Response().Header().Set("Refresh", "0; url="+to)
	return kit.Secret(c, http.StatusOK, web.Onward, v)
}

// Back takes somebody who comes back from a provider. Who is known in several
// firms chooses one; whose account would be tied to a person is asked; who is known in
// none reads the same as somebody whose e-mail the provider has not made sure of.
func (p *Pages) Back(c echo.Context) error {
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	attempt := p.Auth.Attempt(c)
	p.Auth.SetAttempt(c, "")
	ctx := c.Request().Context()
	came, err := p.Providers.Finish(ctx, c.Param("provider"), attempt, c.QueryParams())
	if err != nil {
		return p.notIn(c, err)
	}
	places, err := p.Firm.Recognise(ctx, came.Attempt, came.Link, came.Proof)
	switch {
	case err != nil:
		return p.notIn(c, err)
	case len(places) == 0:
		return p.stranger(c)
	case len(places) == 1 && !places[0].Ties:
		return p.comeInto(c, attempt, places[0].Firm, places[0].Person.ID)
	}
	p.Auth.SetAttempt(c, attempt) // once more, to choose
	v := web.ChooseFirmView{Sheet: p.Sheet(c, "Which firm?"), Asked: oidc.Asked(attempt),
		Account: came.Account(), Label: p.Providers.Label(c.Param("provider"))}
	v.Next = web.Next{Sentence: "You belong to several firms. Choose the one to work for."}
	for _, at := range places {
		v.Places = append(v.Places, web.Workplace{Firm: at.Firm.String(), FirmName: at.FirmName,
			Person: kit.Named(at.Person), Ties: at.Ties})
		v.Ties = v.Ties || at.Ties
	}
	if len(places) == 1 {
		v.Title = "Is this you?"
		v.Next.Sentence = "You are about to sign in as " + places[0].Person.Name + ", " + places[0].Person.Does() + " of " +
			places[0].FirmName + "."
	}
	return kit.Secret(c, http.StatusOK, web.ChooseFirm, v)
}

// ChooseFirm takes as whom somebody signs in, and in which of several firms.
func (p *Pages) ChooseFirm(c echo.Context) error {
	form, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := id.Parse[id.Firm](form.Get("firm"))
	if err != nil {
		return p.notIn(c, err)
	}
	member, err := id.Parse[id.Member](form.Get("person"))
	if err != nil {
		return p.notIn(c, err)
	}
	attempt := p.Auth.Attempt(c)
	p.Auth.SetAttempt(c, "")
	if subtle.ConstantTimeCompare([]byte(form.Get("asked")), []byte(oidc.Asked(attempt))) != 1 {
		return p.notIn(c, &fault.Error{Kind: fault.Refused, Msg: "This is about another attempt."})
	}
	return p.comeInto(c, attempt, of, member)
}

func (p *Pages) comeInto(c echo.Context, attempt string, of id.Firm, member id.Member) error {
	ctx := c.Request().Context()
	by, session, ties, err := p.Firm.Choose(ctx, oidc.AttemptOf(attempt), oidc.LinkOf(attempt), of, member)
	if err != nil {
		return p.notIn(c, err)
	}
	if err := p.Auth.Begin(c, session); err != nil {
		return err
	}
	if all, err := p.Firm.Sessions(ctx, by); err != nil {
		return err
	} else if ties && len(all) > 1 {
		return kit.SeeOther(c, web.SessionsPath, "account")
	}
	return c.Redirect(http.StatusSeeOther, kit.WorkOf(by))
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
