package page

import (
	"net/http"

	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/id"
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
	v := web.TailsView{MayDo: s.open(gate.PartTail), Surfaces: surfaces(s.j.Record)}
	for _, photo := range s.j.Record.Photos {
		v.Photos = append(v.Photos, web.PhotoRow{Surface: s.surfaceName(photo.Surface), Says: photo.Says, By: s.people.name(photo.By), At: photo.At})
	}
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
	if len(f.Values["seen"]) == 0 {
		f.bad("", "no tail is ticked", "Tick those that you see free")
	}
	if err = f.err(); err == nil {
		err = p.seeAll(c, of, f.Values["seen"])
	}
	return p.taken(c, err, PlaceOf(c).Tails(), "tails", "Tails", func(s *scene, status int, faults []fault.Field) error {
		v := s.tails()
		v.Faults = faults
		return Draw(c, status, web.Tails, v)
	})
}

func (p *Pages) seeAll(c echo.Context, of id.Room, seen []string) error {
	for _, text := range seen {
		position, err := id.Parse[id.Position](text)
		if err != nil {
			return err
		}
		if _, err := p.Stage.SeeTail(c.Request().Context(), who(c), of, position); err != nil {
			return err
		}
	}
	return nil
}
