package door

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// SignIn offers whom the way in offers.
func (p *Pages) SignIn(c echo.Context) error {
	people, err := p.Way.People(c.Request().Context())
	if err != nil {
		return err
	}
	v := web.SignInView{Sheet: p.Sheet(c, "Who are you?"), Ways: p.WaysIn(""), Passkeys: p.Passkeys != nil}
	for _, one := range people {
		v.People = append(v.People, kit.Named(one))
	}
	v.Next = web.Next{Sentence: "Come in as one of the people of the demo's firm."}
	if len(people) == 0 {
		v.Next.Sentence = "Open the one-time link that you were given. If it was used already, ask the owner of the firm " +
			"for another."
	}
	if len(v.Ways) > 0 && len(people) == 0 {
		v.Next.Sentence = "Come in with an account that you have, or open the one-time link that you were given."
	}
	return kit.Draw(c, http.StatusOK, web.SignIn, v)
}

// ComeIn starts the session that the sign-in form asks for.
func (p *Pages) ComeIn(c echo.Context) error {
	form, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	by, session, err := p.Way.Start(c.Request().Context(), form.Values)
	if fault.KindOf(err) == fault.NotFound {
		return c.Redirect(http.StatusSeeOther, web.SignInPath)
	}
	if err != nil {
		return err
	}
	return p.Begin(c, by, session)
}

// Link shows a one-time link without using it up: what a message's link leads to
// is fetched by programs, too.
func (p *Pages) Link(c echo.Context) error {
	v := web.ComeInView{Sheet: p.Sheet(c, "The way in"), Link: c.Param("token"), Ways: p.WaysIn(c.Param("token"))}
	v.Next = web.Next{Sentence: "Come in with the link that was made for you."}
	return kit.Secret(c, http.StatusOK, web.ComeIn, v)
}

// UseLink uses a one-time link up and starts a session.
func (p *Pages) UseLink(c echo.Context) error {
	by, session, err := p.Firm.SignIn(c.Request().Context(), c.Param("token"))
	if fault.KindOf(err) == fault.NotFound {
		v := web.SignInView{Sheet: p.Sheet(c, "The way in")}
		v.Next = web.Next{Sentence: "Ask the owner of the firm for a new link."}
		v.Faults = []fault.Field{{Wrong: "that link was used before, or has run out", Mend: "Ask for a new one"}}
		return kit.Draw(c, http.StatusNotFound, web.SignIn, v)
	}
	if err != nil {
		return err
	}
	return p.Begin(c, by, session)
}

// SignOut ends the session.
func (p *Pages) SignOut(c echo.Context) error {
	if err := p.Auth.End(c); err != nil {
		return err
	}
	return c.Redirect(http.StatusSeeOther, web.SignInPath)
}
