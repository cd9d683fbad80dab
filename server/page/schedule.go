package page

import (
	"net/http"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Schedule is the list of positions of a room with the forms that add to it.
func (p *Pages) Schedule(c echo.Context) error {
	s, err := p.scene(c, "Schedule")
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Schedule, scheduleView(s))
}

func scheduleView(s *scene) web.ScheduleView {
	v := web.ScheduleView{Surfaces: surfaces(s.j.Record), Kinds: kinds, MayEdit: s.runs()}
	for i := range s.j.Record.Positions {
		v.Rows = append(v.Rows, s.position(&s.j.Record.Positions[i]))
	}
	v.Cautions = s.zones()
	if s.open(gate.PartSchedule) {
		v.Near = nearTimbers(s.j.Record)
	}
	switch {
	case len(v.Near) > 0 && v.MayEdit:
		s.say(v.Near[0].Position + " would land on or near " + v.Near[0].Timber + ". Move it off before anything is run.")
	case len(v.Rows) == 0 && v.MayEdit:
		s.say("Write down what the room is to have.")
	}
	if v.MayEdit && !s.open(gate.PartSchedule) {
		s.say("First fix is signed off. A position that you add now opens it again, and what follows.")
	}
	if len(v.Surfaces) > 0 {
		first := v.Surfaces[0].Value
		v.One.Surface, v.Lines.Surface, v.Spaced.Surface = first, first, first
	}
	v.Sheet = s.sheet
	return v
}

// AddPosition takes one position.
func (p *Pages) AddPosition(c echo.Context) error {
	return p.addTo(c, "surface", func(f *form, of id.Room, surface id.Surface) ([]room.PositionDraft, error) {
		return []room.PositionDraft{positionDraft(f)}, nil
	}, func(v *web.ScheduleView, f *form, faults []fault.Field) {
		v.One, v.Faults = typedPosition(f), onPositionForm(faults)
	})
}

// positionDraft reads the form of one position.
func positionDraft(f *form) room.PositionDraft {
	d := room.PositionDraft{ID: newID[id.Position](f, 0), Name: f.Get("name"), Kind: f.Get("kind"),
		Cutout: f.number("cut_out"),
		Reach:  f.number("reach"), Planned: f.Point("place")}
	if d.Name == "" {
		f.bad("name", "the position has no name", "Call it D1, or what is written on the tail")
	}
	return d
}

func typedPosition(f *form) web.PositionForm {
	return web.PositionForm{Name: f.Get("name"), Kind: f.Get("kind"), Surface: f.Get("surface"), CutOut: f.Get("cut_out"),
		Place: f.Get("place")}
}

// onPositionForm returns the service's faults the fields they are about.
func onPositionForm(faults []fault.Field) []fault.Field {
	return onDatumForm(renamed(faults, "cutout", "cut_out", "planned", "place"))
}

// addTo puts drafts on the schedule of the surface that the field names.
func (p *Pages) addTo(c echo.Context, field string, read func(*form, id.Room, id.Surface) ([]room.PositionDraft, error),
	again func(*web.ScheduleView, *form, []fault.Field)) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := roomID(c)
	if err != nil {
		return err
	}
	surface, err := id.Parse[id.Surface](f.Get(field))
	if err != nil {
		f.bad(field, "it does not say which surface", "Choose it")
	}
	drafts, err := read(f, of, surface)
	if bad := f.err(); bad != nil {
		err = bad
	}
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), who(c), of, deed.Schedule{Surface: surface, Positions: drafts})
	}
	return p.taken(c, err, PlaceOf(c).Schedule(), "position", "Schedule",
		func(s *scene, status int, faults []fault.Field) error {
			v := scheduleView(s)
			again(&v, f, faults)
			return Draw(c, status, web.Schedule, v)
		})
}
