package deed

import (
	"context"
	"fmt"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindAddTimbers is timbers that are drawn.
const KindAddTimbers Kind = "add-timbers"

var addTimbersSort = Sort{Kind: KindAddTimbers, May: firm.MayRecord, form: readAddTimbers, json: stored[AddTimbers]}

// AddTimbers draws joists, rafters, studs or noggins. Those that are there
// already under their id are skipped. Faults: BadInput, NotFound (the surface),
// Conflict, Obstacle (first fix is signed off).
type AddTimbers struct {
	Timbers []room.Timber `json:"timbers"`
}

// Kind is Deed.
func (AddTimbers) Kind() Kind { return KindAddTimbers }

func (d AddTimbers) do(ctx context.Context, t *Taking) error {
	n := 0
	for _, one := range d.Timbers {
		if old, err := t.Record.Timber(one.ID); err == nil {
			if *old != one {
				return otherRecord()
			}
			continue
		}
		if _, err := t.Record.Surface(one.Surface); err != nil {
			return err
		}
		one.ID = id.OrNew(one.ID)
		if err := t.InsertTimber(ctx, t.Record.ID, one); err != nil {
			return err
		}
		n++
	}
	if n == 0 {
		return nil
	}
	return t.Note("add_timbers", nil, fmt.Sprintf("%d timbers were drawn in %s.", n, t.Record.Name), d.Timbers)
}
