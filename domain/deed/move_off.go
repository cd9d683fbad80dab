package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
)

// KindMoveOff is planned positions that are moved off the timbers.
const KindMoveOff Kind = "move-off"

var moveOffSort = Sort{Kind: KindMoveOff, May: firm.MayRunJobs, json: stored[MoveOff],
	form: func(*Sent) (Deed, error) { return MoveOff{}, nil }}

// MoveOff moves the planned positions of a room off the timbers by the least that
// clears, all of them or none; those that no move clears stay. Faults: Obstacle
// (first fix is signed off).
type MoveOff struct{}

// Kind is Deed.
func (MoveOff) Kind() Kind { return KindMoveOff }

func (MoveOff) do(ctx context.Context, t *Taking) error {
	from, to := OnTimber(t.Record)
	for i, q := range from {
		if to[i] == *q.Planned {
			continue
		}
		err := t.position(ctx, q.ID, 0, "change_position", func(p *room.Position) (string, error) {
			p.Planned = &to[i]
			return p.Name + " was changed on the schedule.", nil
		})
		if err != nil {
			return err
		}
	}
	return nil
}

// OnTimber returns the planned positions of a room that the timbers of their
// surface stand in the way of, each with the place that clears; where none does
// that is where it is.
func OnTimber(r *room.Record) (from []*room.Position, to []roomsheet.Point) {
	for i := range r.Positions {
		q := &r.Positions[i]
		if q.Planned == nil || !q.OmittedAt.IsZero() {
			continue
		}
		after, stuck := room.OffTimbers([]room.PositionDraft{{Name: q.Name, Cutout: q.Cutout, Planned: q.Planned}},
			r.TimbersOf(q.Surface))
		if *after[0].Planned != *q.Planned || len(stuck) > 0 {
			from, to = append(from, q), append(to, *after[0].Planned)
		}
	}
	return from, to
}
