package page

import (
	"net/http"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Position is the form of one position of the schedule.
func (p *Pages) Position(c echo.Context) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	s, q, err := p.onPosition(c, "Position")
	if err != nil {
		return err
	}
	v := positionForm(s, q)
	v.Form = formOfPosition(q)
	v.Reach = figure(q.Reach)
	return Draw(c, http.StatusOK, web.Position, v)
}

// onPosition reads the room and finds the position that the address names.
func (p *Pages) onPosition(c echo.Context, title string) (*scene, *room.Position, error) {
	s, err := p.scene(c, title)
	if err != nil {
		return nil, nil, err
	}
	of, err := id.Parse[id.Position](c.Param("position"))
	if err != nil {
		return nil, nil, err
	}
	q, err := s.j.Record.Position(of)
	return s, q, err
}

func positionForm(s *scene, q *room.Position) web.PositionFormView {
	s.say("Change what the drawing says of " + q.Name + ". What was measured stays.")
	s.sheet.Title = "Position " + q.Name
	s.sheet.Token = withVersion(s.sheet.Token, q.Version)
	return web.PositionFormView{Sheet: s.sheet, PositionID: q.ID.String(), Kinds: kindsWith(q.Kind),
		Surfaces: surfaces(s.j.Record)}
}

// kindsWith are the kinds to choose from, one that was pasted among them.
func kindsWith(kind string) []web.Option {
	for _, k := range kinds {
		if k.Value == kind || kind == "" {
			return kinds
		}
	}
	return append(options(kind), kinds...)
}

func formOfPosition(q *room.Position) web.PositionForm {
	f := web.PositionForm{Name: q.Name, Kind: q.Kind, Surface: q.Surface.String(), CutOut: figure(q.Cutout)}
	if q.Planned != nil {
		f.Place = pointText(*q.Planned)
	}
	return f
}

// ChangePosition takes it, unless somebody else changed it first: then both
// versions are shown.
func (p *Pages) ChangePosition(c echo.Context) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	f, err := formOf(c)
	if err != nil {
		return err
	}
	s, q, err := p.onPosition(c, "Position")
	if err != nil {
		return err
	}
	d := positionDraft(f)
	d.Trade, d.TailSigma = "", q.TailSigma
	if f.Get("surface") != q.Surface.String() {
		f.bad("surface", q.Name+" stays on its surface", "Leave it out, and put a new one on the other")
	}
	if err = f.err(); err == nil {
		_, err = p.Room.ChangePosition(c.Request().Context(), s.by, s.j.Record.ID, q.ID, f.version, d)
	}
	if fault.KindOf(err) == fault.Conflict && f.version != 0 && f.version != q.Version {
		return p.bothPositions(c, s, q, f)
	}
	return p.taken(c, err, s.at.Schedule(), "position-changed", "Position",
		func(s *scene, status int, faults []fault.Field) error {
			v := positionForm(s, q)
			v.Form, v.Reach, v.Faults = typedPosition(f), f.Get("reach"), onPositionForm(faults)
			return Draw(c, status, web.Position, v)
		})
}

// bothPositions shows what is on record beside what was typed.
func (p *Pages) bothPositions(c echo.Context, s *scene, q *room.Position, f *form) error {
	theirs, yours := formOfPosition(q), typedPosition(f)
	v := web.ConflictView{Sheet: s.sheet, What: q.Name, Who: "Somebody else", When: "a moment ago",
		Again: s.at.Position(q.ID.String())}
	if e, err := p.lastChange(c, s, q); err != nil {
		return err
	} else if e != nil {
		v.Who, v.When = e.Who, words.DateTime(e.At)
	}
	v.Title = "Two versions"
	v.Next = web.Next{Sentence: "Look at both, then enter what is right.", Action: "Open it again", Href: v.Again}
	v.Rows = []web.ConflictRow{
		{Name: "Name", Theirs: theirs.Name, Yours: yours.Name},
		{Name: "What", Theirs: theirs.Kind, Yours: yours.Kind},
		{Name: "Cut-out, mm", Theirs: theirs.CutOut, Yours: yours.CutOut},
		{Name: "Reach, mm", Theirs: figure(q.Reach), Yours: f.Get("reach")},
		{Name: "Planned at", Theirs: theirs.Place, Yours: strings.Join(strings.Fields(yours.Place), " ")},
	}
	return Draw(c, http.StatusConflict, web.Conflict, v)
}
