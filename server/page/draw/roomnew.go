package draw

import (
	"bytes"
	"context"
	"net/http"
	"net/url"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/sums"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// NewRoom is the form for one more room of a job, with its ceiling or slopes.
func (p *Pages) NewRoom() kit.Pair {
	return kit.Filled[web.RoomFormView]{May: firm.MayRunJobs, Page: web.NewRoom, Take: p.addRoom,
		View: func(c echo.Context, typed web.Typed) (web.RoomFormView, error) {
			v, err := p.roomForm(c, typed)
			v.Faults = kit.Renamed(v.Faults, "outline", v.Value("shape"))
			return v, err
		}}.Pair()
}

func (p *Pages) roomForm(c echo.Context, typed web.Typed) (web.RoomFormView, error) {
	j, err := p.JobOf(c)
	if err != nil {
		return web.RoomFormView{}, err
	}
	typed.Begins = url.Values{"shape": {"rectangle"}, "with_schedule": {"yes"}, "with_timbers": {"yes"}}
	v := web.RoomFormView{Sheet: p.Sheet(c, "A new room"), Typed: typed}
	v.Job, v.At.Job = j.Name, j.ID.String()
	v.Next = web.Next{Sentence: "Start with the wall along the bottom of the sheet and walk round with the wall on your " +
		"right."}
	standards, err := p.Firm.BuildUps(c.Request().Context(), kit.Who(c))
	if err != nil {
		return v, err
	}
	v.BuildUps = (&scene{standards: standards}).buildUps()
	v.Others, err = p.others(c.Request().Context(), kit.Who(c), j.ID, id.Room{})
	return v, err
}

func (p *Pages) addRoom(c echo.Context, f *kit.Form) (to, said string, err error) {
	of, err := id.Parse[id.Job](c.Param("job"))
	if err != nil {
		return "", "", err
	}
	draft, err := f.Room(of)
	if err == nil {
		draft.Place, err = p.lastPlace(c.Request().Context(), kit.Who(c), of)
	}
	if err != nil {
		return "", "", err
	}
	standards, err := p.Firm.BuildUps(c.Request().Context(), kit.Who(c))
	if err != nil {
		return "", "", err
	}
	sent := deed.Sent{Form: f.Form, BuildUps: standards}
	layers := sent.Chosen("build_up", "")
	if err := f.Err(); err != nil {
		return "", "", err
	}
	made, err := p.Desk.Create(c.Request().Context(), kit.Who(c), draft, layers...)
	return pageOf(made), "room", err
}

// pageOf is the page of a room that was just made.
func pageOf(made *standing.Standing) string {
	if made == nil {
		return ""
	}
	return web.Place{Room: made.Record.ID.String()}.RoomPage()
}

// lastPlace is where the next room of a job stands: one walks into it last.
func (p *Pages) lastPlace(ctx context.Context, by firm.Person, of id.Job) (int, error) {
	rooms, err := p.Desk.Rooms(ctx, by, of)
	place := 1
	for _, r := range rooms {
		place = max(place, r.Place+1)
	}
	return place, err
}

// RoomSheet is the room as a room sheet, to keep.
func (p *Pages) RoomSheet(c echo.Context) error {
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	var b bytes.Buffer
	var name string
	if err := p.InTurn(c, func(func() error) error {
		sheet, err := p.Services.Desk.Export(c.Request().Context(), kit.Who(c), of)
		if err != nil {
			return err
		}
		name = sheet.Room
		return sheet.Write(&b)
	}); err != nil {
		return err
	}
	c.Response().Header().Set(echo.HeaderContentDisposition, kit.Attachment(name, "json"))
	return c.Blob(http.StatusOK, echo.MIMEApplicationJSON, b.Bytes())
}

// Sums is the room as a phone keeps it, to work out what it did without signal.
func (p *Pages) Sums(c echo.Context) error {
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	j, err := p.Services.Desk.Read(c.Request().Context(), kit.Who(c), of)
	if err != nil {
		return err
	}
	return c.JSON(http.StatusOK, sums.Of(j.Record))
}

// ImportRoom is the form that takes a room sheet as a new room.
func (p *Pages) ImportRoom() kit.Pair {
	return kit.Filled[web.ImportView]{May: firm.MayRunJobs, Page: web.ImportRoom, View: p.importForm,
		Take: p.takeRoom}.Pair()
}

func (p *Pages) importForm(c echo.Context, typed web.Typed) (web.ImportView, error) {
	form, err := p.roomForm(c, typed)
	v := web.ImportView{Sheet: form.Sheet, Typed: typed}
	v.Title, v.Next = "Import a room sheet", web.Next{Sentence: "Paste the whole room sheet."}
	for i, f := range v.Faults {
		v.Faults[i] = fault.Field{Path: "sheet", Wrong: strings.TrimPrefix(f.Path+": "+f.Wrong, ": "), Mend: f.Mend}
	}
	return v, err
}

func (p *Pages) takeRoom(c echo.Context, f *kit.Form) (to, said string, err error) {
	of, err := id.Parse[id.Job](c.Param("job"))
	if err != nil {
		return "", "", err
	}
	err = p.InTurn(c, func(func() error) error {
		sheet, err := roomsheet.Read(strings.NewReader(f.Get("sheet")))
		if err != nil {
			return err
		}
		if name := f.Get("name"); name != "" {
			sheet.Room = name
		}
		made, err := p.Desk.Import(c.Request().Context(), kit.Who(c), of, kit.NewID[id.Room](f, 0), sheet)
		to = pageOf(made)
		return err
	})
	return to, "room", err
}
