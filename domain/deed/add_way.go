package deed

import (
	"context"
	"fmt"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindAddWay is a cable's way that is recorded.
const KindAddWay Kind = "add-way"

var addWaySort = Sort{Kind: KindAddWay, May: firm.MayRecord, json: stored[AddWay]}

// AddWay records a cable's way through timbers. A way that is there already under
// its id is left alone. Faults: BadInput, NotFound (the surface), Conflict,
// Obstacle (first fix is signed off).
type AddWay struct {
	Way room.Way `json:"way"`
}

// Kind is Deed.
func (AddWay) Kind() Kind { return KindAddWay }

func (d AddWay) do(ctx context.Context, t *Taking) error {
	way := d.Way
	if err := way.Check(); err != nil {
		return err
	}
	if old, err := t.Record.Way(way.ID); err == nil {
		if *old != way {
			return otherRecord()
		}
		return nil
	}
	on, err := t.Record.Surface(way.Surface)
	if err != nil {
		return err
	}
	way.ID = id.OrNew(way.ID)
	if err := t.InsertWay(ctx, t.Record.ID, way); err != nil {
		return err
	}
	return t.Note("add_way", nil, fmt.Sprintf("The cable's way %s was recorded on %s: %s.", way.Name, on.Name,
		way.CutWords()), way)
}
