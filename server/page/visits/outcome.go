package visits

import (
	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"
)

var outcomes = []web.Option{
	{Value: string(words.Found), Label: "Found: the tail was there"},
	{Value: string(words.HookedOut), Label: "Hooked out: it was within reach"},
	{Value: string(words.NotFound), Label: "Not found"},
	{Value: string(words.OnTimber), Label: "On timber"},
}

// Outcome is the form for what was behind the hole of a position. Faults:
// NotFound; Obstacle (a position that cannot be marked has no hole).
func Outcome(v kit.Viewer, j *standing.Standing, one string) (web.Filled, error) {
	s := look(v, j, "Hole")
	q, err := s.marked(one)
	if err != nil {
		return web.Filled{}, err
	}
	view := s.outcome(q)
	return web.Outcome.Fill(&view), nil
}

// marked is a position that can be marked.
func (s *scene) marked(one string) (*room.Position, error) {
	of, err := id.Parse[id.Position](one)
	if err != nil {
		return nil, err
	}
	q, err := s.J.Record.Position(of)
	if err != nil {
		return nil, err
	}
	if a, _ := s.J.Position(q.ID); !a.Determinate || a.Mark == nil {
		return nil, &fault.Error{Kind: fault.Obstacle, Msg: q.Name + " has no place to open yet: " + s.whyNot(q) + ".",
			Fields: []fault.Field{{Path: "position/" + q.ID.String(), Wrong: q.Name + " has no record that fixes where it is",
				Mend: "Measure it from a second wall"}}}
	}
	return q, nil
}

func (s *scene) outcome(q *room.Position) web.OutcomeView {
	s.Sheet.Title = q.Name + " is open"
	s.Say("Say what was behind " + q.Name + " and where the tail really was.")
	return web.OutcomeView{Sheet: s.Sheet, Photo: s.photosOfPosition(q), Hole: s.hole(q), Marks: marks(s.J, q),
		Outcomes: outcomes, Cautions: s.holeCautions(q)}
}

func readOpen(f *deed.Sent) (deed.Deed, error) {
	s := scene{&kit.Scene{J: f.Standing}}
	if _, err := s.marked(f.One); err != nil {
		return nil, err
	}
	return deed.Kinds[deed.KindOpen].Read(f)
}

// openAgain is the form as typed. Offsets from elsewhere than the page now asks
// are left out.
func openAgain(v kit.Viewer, j *standing.Standing, f *deed.Sent, faults []fault.Field) (web.Filled, error) {
	s := look(v, j, "Hole")
	q, err := s.marked(f.One)
	if err != nil {
		return web.Filled{}, err
	}
	view := s.outcome(q)
	if given := f.Get("from_a"); given != "" && (given != view.FromA || f.Get("from_b") != view.FromB) &&
		f.Get("off_a")+f.Get("off_b") != "" {
		f.Del("off_a")
		f.Del("off_b")
		faults = append(faults, fault.Field{Path: "off_a", Wrong: "the hole is marked from elsewhere by now",
			Mend: "Measure from where this page says"})
	}
	view.Typed = web.Typed{Faults: faults, Sent: f.Values}
	return web.Outcome.Fill(&view), nil
}

// afterHole is the list of holes for whoever came from there, and else the
// set-out.
func afterHole(at web.Place, f *deed.Sent) string {
	if f.Get("back") == "holes" {
		return at.Holes()
	}
	return at.SetOut()
}

// marks are what a form for a hole says of the datums it is marked from.
func marks(j *standing.Standing, q *room.Position) web.Marks {
	a, b := deed.MarkedFrom(j, q, 0), deed.MarkedFrom(j, q, 1)
	return web.Marks{FromA: a.Datum.String(), SideA: a.Side, StateA: a.State, FromB: b.Datum.String(), SideB: b.Side,
		StateB: b.State}
}
