package page

import (
	"bytes"
	"mime"
	"net/http"
	"strings"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/sums"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// RoomSheet is the room as a room sheet, to keep.
func (p *Pages) RoomSheet(c echo.Context) error {
	of, err := roomID(c)
	if err != nil {
		return err
	}
	sheet, err := p.Services.Room.Export(c.Request().Context(), who(c), of)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	if err := sheet.Write(&b); err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderContentDisposition, mime.FormatMediaType("attachment",
		map[string]string{"filename": sheet.Room + ".json"}))
	return c.Blob(http.StatusOK, echo.MIMEApplicationJSON, b.Bytes())
}

// Sums is the room as a phone keeps it, to work out what it did without signal.
func (p *Pages) Sums(c echo.Context) error {
	of, err := roomID(c)
	if err != nil {
		return err
	}
	j, err := p.Services.Room.Read(c.Request().Context(), who(c), of)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, sums.Of(j.Record))
}

// ImportRoom is the form that takes a room sheet as a new room.
func (p *Pages) ImportRoom(c echo.Context) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	v, err := p.importForm(c)
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.ImportRoom, v)
}

func (p *Pages) importForm(c echo.Context) (web.ImportView, error) {
	form, err := p.roomForm(c)
	v := web.ImportView{Sheet: form.Sheet}
	v.Title, v.Next = "Take in a room sheet", web.Next{Sentence: "Paste the whole room sheet."}
	return v, err
}

// TakeRoom takes it.
func (p *Pages) TakeRoom(c echo.Context) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := id.Parse[id.Job](c.Param("job"))
	if err != nil {
		return err
	}
	var made *standing.Standing
	sheet, err := roomsheet.Read(strings.NewReader(f.Get("sheet")))
	if err == nil {
		if name := f.Get("name"); name != "" {
			sheet.Room = name
		}
		made, err = p.Services.Room.Import(c.Request().Context(), who(c), of, newID[id.Room](f, 0), sheet)
	}
	if fields, ok := mendable(err); ok {
		v, readErr := p.importForm(c)
		if readErr != nil {
			return readErr
		}
		v.Faults, v.Name, v.Text = fields, f.Get("name"), f.Get("sheet")
		for i := range v.Faults {
			v.Faults[i].Wrong, v.Faults[i].Path = strings.TrimPrefix(v.Faults[i].Path+": "+v.Faults[i].Wrong, ": "), "sheet"
		}
		return Draw(c, mendStatus(err), web.ImportRoom, v)
	}
	if err != nil {
		return err
	}
	return seeOther(c, web.Place{Room: made.Record.ID.String()}.RoomPage(), "room")
}
