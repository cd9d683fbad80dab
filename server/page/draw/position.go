package draw

import (
	"math"
	"net/url"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
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

// Position is the form of one position of the schedule. Where somebody else
// changed it first, both versions are shown.
func (p *Pages) Position() kit.Pair {
	return pair(p, form[web.PositionFormView]{of: deed.Kinds[deed.KindChangePosition], page: web.Position,
		title: "Position", param: "position", view: (*scene).positionForm, to: toSchedule,
		both: p.bothPositions})
}

func (s *scene) positionForm(position string, typed web.Typed) (v web.PositionFormView, err error) {
	q, err := deed.ByID(s.J.Record.Position, position)
	if err != nil {
		return v, err
	}
	s.Say("Change what the drawing says of " + q.Name + ". What was measured stays.")
	s.Sheet.Title = "Position " + q.Name
	s.Sheet.Token = kit.WithVersion(s.Sheet.Token, q.Version)
	typed.Begins = formOf(q)
	return web.PositionFormView{Sheet: s.Sheet, Typed: typed, PositionID: position, Kinds: kindsWith(q.Kind),
		Surfaces: kit.Surfaces(s.J.Record), Plans: s.plans(nil)}, nil
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

// formOf is a position as it is typed.
func formOf(q *room.Position) url.Values {
	f := url.Values{"name": {q.Name}, "kind": {q.Kind}, "surface": {q.Surface.String()},
		"cut_out": {kit.Figure(q.Cutout)}, "reach": {kit.Figure(q.Reach)}}
	if q.Planned != nil {
		f.Set("place", kit.PointText(*q.Planned))
	}
	return f
}

// bothPositions shows what is on record beside what was typed.
func (p *Pages) bothPositions(c echo.Context, s *scene, one string, f *kit.Form, err error) (bool, error) {
	q, readErr := deed.ByID(s.J.Record.Position, one)
	if readErr != nil {
		return false, readErr
	}
	v := web.ConflictView{Sheet: s.Sheet, What: q.Name, Again: s.At.Position(one)}
	if e, err := p.lastChange(c, s, q); err != nil {
		return true, err
	} else if e != nil {
		v.Who, v.When = e.Who, words.DateTime(e.At)
	}
	theirs := formOf(q)
	for _, row := range [][2]string{{"Name", "name"}, {"What", "kind"}, {"Cut-out, mm", "cut_out"}, {"Reach, mm", "reach"},
		{"Planned at", "place"}} {
		v.Rows = append(v.Rows, web.ConflictRow{Name: row[0], Theirs: theirs.Get(row[1]),
			Yours: strings.Join(strings.Fields(f.Get(row[1])), " ")})
	}
	return kit.TwoVersions(c, err, f.Version, q.Version, v)
}
