package programme

import (
	"net/url"
	"slices"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/programme"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Move puts a piece of work on a day. What that does to the rest is shown before it is kept.
func (p *Pages) Move() kit.Pair {
	return kit.Filled[web.MoveView]{May: firm.MayRunJobs, Page: web.Move, View: p.moveView,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			of, err := web.SplitPiece(f.Get("piece"))
			on := day(f, "on")
			if err == nil {
				err = f.Err()
			}
			if err == nil {
				err = p.Programme.Pin(c.Request().Context(), kit.Who(c), programme.Pin{Piece: of, On: on})
			}
			return web.ProgrammePath, "pinned", err
		}}.Pair()
}

func (p *Pages) moveView(c echo.Context, typed web.Typed) (v web.MoveView, err error) {
	v = web.MoveView{Sheet: p.Sheet(c, "Move a visit"), Typed: typed}
	if v.Piece, err = web.SplitPiece(c.FormValue("piece")); err != nil {
		return v, err
	}
	got, err := p.Programme.Read(c.Request().Context(), kit.Who(c))
	if err != nil {
		return v, err
	}
	v.Pin, v.Now, v.Visit = standsAt(got, v.Piece)
	v.Begins = url.Values{}
	v.Next = web.Next{Sentence: "Choose the day on which it should begin."}
	text := c.QueryParam("on")
	if text == "" || v.Now == nil {
		if v.Now != nil {
			v.Begins.Set("on", v.Now.From.Format(time.DateOnly))
		}
		return v, nil
	}
	v.Begins.Set("on", text)
	return v, p.try(c, &v)
}

// standsAt finds a piece of work in the programme.
func standsAt(got programme.View, of programme.Piece) (pin *programme.Pin, now *programme.Placed, in programme.Visit) {
	if i := slices.IndexFunc(got.Given.Pins, func(o programme.Pin) bool { return o.Piece == of }); i >= 0 {
		pin = &got.Given.Pins[i]
	}
	if got.Programme == nil {
		return pin, nil, in
	}
	for _, v := range got.Programme.Visits {
		for i := range v.Pieces {
			if v.Pieces[i].Piece == of {
				return pin, &v.Pieces[i], v
			}
		}
	}
	return pin, nil, in
}

// try shows what a day does to the rest.
func (p *Pages) try(c echo.Context, v *web.MoveView) error {
	f := &kit.Form{Form: &deed.Form{Values: v.Begins}}
	on := day(f, "on")
	if len(f.Wrong) > 0 {
		v.Faults = f.Wrong
		return nil
	}
	var err error
	v.Tried, err = p.Programme.Try(c.Request().Context(), kit.Who(c),
		programme.Trial{Pins: []programme.Pin{{Piece: v.Piece, On: on}}})
	if fields, ok := kit.Mendable(err); ok || err != nil {
		v.Faults = fields
		if ok {
			err = nil
		}
		return err
	}
	v.On = on
	v.Next = web.Next{Sentence: "Look at what it does to the rest, then keep it on " + words.ShortDay(on) +
		" or choose another day."}
	return err
}

// Unpin lets a piece of work move again.
func (p *Pages) Unpin(c echo.Context) error {
	f, err := kit.FormOf(c)
	if err != nil {
		return err
	}
	of, err := web.SplitPiece(f.Get("piece"))
	if err == nil {
		err = p.Programme.Unpin(c.Request().Context(), kit.Who(c), of)
	}
	if err != nil {
		return err
	}
	return kit.SeeOther(c, web.ProgrammePath, "unpinned")
}
