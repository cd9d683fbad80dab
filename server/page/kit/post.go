package kit

import (
	"bytes"
	"net/http"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/standing"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Page draws a page of a room; one is the record or the stage that its address
// names besides the room, empty where it names none.
type Page func(v Viewer, j *standing.Standing, one string) (web.Filled, error)

// Get returns a page's handler.
func (p *House) Get(page Page) echo.HandlerFunc {
	return func(c echo.Context) error {
		v, j, err := p.Read(c)
		if err != nil {
			return err
		}
		filled, err := page(v, j, One(c))
		if err != nil {
			return err
		}
		return Answered(c, http.StatusOK, filled)
	}
}

// Answered answers with a page.
func Answered(c echo.Context, status int, page web.Filled) error {
	var b bytes.Buffer
	if err := page.Render(&b); err != nil {
		return err
	}
	return c.HTMLBlob(status, b.Bytes())
}

// One is what the address names besides the room; empty where it names nothing.
func One(c echo.Context) string {
	if all := c.ParamValues(); len(all) > 1 {
		return all[1]
	}
	return ""
}

// Post is how the form of a deed is answered.
type Post struct {
	Kind deed.Kind
	// Read reads the form; nil: as the kind does.
	Read func(*deed.Sent) (deed.Deed, error)
	// To is the page to look at afterwards.
	To func(at web.Place, s *deed.Sent) string
	// Again is the page with the form, which is drawn with what was typed where
	// that has to be mended. Mend draws it, where that is not all.
	// Neither: nothing is typed.
	Again Page
	Mend  func(v Viewer, j *standing.Standing, s *deed.Sent, faults []fault.Field) (web.Filled, error)
}

// To is a page that does not depend on what was done.
func To(at func(web.Place) string) func(web.Place, *deed.Sent) string {
	return func(p web.Place, _ *deed.Sent) string { return at(p) }
}

// Do returns the handler of a form: it is read, the deed done, and another page
// shown, which says what is on record. A form that has to be mended is drawn
// again over the room as it stands.
func (p *House) Do(o Post) echo.HandlerFunc {
	return func(c echo.Context) error {
		f, err := FormOf(c)
		if err != nil {
			return err
		}
		s := &deed.Sent{Form: f.Form, One: One(c)}
		if err = p.done(c, o, s); err == nil {
			return Did(c, o.Kind, o.To(PlaceOf(c), s))
		}
		faults, ok := Mendable(err)
		if !ok || o.Again == nil && o.Mend == nil {
			return err
		}
		return p.again(c, o, s, MendStatus(err), OnForm(deed.Kinds[o.Kind])(faults))
	}
}

// done reads a form and does its deed.
func (p *House) done(c echo.Context, o Post, s *deed.Sent) error {
	of, err := RoomID(c)
	if err != nil {
		return err
	}
	sort, by, ctx := deed.Kinds[o.Kind], Who(c), c.Request().Context()
	if sort.Room {
		if s.Standing, err = p.Book.Read(ctx, by, of); err != nil {
			return err
		}
	}
	read := sort.Read
	if o.Read != nil {
		read = o.Read
	}
	d, err := read(s)
	if err == nil {
		_, err = p.Desk.Do(ctx, by, of, d)
	}
	return err
}

// again draws a form again.
func (p *House) again(c echo.Context, o Post, s *deed.Sent, status int, faults []fault.Field) error {
	v, j, err := p.Read(c)
	if err != nil {
		return err
	}
	if o.Mend == nil {
		o.Mend = o.retyped
	}
	page, err := o.Mend(v, j, s, faults)
	if err != nil {
		return err
	}
	return Answered(c, status, page)
}

func (o Post) retyped(v Viewer, j *standing.Standing, s *deed.Sent, faults []fault.Field) (web.Filled, error) {
	page, err := o.Again(v, j, s.One)
	if err == nil {
		page.Retype(s.Values, faults)
	}
	return page, err
}
