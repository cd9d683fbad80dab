package door

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// SignIn offers the people whom p.Way offers.
func (p *Pages) SignIn(c echo.Context) error {
	people, err := p.Way.People(c.Request().Context())
	if err != nil {
		return err
	}
	v := web.SignInView{Sheet: p.Sheet(c, "Who are you?"), Ways: p.SignIns(""), Passkeys: p.Passkeys != nil}
	for _, one := range people {
		v.People = append(v.People, web.DemoPerson{Person: kit.Named(one.Person), Try: words.Capital(one.Try)})
	}
	v.Next = web.Next{Sentence: "Sign in as the electrician to measure tails and cut holes, or as the foreman to sign " +
		"stages off. Anything you record stays until the demo is started afresh."}
	if len(people) == 0 {
		v.Next.Sentence = "Open the one-time link you were given. If it was used already, ask the owner of the firm for " +
			"another, or the foreman for a code."
	}
	if len(v.Ways) > 0 && len(people) == 0 {
		v.Next.Sentence = "Sign in with one of your accounts, or open the one-time link you were given."
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
	v := web.ComeInView{Sheet: p.Sheet(c, "Sign in"), Link: c.Param("token"), Ways: p.SignIns(c.Param("token"))}
	v.Next = web.Next{Sentence: "Sign in with your one-time link."}
	return kit.Secret(c, http.StatusOK, web.ComeIn, v)
}

// UseLink uses a one-time link up and starts a session.
func (p *Pages) UseLink(c echo.Context) error {
	by, session, err := p.Firm.SignIn(c.Request().Context(), c.Param("token"))
	if fault.KindOf(err) == fault.NotFound {
		v := web.SignInView{Sheet: p.Sheet(c, "Sign in")}
		v.Next = web.Next{Sentence: "Ask the owner of the firm for a new link, or the foreman for a code."}
		v.Faults = []fault.Field{{Wrong: "that link was used already, or has run out", Mend: "Ask for a new one"}}
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
