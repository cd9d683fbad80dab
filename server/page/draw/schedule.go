package draw

import (
	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Schedule is the list of positions of a room with the forms that add to it.
func (p *Pages) Schedule(c echo.Context) error { return kit.Show(c, p.House, web.Schedule, Schedule) }

// Schedule draws it.
func Schedule(v kit.Viewer, j *standing.Standing) web.ScheduleView {
	return scheduleView(look(v, j, "Schedule"))
}

func scheduleView(s *scene) web.ScheduleView {
	v := web.ScheduleView{Surfaces: kit.Surfaces(s.J.Record), Kinds: kit.Kinds, MayEdit: s.Runs()}
	for i := range s.J.Record.Positions {
		v.Rows = append(v.Rows, s.position(&s.J.Record.Positions[i]))
	}
	v.Cautions = s.zones()
	if s.Open(gate.PartSchedule) {
		v.Near = nearTimbers(s.J.Record)
	}
	switch {
	case len(v.Near) > 0 && v.MayEdit:
		s.Say(v.Near[0].Position + " would land on or near " + v.Near[0].Timber + ". Move it off before anything is run.")
	case len(v.Rows) == 0 && v.MayEdit:
		s.Say("Write down what the room is to have.")
	}
	if v.MayEdit && !s.Open(gate.PartSchedule) {
		s.Say("First fix is signed off. A position that you add now opens it again, and what follows.")
	}
	if len(v.Surfaces) > 0 {
		first := v.Surfaces[0].Value
		v.One.Surface, v.Lines.Surface, v.Spaced.Surface = first, first, first
	}
	v.Sheet = s.Sheet
	return v
}

// AddPosition takes one position.
func (p *Pages) AddPosition(c echo.Context) error {
	return p.addTo(c, "surface", func(f *kit.Form, of id.Room, surface id.Surface) ([]room.PositionDraft, error) {
		return []room.PositionDraft{positionDraft(f)}, nil
	}, func(v *web.ScheduleView, f *kit.Form, faults []fault.Field) {
		v.One, v.Faults = typedPosition(f), onPositionForm(faults)
	})
}

// positionDraft reads the form of one position.
func positionDraft(f *kit.Form) room.PositionDraft {
	d := room.PositionDraft{ID: kit.NewID[id.Position](f, 0), Name: f.Get("name"), Kind: f.Get("kind"),
		Cutout: f.Number("cut_out"),
		Reach:  f.Number("reach"), Planned: f.Point("place")}
	if d.Name == "" {
		f.Bad("name", "the position has no name", "Call it D1, or what is written on the tail")
	}
	return d
}

func typedPosition(f *kit.Form) web.PositionForm {
	return web.PositionForm{Name: f.Get("name"), Kind: f.Get("kind"), Surface: f.Get("surface"), CutOut: f.Get("cut_out"),
		Place: f.Get("place")}
}

// onPositionForm returns the service's faults the fields they are about.
func onPositionForm(faults []fault.Field) []fault.Field {
	return kit.OnDatumForm(kit.Renamed(faults, "cutout", "cut_out", "planned", "place"))
}

// addTo puts drafts on the schedule of the surface that the field names.
func (p *Pages) addTo(c echo.Context, field string, read func(*kit.Form, id.Room, id.Surface) ([]room.PositionDraft,
	error),
	again func(*web.ScheduleView, *kit.Form, []fault.Field)) error {
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	surface, err := id.Parse[id.Surface](f.Get(field))
	if err != nil {
		f.Bad(field, "it does not say which surface", "Choose it")
	}
	drafts, err := read(f, of, surface)
	if bad := f.Err(); bad != nil {
		err = bad
	}
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), of, deed.Schedule{Surface: surface, Positions: drafts})
	}
	return p.taken(c, err, kit.PlaceOf(c).Schedule(), "position", "Schedule",
		func(s *scene, status int, faults []fault.Field) error {
			v := scheduleView(s)
			again(&v, f, faults)
			return kit.Draw(c, status, web.Schedule, v)
		})
}
