package page

import (
	"net/http"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Tails is the list of tails to be seen free before boarding is signed off.
func (p *Pages) Tails(c echo.Context) error {
	s, err := p.scene(c, "Tails")
	if err != nil {
		return err
	}
	return Draw(c, http.StatusOK, web.Tails, s.tails())
}

func (s *scene) tails() web.TailsView {
	v := web.TailsView{MayDo: s.open(gate.PartTail)}
	v.Photo = s.photosOfSurfaces(v.MayDo)
	left := 0
	for _, q := range s.j.Record.Positions {
		if !q.OmittedAt.IsZero() {
			continue
		}
		row := web.TailRow{ID: q.ID.String(), Name: q.Name, Kind: q.Kind, Surface: s.surfaceName(q.Surface)}
		for _, t := range s.j.Record.Seen {
			if t.Position == q.ID {
				row.SeenBy, row.SeenAt = s.people.name(t.By), t.At
			}
		}
		if row.SeenBy == "" {
			left++
		}
		v.Tails = append(v.Tails, row)
	}
	switch {
	case !v.MayDo:
		s.say("Boarding is signed off: the tails were seen.")
	case left > 0:
		s.say("Look at every tail before the boards go up, and tick those that you see free.")
	case len(v.Tails) > 0:
		s.say("Every tail is seen free.")
	}
	v.Sheet = s.sheet
	return v
}

// SeeTails takes the tails that somebody saw free.
func (p *Pages) SeeTails(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := roomID(c)
	if err != nil {
		return err
	}
	d, err := f.deed(deed.KindSeeTails, "", nil)
	if err == nil {
		_, err = p.Desk.Do(c.Request().Context(), who(c), of, d)
	}
	return p.taken(c, err, PlaceOf(c).Tails(), "tails", "Tails", func(s *scene, status int, faults []fault.Field) error {
		v := s.tails()
		v.Faults = faults
		return Draw(c, status, web.Tails, v)
	})
}
