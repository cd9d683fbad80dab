package draw

import (
	"math"
	"net/http"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/jobs"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// lastChange is the last entry of the diary about a position; nil where there
// is none.
func (p *Pages) lastChange(c echo.Context, s *scene, q *room.Position) (*diary.Entry, error) {
	all, err := p.Services.Diary.Before(c.Request().Context(), s.By, s.J.Record.Job, math.MaxInt64, jobs.DiaryPage)
	if err != nil {
		return nil, err
	}
	for i := len(all) - 1; i >= 0; i-- {
		if strings.Contains(string(all[i].Detail), q.ID.String()) {
			return &all[i], nil
		}
	}
	return nil, nil
}

// Position is the form of one position of the schedule.
func (p *Pages) Position(c echo.Context) error {
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	s, q, err := kit.On(c, p.scene, "Position", "position", (*room.Record).Position)
	if err != nil {
		return err
	}
	v := positionForm(s, q)
	v.Form = formOfPosition(q)
	v.Reach = kit.Figure(q.Reach)
	return kit.Draw(c, http.StatusOK, web.Position, v)
}

func positionForm(s *scene, q *room.Position) web.PositionFormView {
	s.Say("Change what the drawing says of " + q.Name + ". What was measured stays.")
	s.Sheet.Title = "Position " + q.Name
	s.Sheet.Token = kit.WithVersion(s.Sheet.Token, q.Version)
	return web.PositionFormView{Sheet: s.Sheet, PositionID: q.ID.String(), Kinds: kindsWith(q.Kind),
		Surfaces: kit.Surfaces(s.J.Record)}
}

// kindsWith are the kinds to choose from, one that was pasted among them.
func kindsWith(kind string) []web.Option {
	for _, k := range kit.Kinds {
		if k.Value == kind || kind == "" {
			return kit.Kinds
		}
	}
	return append(kit.Options(kind), kit.Kinds...)
}

func formOfPosition(q *room.Position) web.PositionForm {
	f := web.PositionForm{Name: q.Name, Kind: q.Kind, Surface: q.Surface.String(), CutOut: kit.Figure(q.Cutout)}
	if q.Planned != nil {
		f.Place = kit.PointText(*q.Planned)
	}
	return f
}

// ChangePosition takes it, unless somebody else changed it first: then both
// versions are shown.
func (p *Pages) ChangePosition(c echo.Context) error {
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	s, q, err := kit.On(c, p.scene, "Position", "position", (*room.Record).Position)
	if err != nil {
		return err
	}
	d := positionDraft(f)
	d.Trade, d.TailSigma = "", q.TailSigma
	if f.Get("surface") != q.Surface.String() {
		f.Bad("surface", q.Name+" stays on its surface", "Leave it out, and put a new one on the other")
	}
	if err = f.Err(); err == nil {
		_, err = p.Desk.Do(c.Request().Context(), s.By, s.J.Record.ID, deed.ChangePosition{Position: q.ID, Version: f.Version,
			Draft: d})
	}
	if fault.KindOf(err) == fault.Conflict && f.Version != 0 && f.Version != q.Version {
		return p.bothPositions(c, s, q, f)
	}
	return p.taken(c, err, s.At.Schedule(), "position-changed", "Position",
		func(s *scene, status int, faults []fault.Field) error {
			v := positionForm(s, q)
			v.Form, v.Reach, v.Faults = typedPosition(f), f.Get("reach"), onPositionForm(faults)
			return kit.Draw(c, status, web.Position, v)
		})
}

// bothPositions shows what is on record beside what was typed.
func (p *Pages) bothPositions(c echo.Context, s *scene, q *room.Position, f *kit.Form) error {
	theirs, yours := formOfPosition(q), typedPosition(f)
	v := web.ConflictView{Sheet: s.Sheet, What: q.Name, Who: "Somebody else", When: "a moment ago",
		Again: s.At.Position(q.ID.String())}
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
		{Name: "Reach, mm", Theirs: kit.Figure(q.Reach), Yours: f.Get("reach")},
		{Name: "Planned at", Theirs: theirs.Place, Yours: strings.Join(strings.Fields(yours.Place), " ")},
	}
	return kit.Draw(c, http.StatusConflict, web.Conflict, v)
}
