package page

import (
	"math"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// moved are the planned positions of a room that the timbers of their surface
// stand in the way of, each with the place that clears; where none does it
// stays.
func moved(r *room.Record) (from []*room.Position, to []roomsheet.Point) {
	for i := range r.Positions {
		q := &r.Positions[i]
		if q.Planned == nil || !q.OmittedAt.IsZero() {
			continue
		}
		timbers := timbersOn(r, q.Surface)
		after, stuck := room.OffTimbers([]room.PositionDraft{{Name: q.Name, Cutout: q.Cutout, Planned: q.Planned}}, timbers)
		if *after[0].Planned != *q.Planned || len(stuck) > 0 {
			from, to = append(from, q), append(to, *after[0].Planned)
		}
	}
	return from, to
}

func timbersOn(r *room.Record, of id.Surface) []room.Timber {
	var out []room.Timber
	for _, t := range r.Timbers {
		if t.Surface == of {
			out = append(out, t)
		}
	}
	return out
}

// nearTimbers are the planned positions that would land on or near a timber.
func nearTimbers(r *room.Record) []web.NearTimber {
	from, to := moved(r)
	var out []web.NearTimber
	for i, q := range from {
		n := web.NearTimber{Position: q.Name, Move: "none clears it", Gap: math.Inf(1)}
		for _, t := range timbersOn(r, q.Surface) {
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
	s, err := p.scene(c, "Schedule")
	if err != nil {
		return err
	}
	from, to := moved(s.j.Record)
	for i, q := range from {
		if to[i] == *q.Planned {
			continue
		}
		d := draftOf(q)
		d.Planned = &to[i]
		if _, err := p.Room.ChangePosition(c.Request().Context(), s.by, s.j.Record.ID, q.ID, q.Version, d); err != nil {
			return err
		}
	}
	return seeOther(c, s.at.Schedule(), "moved")
}

// draftOf is a position as it is on the schedule.
func draftOf(q *room.Position) room.PositionDraft {
	return room.PositionDraft{ID: q.ID, Name: q.Name, Kind: q.Kind, Trade: q.Trade, Cutout: q.Cutout, Reach: q.Reach,
		TailSigma: q.TailSigma, Planned: q.Planned}
}
