package kit

import (
	"context"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Pair is a page with a form: Get draws it, Post takes what was typed.
type Pair struct{ Get, Post echo.HandlerFunc }

// Filled says how a page with a form is drawn, and what becomes of what was
// typed: where there is something to mend, the page is drawn once more with it.
type Filled[V any] struct {
	May  firm.Policy // who sees it, and may send it; nil: the service says
	Page web.Page[V]
	View func(c echo.Context, typed web.Typed) (V, error)
	// Take returns where it goes on and what was done. It has answered where that
	// is nowhere.
	Take func(c echo.Context, f *Form) (to, said string, err error)
	// Names are what the service's faults are called on the form, in pairs.
	Names []string
}

// Pair returns the handlers.
func (p Filled[V]) Pair() Pair { return Pair{p.get, p.post} }

func (p Filled[V]) get(c echo.Context) error {
	if err := p.may(c); err != nil {
		return err
	}
	return p.draw(c, 200, web.Typed{})
}

func (p Filled[V]) may(c echo.Context) error {
	if p.May == nil {
		return nil
	}
	return p.May(Who(c))
}

func (p Filled[V]) draw(c echo.Context, status int, typed web.Typed) error {
	v, err := p.View(c, typed)
	if err != nil {
		return err
	}
	return Draw(c, status, p.Page, v)
}

func (p Filled[V]) post(c echo.Context) error {
	f, err := FormOf(c)
	if err == nil {
		err = p.may(c)
	}
	if err != nil {
		return err
	}
	to, said, err := p.Take(c, f)
	if fields, ok := Mendable(err); ok {
		return p.draw(c, MendStatus(err), web.Typed{Faults: Renamed(fields, p.Names...), Sent: f.Values})
	}
	if err != nil || to == "" {
		return err
	}
	return SeeOther(c, to, said)
}

// TwoVersions answers with both where somebody else changed what a form was
// about, of which the page showed a version, so that it is another now.
func TwoVersions(c echo.Context, err error, shown, now int64, v web.ConflictView) (answered bool, _ error) {
	if fault.KindOf(err) != fault.Conflict || shown == 0 || shown == now {
		return false, err
	}
	v.Title = "Two records"
	v.Next = web.Next{Sentence: "Look at both, then enter what is right.", Action: "Open the form again", Href: v.Again}
	if v.Who == "" {
		v.Who, v.When = "Somebody else", "a moment ago"
	}
	return true, Draw(c, MendStatus(err), web.Conflict, v)
}

// Press answers a button that does something to one record, which the address
// names by a parameter.
func Press[T ~[16]byte](c echo.Context, param string, do func(context.Context, firm.Person, T) error,
	to, said string) error {
	of, err := id.Parse[T](c.Param(param))
	if err == nil {
		err = do(c.Request().Context(), Who(c), of)
	}
	if err != nil {
		return err
	}
	return SeeOther(c, to, said)
}
