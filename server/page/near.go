package page

import (
	"math"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// nearTimbers are the planned positions that would land on or near a timber.
func nearTimbers(r *room.Record) []web.NearTimber {
	from, to := deed.OnTimber(r)
	var out []web.NearTimber
	for i, q := range from {
		n := web.NearTimber{Position: q.Name, Move: "none clears it", Gap: math.Inf(1)}
		for _, t := range r.TimbersOf(q.Surface) {
			if gap := room.ToLine(*q.Planned, t.A, t.B) - t.Width/2 - q.Cutout/2; gap < n.Gap {
				n.Gap, n.Timber = gap, t.Name
			}
		}
		if d := distance(*q.Planned, to[i]); d > 0 {
			n.Move = words.MM(d) + " " + towards(r, q.Surface, *q.Planned, to[i])
		}
		out = append(out, n)
	}
	return out
}

// towards names the face of a surface that a move goes to.
func towards(r *room.Record, of id.Surface, from, to roomsheet.Point) string {
	return r.Towards(of, from, to)
}

// MoveOff moves planned positions off the timbers by the least that clears.
func (p *Pages) MoveOff(c echo.Context) error {
	if err := firm.MayRunJobs(who(c)); err != nil {
		return err
	}
	of, err := roomID(c)
	if err != nil {
		return err
	}
	if _, err := p.Desk.Do(c.Request().Context(), who(c), of, deed.MoveOff{}); err != nil {
		return err
	}
	return seeOther(c, PlaceOf(c).Schedule(), "moved")
}
