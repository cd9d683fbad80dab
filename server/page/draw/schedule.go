package draw

import (
	"maps"
	"math"
	"net/http"
	"net/url"
	"slices"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/geometry"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Schedule draws the list of positions of a room with the forms that add to it.
func Schedule(v kit.Viewer, j *standing.Standing, _ string) (web.Filled, error) {
	return web.Schedule.Fill(look(v, j, "Schedule").schedule(web.Typed{})), nil
}

// GetSchedule is the schedule; with the form for even spacing in its address the plan has what that would add.
func (p *Pages) GetSchedule(c echo.Context) error {
	on, err := p.Scene(c, "Schedule")
	if err != nil {
		return err
	}
	s := &scene{Scene: on}
	v := s.schedule(web.Typed{})
	if v.MayEdit && c.QueryParams().Has("rows") {
		v.Plans = s.plans(s.coming(c, &deed.SpacedSort, "prefix", "new "))
	}
	return kit.Draw(c, http.StatusOK, web.Schedule, v)
}

// coming is what a form that is not sent yet would add, which is in the address; nil where it is not filled in. A
// field that is still empty is taken as instead says.
func (s *scene) coming(c echo.Context, of *deed.Sort, field, instead string) deed.Deed {
	f := kit.NewForm(maps.Clone(c.QueryParams()))
	if f.Get(field) == "" {
		f.Set(field, instead)
	}
	d, err := of.Read(&deed.Sent{Form: f.Form, One: kit.One(c), Standing: s.J})
	if err != nil {
		return nil
	}
	return d
}

// plans are the plans of all surfaces, with what is coming.
func (s *scene) plans(coming deed.Deed) (out []web.PlanningView) {
	for i := range s.J.Record.Surfaces {
		out = append(out, s.plan(i, coming))
	}
	return out
}

func (s *scene) plan(i int, coming deed.Deed) web.PlanningView {
	return web.PlanningView{Surface: s.J.Record.Surfaces[i].ID.String(), Plan: s.Planning(i, coming),
		Timbers: len(s.J.Record.TimbersOf(s.J.Record.Surfaces[i].ID))}
}

// AddPosition takes one position.
func (p *Pages) AddPosition() echo.HandlerFunc { return p.addTo(deed.Kinds[deed.KindSchedule], "one") }

// AddLines takes positions that were pasted as lines.
func (p *Pages) AddLines() echo.HandlerFunc { return p.addTo(&deed.LinesSort, "lines") }

// AddSpaced takes positions spaced in rows and columns.
func (p *Pages) AddSpaced() echo.HandlerFunc { return p.addTo(&deed.SpacedSort, "spaced") }

func (p *Pages) addTo(of *deed.Sort, called string) echo.HandlerFunc {
	return pair(p, form[web.ScheduleView]{of: of, page: web.Schedule, title: "Schedule", to: toSchedule,
		view: func(s *scene, _ string, typed web.Typed) (web.ScheduleView, error) {
			v := s.schedule(typed)
			v.Asks = asks(called, &v.Typed)
			return v, nil
		}}).Post
}

// asks is the question of a form whose deed would open signed stages again, which takes its fault's place.
func asks(form string, typed *web.Typed) (a web.Asks) {
	typed.Faults = slices.DeleteFunc(typed.Faults, func(f fault.Field) bool {
		if f.Path == deed.Reopening {
			a = web.Asks{Form: form, Says: f.Wrong + ". " + f.Mend + ".", Does: "Add and reopen"}
			switch form {
			case "one":
				a.Does = "Add " + typed.Value("name") + " and reopen"
			case string(deed.KindOmit):
				a.Does = "Leave it out and reopen"
			case string(deed.KindWantAgain):
				a.Does = "Put it back and reopen"
			}
		}
		return f.Path == deed.Reopening
	})
	return a
}

func (s *scene) schedule(typed web.Typed) web.ScheduleView {
	v := web.ScheduleView{Surfaces: kit.Surfaces(s.J.Record), Kinds: kit.Kinds, MayEdit: s.Runs()}
	for i := range s.J.Record.Positions {
		v.Rows = append(v.Rows, s.position(&s.J.Record.Positions[i]))
	}
	v.Cautions = s.zones()
	if v.Measured = s.measuredNear(); s.Open(gate.PartSchedule) {
		v.Near = nearTimbers(s.J.Record)
	}
	switch {
	case len(v.Near) > 0 && v.MayEdit:
		s.Say(v.Near[0].Position + " would land on or near " + v.Near[0].Timber + ". Move it off before anything is run.")
	case len(v.Rows) == 0 && v.MayEdit:
		s.Say("List what the room is to have.")
	}
	if v.MayEdit && !s.Open(gate.PartSchedule) {
		s.Say("First fix is signed off. A position that you add now opens it again, and what follows: you are asked first.")
	}
	if len(v.Surfaces) > 0 {
		first := []string{v.Surfaces[0].Value}
		typed.Begins = url.Values{"surface": first, "lines_surface": first, "spaced_surface": first}
	}
	if v.MayEdit {
		v.Plans = s.plans(nil)
	}
	v.Sheet, v.Typed = s.Sheet, typed
	return v
}

// measuredNear are the positions whose hole would land on a timber where their readings have them.
func (s *scene) measuredNear() (out []web.NearTimber) {
	for i := range s.J.Record.Positions {
		q := &s.J.Record.Positions[i]
		a, _ := s.J.Position(q.ID)
		timbers := s.J.Record.TimbersOf(q.Surface)
		if a == nil || len(a.Timbers) != len(timbers) || s.Opening(q.ID) != nil || !q.OmittedAt.IsZero() {
			continue
		}
		worst, n := geometry.HitLimit, web.NearTimber{Position: q.Name, Move: "no move within reach of half a bay clears it"}
		for k, t := range a.Timbers {
			if t.Hit > worst {
				worst, n.Timber, n.Gap = t.Hit, timbers[k].Name, t.Gap
			}
		}
		if n.Timber == "" {
			continue
		}
		if d := math.Hypot(a.Move.U, a.Move.V); a.Clears && d > 0 {
			at := roomsheet.Point{a.At.U, a.At.V}
			n.Move = words.MM(d) + " " + s.J.Record.Towards(q.Surface, at, roomsheet.Point{at[0] + a.Move.U, at[1] + a.Move.V})
		}
		out = append(out, n)
	}
	return out
}

// nearTimbers are the planned positions that would land on or near a timber.
func nearTimbers(r *room.Record) []web.NearTimber {
	from, to := deed.OnTimber(r)
	var out []web.NearTimber
	for i, q := range from {
		n := web.NearTimber{Position: q.Name, Move: "none clears it", Gap: math.Inf(1)}
		for _, t := range r.TimbersOf(q.Surface) {
			if gap := room.ToLine(*q.Planned, t.A, t.B) - t.Width/2 - q.Cutout/2; gap < n.Gap {
				n.Gap, n.Timber = gap, t.Name
			}
		}
		if d := kit.Distance(*q.Planned, to[i]); d > 0 {
			n.Move = words.MM(d) + " " + r.Towards(q.Surface, *q.Planned, to[i])
		}
		out = append(out, n)
	}
	return out
}

// MoveOff moves planned positions off the timbers by the least that clears.
func (p *Pages) MoveOff(c echo.Context) error {
	return p.press(c, deed.KindMoveOff, "", func(s *scene) string { return s.At.Schedule() })
}

// zones are the cautions of the room's schedule: the zone of every position
// near a bath or a shower, by where it is, else by where it is planned.
func (s *scene) zones() []web.Caution {
	var out []web.Caution
	for i := range s.J.Record.Positions {
		q := &s.J.Record.Positions[i]
		a, _ := s.J.Position(q.ID)
		at := a.At
		if !a.Determinate && q.Planned != nil {
			at = geometry.Vec{U: q.Planned[0], V: q.Planned[1]}
		}
		if q.OmittedAt.IsZero() && (a.Determinate || q.Planned != nil) {
			out = append(out, kit.AllShown(s.J.Record.WetZone(q, at))...)
		}
	}
	return out
}
