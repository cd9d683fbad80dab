package draw

import (
	"math"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
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
		if d := kit.Distance(*q.Planned, to[i]); d > 0 {
			n.Move = words.MM(d) + " " + r.Towards(q.Surface, *q.Planned, to[i])
		}
		out = append(out, n)
	}
	return out
}

// MoveOff moves planned positions off the timbers by the least that clears.
func (p *Pages) MoveOff(c echo.Context) error {
	if err := firm.MayRunJobs(kit.Who(c)); err != nil {
		return err
	}
	of, err := kit.RoomID(c)
	if err != nil {
		return err
	}
	if _, err := p.Desk.Do(c.Request().Context(), kit.Who(c), of, deed.MoveOff{}); err != nil {
		return err
	}
	return kit.SeeOther(c, kit.PlaceOf(c).Schedule(), "moved")
}
