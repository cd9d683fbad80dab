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
func (p *Pages) Invited(c echo.Context) error {
	v, err := p.invited(c)
	if err != nil {
		return p.orNoCode(c, err)
	}
	return kit.Secret(c, http.StatusOK, web.Invited, v)
}

func (p *Pages) invited(c echo.Context) (web.InvitedView, error) {
	code := c.Param("token")
	i, f, err := p.Firm.InvitationByCode(c.Request().Context(), code)
	if err != nil {
		return web.InvitedView{}, err
	}
	v := web.InvitedView{Sheet: p.Sheet(c, "You are asked in"), Code: code, Of: f.Name, For: kit.InvitedAs(i),
		By:   i.ByName,
		Ends: i.EndsAt}
	v.Next = web.Next{Sentence: "Write your name, and you work for " + f.Name + " on this phone."}
	return v, nil
}

// Join uses a code up, and whoever came with it is in.
func (p *Pages) Join(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	v, err := p.invited(c)
	if err != nil {
		return p.orNoCode(c, err)
	}
	by, session, err := p.Firm.Join(c.Request().Context(), c.Param("token"), f.Get("name"))
	if fields, ok := kit.Mendable(err); ok {
		v.Faults, v.Name = fields, f.Get("name")
		return kit.Secret(c, kit.MendStatus(err), web.Invited, v)
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
	v := web.NoCodeView{Sheet: p.Sheet(c, "The way in")}
	v.Next = web.Next{Sentence: "This code leads nowhere any more. Ask whoever gave it to you for a new one."}
	return kit.Secret(c, http.StatusNotFound, web.NoCode, v)
}
