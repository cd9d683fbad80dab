package page

import (
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Photo notes that a photo of an open surface was taken, and where it is kept.
func (p *Pages) Photo(c echo.Context) error {
	f, err := formOf(c)
	if err != nil {
		return err
	}
	of, err := roomID(c)
	if err != nil {
		return err
	}
	surface, err := id.Parse[id.Surface](f.Get("photo_surface"))
	if err != nil {
		f.bad("photo_surface", "it does not say of which surface", "Choose it")
	}
	if err = f.err(); err == nil {
		_, err = p.Stage.NotePhoto(c.Request().Context(), who(c), of, room.Photo{ID: newID[id.Photo](f, 0), Surface: surface, Says: f.Get("photo_says")})
	}
	return p.taken(c, err, PlaceOf(c).Tails(), "photo", "Tails", func(s *scene, status int, faults []fault.Field) error {
		v := s.tails()
		v.Faults = renamed(faults, "says", "photo_says")
		v.PhotoSurface, v.PhotoSays = f.Get("photo_surface"), f.Get("photo_says")
		return Draw(c, status, web.Tails, v)
	})
}
