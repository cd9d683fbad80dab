package page

import (
	"net/http"

	"lathmark/domain/caution"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
	"lathmark/domain/standing"
	"lathmark/domain/typed"
	"lathmark/domain/words"
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
	s, q, err := p.onPosition(c, "Hole")
	if err != nil {
		return err
	}
	v, err := outcomeView(s, q)
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Outcome, v)
}

// outcomeView is the form. A position that cannot be marked has no hole.
func outcomeView(s *scene, q *room.Position) (web.OutcomeView, error) {
	a, solved := s.j.Position(q.ID)
	if !a.Determinate || a.Mark == nil {
		return web.OutcomeView{}, &fault.Error{Kind: fault.Obstacle, Msg: q.Name + " has no place to open yet: " +
			s.whyNot(q) + ".",
			Fields: []fault.Field{{Path: "position/" + q.ID.String(), Wrong: q.Name + " has no record that fixes where it is",
				Mend: "Measure it from a second wall"}}}
	}
	s.sheet.Title = q.Name + " is open"
	s.say("Say what was behind " + q.Name + " and where the tail really was.")
	return web.OutcomeView{Sheet: s.sheet, Photo: s.photosOfPosition(q), Hole: s.hole(q, a, solved), Marks: marks(s.j, q),
		Outcomes: outcomes,
		Cautions: allShown(append(caution.BeforeCutting(), caution.ForKind(q.Kind)...))}, nil
}

// Open takes it.
func (p *Pages) Open(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	s, q, err := p.onPosition(c, "Hole")
	if err != nil {
		return err
	}
	v, err := outcomeView(s, q)
	if err != nil {
		return err
	}
	h := holeOf(f, s.j, q)
	if err = f.err(); err == nil {
		_, err = p.Stage.Open(c.Request().Context(), s.by, s.j.Record.ID, h)
	}
	if fields, ok := mendable(err); ok {
		v.Faults = onHoleForm(fields)
		v.Form = web.OutcomeForm{Outcome: f.Get("outcome"), OffA: f.Get("off_a"), OffB: f.Get("off_b"),
			Patch: f.Get("patch") != "", Note: f.Get("note"),
			NewName: f.Get("new_name"), NewPlace: f.Get("new_place")}
		if given := f.Get("from_a"); given != "" && (given != v.FromA || f.Get("from_b") != v.FromB) &&
			v.Form.OffA+v.Form.OffB != "" {
			v.Form.OffA, v.Form.OffB = "", "" // they are from elsewhere than this page now asks
			v.Faults = append(v.Faults, fault.Field{Path: "off_a", Wrong: "the hole is marked from elsewhere by now",
				Mend: "Measure from where this page says"})
		}
		return Draw(c, mendStatus(err), web.Outcome, v)
	}
	if err != nil {
		return err
	}
	if f.Get("back") == "holes" {
		return seeOther(c, s.at.Holes(), "outcome")
	}
	return seeOther(c, s.at.SetOut(), "outcome")
}

// holeOf reads the form.
func holeOf(f *form, j *standing.Standing, q *room.Position) stage.Hole {
	h := stage.Hole{ID: newID[id.Opening](f, 0), Position: q.ID, Outcome: words.Outcome(f.Get("outcome")),
		Says: f.Get("note"), OwePatch: f.Get("patch") != ""}
	h.Tail = f.typed().Tails(j, q, f.reading)
	if name := f.Get("new_name"); name != "" {
		h.NewPosition = &room.PositionDraft{ID: newID[id.Position](f, 3), Name: name, Kind: q.Kind, Trade: q.Trade,
			Cutout: q.Cutout,
			Reach:  q.Reach, TailSigma: q.TailSigma, Planned: f.point("new_place")}
	}
	if h.NewPosition != nil && !h.Outcome.Lost() {
		f.bad("new_name", "the hole is of use, and a new position is given in its place",
			"Leave it empty, or say what was behind it")
	}
	if h.Outcome.Lost() && len(h.Tail) > 0 {
		f.bad("off_a", "a tail that was not found has no place", "Leave both empty, or say that it was found")
	}
	return h
}

// onHoleForm returns the service's faults the fields they are about.
func onHoleForm(faults []fault.Field) []fault.Field {
	return renamed(faults, "says", "note", "name", "new_name", "planned", "new_place")
}

// marks are what a form for a hole says of the datums it is marked from.
func marks(j *standing.Standing, q *room.Position) web.Marks {
	a, b := typed.MarkedFrom(j, q, 0), typed.MarkedFrom(j, q, 1)
	return web.Marks{FromA: a.Datum.String(), SideA: a.Side, StateA: a.State, FromB: b.Datum.String(), SideB: b.Side,
		StateB: b.State}
}
