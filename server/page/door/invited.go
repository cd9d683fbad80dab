package door

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Invited shows what a code is for, and uses nothing up: cameras and messages
// fetch an address before anybody has touched it.
func (p *Pages) Invited(c echo.Context) error { return p.invited(c, http.StatusOK, web.Typed{}) }

func (p *Pages) invited(c echo.Context, status int, typed web.Typed) error {
	code := c.Param("token")
	i, f, err := p.Firm.InvitationByCode(c.Request().Context(), code)
	if err != nil {
		return p.orNoCode(c, err)
	}
	v := web.InvitedView{Sheet: p.Sheet(c, "You are invited"), Typed: typed, Code: code, Of: f.Name,
		For: i.Becomes(), By: i.ByName, Ends: i.EndsAt}
	v.Zone = f.Zone
	v.Next = web.Next{Sentence: "Enter your name to start work for " + f.Name + "."}
	return kit.Secret(c, status, web.Invited, v)
}

// Join uses a code up, and whoever came with it is in.
func (p *Pages) Join(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	by, session, err := p.Firm.Join(c.Request().Context(), c.Param("token"), f.Get("name"))
	if fields, ok := kit.Mendable(err); ok {
		return p.invited(c, kit.MendStatus(err), web.Typed{Faults: fields, Sent: f.Values})
	}
	if err != nil {
		return p.orNoCode(c, err)
	}
	return p.Begin(c, by, session)
}

// orNoCode is one and the same answer for a code that was used, taken back, over,
// or never made.
func (p *Pages) orNoCode(c echo.Context, err error) error {
	if fault.KindOf(err) != fault.NotFound {
		return err
	}
	v := web.NoCodeView{Sheet: p.Sheet(c, "Sign in")}
	v.Next = web.Next{Sentence: "This code no longer works. Ask the person who gave it to you for a new one."}
	return kit.Secret(c, http.StatusNotFound, web.NoCode, v)
}
