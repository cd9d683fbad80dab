package visits

import (
	"errors"
	"net/http"
	"strings"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/server/picture"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// TakePhoto takes a photo. A form of a page is led to the room's photos; who
// asks for JSON gets an answer of one object, whether it is kept or refused.
func (p *Pages) TakePhoto(c echo.Context) error {
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	if err := p.Photo.MayTake(c.Request().Context(), kit.Who(c), of); err != nil {
		return err
	}
	r := c.Request()
	body, done, err := p.Turns.In.Take(kit.Who(c).Firm.String(), r.Body, r.ContentLength, maxHeld)
	if err != nil {
		return err
	}
	defer done()
	r.Body = body
	u, err := readUpload(c)
	if err != nil {
		return err
	}
	if whose := u.Get("member"); whose != "" && whose != kit.Who(c).ID.String() {
		return &fault.Error{Kind: fault.Refused,
			Msg: "This photo belongs to somebody else. It stays on the phone until that person signs in again."}
	}
	d, err := p.photoDraft(c, u)
	if err == nil {
		_, err = p.Photo.Take(c.Request().Context(), kit.Who(c), of, d)
	}
	to := kit.PlaceOf(c).Photos()
	if kit.AsksForJSON(c) {
		return answerPhoto(c, d.ID, to, err)
	}
	faults, ok := kit.Mendable(err)
	switch {
	case err == nil:
		return kit.SeeOther(c, to, "photo")
	case !ok:
		return err
	}
	v, j, readErr := p.Read(c)
	if readErr != nil {
		return readErr
	}
	status := kit.MendStatus(err)
	if errors.Is(err, picture.ErrTooBig) {
		status = http.StatusRequestEntityTooLarge
	}
	view := look(v, j, "Photos").photosView()
	view.Typed = web.Typed{Faults: faults, Sent: u.Values}
	if view.Field != nil {
		view.Field.Typed = view.Typed
	}
	return kit.Draw(c, status, web.Photos, view)
}

// photoDraft makes a draft of what was sent.
func (p *Pages) photoDraft(c echo.Context, u *upload) (d photo.Draft, err error) {
	d = photo.Draft{TakePhoto: deed.TakePhoto{ID: kit.NewID[id.Photo](u.Form, 0), Says: u.Get("says")}}
	if given := u.Get("id"); given != "" {
		if d.ID, err = id.Parse[id.Photo](given); err != nil || !id.IsV7(d.ID) {
			u.Bad("id", "the photo has no number", "Take the photo again")
		}
	}
	d.At, _ = time.Parse(time.RFC3339, u.Get("made")) // without one it is now
	if err := readOn(u.Get("on"), &d); err != nil {
		return d, err
	}
	if u.tooBig {
		return d, picture.TooBig()
	}
	if len(u.picture) == 0 {
		u.Bad("picture", "there is no picture", "Take one, or choose it from the phone")
	}
	if err := u.Err(); err != nil {
		return d, err
	}
	d.Picture, err = p.Pictures.Develop(c.Request().Context(), kit.Who(c), u.picture)
	return d, err
}

// readOn reads what a photo shows: see web.PhotoField. What cannot be read is
// left out; the service asks for it.
func readOn(text string, d *photo.Draft) (err error) {
	kind, of, _ := strings.Cut(text, "/")
	switch kind {
	case "surface":
		d.Surface, err = id.Parse[id.Surface](of)
	case "datum":
		d.Datum, err = id.Parse[id.Datum](of)
	case "position":
		d.Position, err = id.Parse[id.Position](of)
	case "snag":
		d.Snag, err = id.Parse[id.Snag](of)
	case "stage":
		if s, bad := words.ParseStage(of); bad == nil {
			d.OfStage = &s
		}
	}
	return err
}

// answerPhoto answers with one object, as for the acts from phones: kept, or
// refused with the reason.
func answerPhoto(c echo.Context, photo id.Photo, to string, err error) error {
	a := kit.Answer{ID: photo.String(), Answer: deed.Kept, Says: kit.Done("photo"), Go: to}
	var f *fault.Error
	if err != nil && !errors.As(err, &f) || fault.KindOf(err) == fault.Down {
		return err
	}
	if f != nil {
		a.Answer, a.Says, a.Fields = deed.Refused, f.Msg, f.Fields
		for _, one := range f.Fields {
			a.Says += " " + words.Capital(one.Wrong) + ". " + one.Mend + "."
		}
	}
	return c.JSON(http.StatusOK, a)
}

func readStrikePhoto(f *deed.Sent) (deed.Deed, error) {
	of, err := id.Parse[id.Photo](f.One)
	return deed.StrikePhoto{Photo: of, Why: f.Get("reason")}, err
}

// struckAgain is the page of the photos; there the fields of reasons have no
// names to point at.
func struckAgain(v kit.Viewer, j *standing.Standing, _ *deed.Sent, faults []fault.Field) (web.Filled, error) {
	view := look(v, j, "Photos").photosView()
	view.Faults = kit.Renamed(faults, "reason", "")
	return web.Photos.Fill(&view), nil
}

// Picture answers with a photo's picture in one size. Its address always returns
// the same bytes, so a browser may keep it; it asks whether it may still be seen
// each time all the same, and is told in a word.
func (p *Pages) Picture(c echo.Context) error {
	of, err := id.Parse[id.Photo](c.Param("photo"))
	if err != nil {
		return err
	}
	size, err := photo.ParseSize(c.Param("size"))
	if err != nil {
		return err
	}
	by, ctx := kit.Who(c), c.Request().Context()
	known, err := p.Photo.Find(ctx, by, of)
	if err != nil {
		return err
	}
	h, tag := c.Response().Header(), `"`+known.SHA256.String()+"-"+string(size)+`"`
	h.Set(echo.HeaderContentSecurityPolicy, web.PictureSecurityPolicy)
	h.Set("ETag", tag)
	// Bad signal carries a picture once; what the browser has of it goes when somebody signs in or out.
	h.Set(echo.HeaderCacheControl, "private, no-cache")
	h.Set("Content-Disposition", "inline")
	h.Set("Cross-Origin-Resource-Policy", "same-origin")
	if strings.Contains(c.Request().Header.Get("If-None-Match"), tag) {
		return c.NoContent(http.StatusNotModified)
	}
	data, err := p.Photo.Open(ctx, by, known, size)
	if err != nil {
		return err
	}
	return c.Blob(http.StatusOK, known.Type, data)
}
