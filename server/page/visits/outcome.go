package visits

import (
	"lathmark/domain/caution"
	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

var outcomes = []web.Option{
	{Value: string(words.Found), Label: "Found: the tail was there"},
	{Value: string(words.HookedOut), Label: "Hooked out: it was within reach"},
	{Value: string(words.NotFound), Label: "Not found"},
	{Value: string(words.OnTimber), Label: "On timber"},
}

// Outcome is the form for what was behind the hole of a position.
func (p *Pages) Outcome(c echo.Context) error {
	return kit.ShowOne(c, p.House, web.Outcome, "position", (*room.Record).Position, Outcome)
}

// Outcome draws it. Faults: Obstacle.
func Outcome(v kit.Viewer, j *standing.Standing, q *room.Position) (web.OutcomeView, error) {
	return outcomeView(look(v, j, "Hole"), q)
}

// outcomeView is the form. A position that cannot be marked has no hole.
func outcomeView(s *scene, q *room.Position) (web.OutcomeView, error) {
	a, solved := s.J.Position(q.ID)
	if !a.Determinate || a.Mark == nil {
		return web.OutcomeView{}, &fault.Error{Kind: fault.Obstacle, Msg: q.Name + " has no place to open yet: " +
			s.whyNot(q) + ".",
			Fields: []fault.Field{{Path: "position/" + q.ID.String(), Wrong: q.Name + " has no record that fixes where it is",
				Mend: "Measure it from a second wall"}}}
	}
	s.Sheet.Title = q.Name + " is open"
	s.Say("Say what was behind " + q.Name + " and where the tail really was.")
	return web.OutcomeView{Sheet: s.Sheet, Photo: s.photosOfPosition(q), Hole: s.hole(q, a, solved), Marks: marks(s.J, q),
		Outcomes: outcomes,
		Cautions: kit.AllShown(append(caution.BeforeCutting(), caution.ForKind(q.Kind)...))}, nil
}

// Open takes it.
func (p *Pages) Open(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	s, q, err := kit.On(c, p.scene, "Hole", "position", (*room.Record).Position)
	if err != nil {
		return err
	}
	v, err := outcomeView(s, q)
	if err != nil {
		return err
	}
	d, err := f.Deed(deed.KindOpen, q.ID.String(), s.J)
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), s.By, s.J.Record.ID, d)
	}
	if fields, ok := kit.Mendable(err); ok {
		v.Faults = kit.OnForm(deed.Kinds[deed.KindOpen])(fields)
		v.Form = web.OutcomeForm{Outcome: f.Get("outcome"), OffA: f.Get("off_a"), OffB: f.Get("off_b"),
			Patch: f.Get("patch") != "", Note: f.Get("note"),
			NewName: f.Get("new_name"), NewPlace: f.Get("new_place")}
		if given := f.Get("from_a"); given != "" && (given != v.FromA || f.Get("from_b") != v.FromB) &&
			v.Form.OffA+v.Form.OffB != "" {
			v.Form.OffA, v.Form.OffB = "", "" // they are from elsewhere than this page now asks
			v.Faults = append(v.Faults, fault.Field{Path: "off_a", Wrong: "the hole is marked from elsewhere by now",
				Mend: "Measure from where this page says"})
		}
		return kit.Draw(c, kit.MendStatus(err), web.Outcome, v)
	}
	if err != nil {
		return err
	}
	if f.Get("back") == "holes" {
		return kit.SeeOther(c, s.At.Holes(), "outcome")
	}
	return kit.SeeOther(c, s.At.SetOut(), "outcome")
}

// marks are what a form for a hole says of the datums it is marked from.
func marks(j *standing.Standing, q *room.Position) web.Marks {
	a, b := deed.MarkedFrom(j, q, 0), deed.MarkedFrom(j, q, 1)
	return web.Marks{FromA: a.Datum.String(), SideA: a.Side, StateA: a.State, FromB: b.Datum.String(), SideB: b.Side,
		StateB: b.State}
}
