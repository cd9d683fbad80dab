package office

import (
	"encoding/json"
	"net/http"

	"lathmark/domain/id"
	"lathmark/server/page/kit"

	"github.com/labstack/echo/v4"
)

// OwnData is all that is held about whoever asks, as one file.
func (p *Pages) OwnData(c echo.Context) error { return p.data(c, kit.Who(c).ID) }

// DataOf is all that is held about a member, for the owner.
func (p *Pages) DataOf(c echo.Context) error {
	of, err := kit.MemberID(c)
	if err != nil {
		return err
	}
	return p.data(c, of)
}

func (p *Pages) data(c echo.Context, of id.Member) error {
	var text []byte
	if err := p.InTurn(c, func(func() error) error {
		f, err := p.Held.Of(c.Request().Context(), kit.Who(c), of)
		if err == nil {
			text, err = json.MarshalIndent(f, "", "  ")
		}
		return err
	}); err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderCacheControl, "no-store")
	c.Response().Header().Set(echo.HeaderContentDisposition, `attachment; filename="held.json"`)
	return c.JSONBlob(http.StatusOK, append(text, '\n'))
}

// Forget takes the name of somebody who left out of the records.
func (p *Pages) Forget(c echo.Context) error { return toPerson(c, "name-out", p.Held.Forget) }
