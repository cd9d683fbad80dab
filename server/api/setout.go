package api

import (
	"bytes"
	"context"
	"encoding/json"
	"net/http"

	"lathmark/domain/advice"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"

	"github.com/danielgtaylor/huma/v2"
	"github.com/labstack/echo/v4"
)

// SheetLimit is the most that a room sheet may take, bytes: one of 500
// positions and 5,000 measurements, which is as many as a sheet may have, takes
// about 1 MB.
const SheetLimit = 4 << 20

// OwnLimit reports whether a request's own operation says how much it may bring,
// rather than the server: those that bring a room sheet.
func OwnLimit(c echo.Context) bool {
	path := c.Path()
	return path == Prefix+"/setout" || path == Prefix+"/jobs/:job/rooms/:room/sheet"
}

func (a *api) sheets() {
	sheet, setOut := a.sheetSchemas()
	large := func(op *huma.Operation) {
		op.MaxBodyBytes, op.SkipValidateBody = SheetLimit, true
		op.Middlewares = append(op.Middlewares, a.takeIn)
	}
	route(a, "POST /setout", "setOut", "Works out where to mark today, from any room sheet; saves nothing", a.setOut,
		open, func(op *huma.Operation) { op.Middlewares = huma.Middlewares{a.letThrough} }, large, answers(setOut))
	a.takes("/setout", http.MethodPost, sheet)
	route(a, "GET /rooms/{room}/setout", "roomSetOut", "Where to mark today in a room",
		reads(a, func(_ *OfRoom, j *standing.Standing) (*raw, error) { return printed(j.SetOut()) }), answers(setOut))
	route(a, "GET /rooms/{room}/sheet", "exportRoom", "A room as a room sheet, in today's states",
		reads(a, func(_ *OfRoom, j *standing.Standing) (*raw, error) {
			var b bytes.Buffer
			err := j.Sheet.Write(&b)
			return &raw{"application/json", b.Bytes()}, err
		}), answers(sheet))
	route(a, "PUT /jobs/{job}/rooms/{room}/sheet", "importRoom",
		"Adds a room from a room sheet; the room's id is yours to make", a.importRoom, large)
	a.takes("/jobs/{job}/rooms/{room}/sheet", http.MethodPut, sheet)
}

// setOut answers what the command of that name prints with --json, to the byte.
func (a *api) setOut(ctx context.Context, _ firm.Person, in *struct {
	RawBody []byte `contentType:"application/json"`
}) (*raw, error) {
	return inTurn(ctx, a, func() (*raw, error) {
		sheet, err := roomsheet.Read(bytes.NewReader(in.RawBody))
		if err != nil {
			return nil, err
		}
		return printed(advice.SetOut(sheet))
	})
}

// printed writes an answer as the setout command does.
func printed(answer *roomsheet.Answer) (*raw, error) {
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	err := e.Encode(answer)
	return &raw{"application/json", b.Bytes()}, err
}

func (a *api) importRoom(ctx context.Context, by firm.Person, in *struct {
	Job     id.Job  `path:"job" format:"uuid"`
	Room    id.Room `path:"room" format:"uuid"`
	RawBody []byte  `contentType:"application/json"`
}) (*answer[Record], error) {
	if err := made("path.room", in.Room); err != nil {
		return nil, err
	}
	return inTurn(ctx, a, func() (*answer[Record], error) {
		sheet, err := roomsheet.Read(bytes.NewReader(in.RawBody))
		if err != nil {
			return nil, err
		}
		return recorded(a.Desk.Import(ctx, by, in.Job, in.Room, sheet))
	})
}
