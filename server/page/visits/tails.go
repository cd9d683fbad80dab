package visits

import (
	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/standing"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Tails is the list of tails to be seen free before boarding is signed off.
func (p *Pages) Tails(c echo.Context) error { return kit.Show(c, p.House, web.Tails, Tails) }

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
	d, err := f.Deed(deed.KindSeeTails, "", nil)
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), kit.Who(c), of, d)
	}
	return p.taken(c, err, kit.PlaceOf(c).Tails(), "tails", "Tails",
		func(s *scene, status int, faults []fault.Field) error {
			v := s.tails()
			v.Faults = faults
			return kit.Draw(c, status, web.Tails, v)
		})
}
