package deed

import (
	"context"
	"fmt"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// AddTimbers draws joists, rafters, studs or noggins. Those that are there
// already under their id are skipped. Faults: BadInput, NotFound (the surface),
// Conflict, Obstacle (first fix is signed off).
type AddTimbers struct {
	Timbers []room.Timber `json:"timbers" minItems:"1" maxItems:"500"`
}

func (d AddTimbers) do(ctx context.Context, t *Taking) error {
	if err := room.CheckTimbers(d.Timbers); err != nil {
		return err
	}
	n := 0
	for _, one := range d.Timbers {
		if old, err := t.Record.Timber(one.ID); err == nil {
			if err := sameAs(*old, one); err != nil {
				return err
			}
			continue
		}
		if _, err := t.Record.Surface(one.Surface); err != nil {
			return err
		}
		one.ID = id.OrNew(one.ID)
		put(ctx, t.Writing, &t.Record.Timbers, one, Tx.InsertTimber)
		n++
	}
	if n == 0 {
		return nil
	}
	return t.Note("add_timbers", nil, fmt.Sprintf("%d timbers were drawn in %s.", n, t.Record.Name), d.Timbers)
}

// RemoveTimber takes a timber out. Faults: NotFound, Obstacle (first fix is
// signed off).
type RemoveTimber struct {
	Timber id.Timber `json:"timber"`
}

func (d RemoveTimber) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Timber(d.Timber)
	if err != nil {
		return err
	}
	drop(ctx, t.Writing, &t.Record.Timbers, d.Timber, Tx.DeleteTimber)
	return t.Note("remove_timber", nil, old.Name+" was removed.", old)
}
