package visits

import (
	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/visit"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Tails is the list of tails to be seen free before boarding is signed off.
func (p *Pages) Tails(c echo.Context) error { return kit.Show(c, p.Desk, web.Tails, Tails) }

// Tails draws it.
func Tails(v kit.Viewer, j *standing.Standing) web.TailsView { return look(v, j, "Tails").tails() }

func (s *scene) tails() web.TailsView {
	v := web.TailsView{MayDo: s.Open(gate.PartTail)}
	v.Photo = s.photosOfSurfaces(v.MayDo)
	left := 0
	for _, q := range s.J.Record.Positions {
		if !q.OmittedAt.IsZero() {
			continue
		}
		row := web.TailRow{ID: q.ID.String(), Name: q.Name, Kind: q.Kind, Surface: s.SurfaceName(q.Surface)}
		for _, t := range s.J.Record.Seen {
			if t.Position == q.ID {
				row.SeenBy, row.SeenAt = s.People.Name(t.By), t.At
			}
		}
		if row.SeenBy == "" {
			left++
		}
		v.Tails = append(v.Tails, row)
	}
	switch {
	case !v.MayDo:
		s.Say("Boarding is signed off: the tails were seen.")
	case left > 0:
		s.Say("Look at every tail before the boards go up, and tick those that you see free.")
	case len(v.Tails) > 0:
		s.Say("Every tail is seen free.")
	}
	v.Sheet = s.Sheet
	return v
}

// SeeTails takes the tails that somebody saw free.
func (p *Pages) SeeTails(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	d := TailsOf(f)
	if err = f.Err(); err == nil {
		_, err = p.Stage.SeeTails(c.Request().Context(), kit.Who(c), of, d.Positions)
	}
	return p.taken(c, err, kit.PlaceOf(c).Tails(), "tails", "Tails",
		func(s *scene, status int, faults []fault.Field) error {
			v := s.tails()
			v.Faults = faults
			return kit.Draw(c, status, web.Tails, v)
		})
}

// TailsOf reads the form: the tails that are ticked.
func TailsOf(f *kit.Form) (d visit.SeeTails) {
	for _, text := range f.Values["seen"] {
		position, err := id.Parse[id.Position](text)
		if err != nil {
			f.Bad("", "one of the tails is not on the schedule", "Open the page once more and tick those that you see free")
			continue
		}
		d.Positions = append(d.Positions, position)
	}
	if len(f.Values["seen"]) == 0 {
		f.Bad("", "no tail is ticked", "Tick those that you see free")
	}
	return d
}
