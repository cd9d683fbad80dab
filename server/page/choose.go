package page

import (
	"context"
	"net/http"
	"slices"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Choose takes which of two records of the same thing is to stand.
func (p *Pages) Choose(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	act, err := id.Parse[id.Act](c.Param("act"))
	if err != nil {
		return err
	}
	of, err := p.Desk.Choose(c.Request().Context(), who(c), act, deed.Choice(f.Get("choice")))
	if err != nil {
		return err
	}
	at := web.Place{Room: of.String()}
	if AsksForJSON(c) {
		return c.JSON(http.StatusOK, Answer{ID: act.String(), Answer: deed.Kept, Says: done["chosen"], Go: at.RoomPage()})
	}
	return seeOther(c, at.RoomPage(), "chosen")
}

// AsksForJSON reports whether a request wants its answer for a script.
func AsksForJSON(c echo.Context) bool {
	return strings.Contains(c.Request().Header.Get(echo.HeaderAccept), echo.MIMEApplicationJSON)
}

// choices is what waits in a room for a choice that the person may make.
func (p *Pages) choices(ctx context.Context, s *scene) ([]web.ChoiceRow, error) {
	all, err := p.Desk.PendingIn(ctx, s.by, s.j.Record.ID)
	return choiceRows(s.by, s.people, all), err
}

// choiceRows is what waits for a choice, as pages show it.
func choiceRows(by firm.Person, all people, pending []deed.Pending) []web.ChoiceRow {
	var out []web.ChoiceRow
	for _, w := range pending {
		row := web.ChoiceRow{Act: w.Act.String(), At: web.Place{Job: w.Job.String(), Room: w.Room.String()}, Room: w.RoomName,
			Who: all.name(w.By), Done: w.Done,
			Mine: w.Mine, Theirs: w.Theirs, Both: slices.Contains(w.May, deed.KeepTwo)}
		if w.By == by.ID {
			row.Who = "You"
		}
		out = append(out, row)
	}
	return out
}
