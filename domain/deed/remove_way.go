package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// KindRemoveWay is a cable's way that is taken out.
const KindRemoveWay Kind = "remove-way"

var removeWaySort = Sort{Kind: KindRemoveWay, May: firm.MayRecord, json: stored[RemoveWay],
	form: named(func(of id.Way) RemoveWay { return RemoveWay{Way: of} })}

// RemoveWay takes a cable's way out. Faults: NotFound, Obstacle (first fix is
// signed off).
type RemoveWay struct {
	Way id.Way `json:"way"`
}

// Kind is Deed.
func (RemoveWay) Kind() Kind { return KindRemoveWay }

func (d RemoveWay) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Way(d.Way)
	if err != nil {
		return err
	}
	if err := t.DeleteWay(ctx, d.Way); err != nil {
		return err
	}
	return t.Note("remove_way", nil, "The cable's way "+old.Name+" was taken out.", old)
}
