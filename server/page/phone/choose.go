package phone

import (
	"net/http"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Choose takes which of two records of the same thing is to stand.
func (p *Pages) Choose(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	act, err := id.Parse[id.Act](c.Param("act"))
	if err != nil {
		return err
	}
	of, err := p.Desk.Choose(c.Request().Context(), kit.Who(c), act, deed.Choice(f.Get("choice")))
	if err != nil {
		return err
	}
	at := web.Place{Room: of.String()}
	if kit.AsksForJSON(c) {
		return c.JSON(http.StatusOK, kit.Answer{ID: act.String(), Answer: deed.Kept, Says: kit.Done("chosen"),
			Go: at.RoomPage()})
	}
	return kit.SeeOther(c, at.RoomPage(), "chosen")
}
