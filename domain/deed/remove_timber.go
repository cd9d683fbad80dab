package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// KindRemoveTimber is a timber that is taken out.
const KindRemoveTimber Kind = "remove-timber"

var removeTimberSort = Sort{Kind: KindRemoveTimber, May: firm.MayRecord, json: stored[RemoveTimber],
	form: named(func(of id.Timber) RemoveTimber { return RemoveTimber{Timber: of} })}

// RemoveTimber takes a timber out. Faults: NotFound, Obstacle (first fix is
// signed off).
type RemoveTimber struct {
	Timber id.Timber `json:"timber"`
}

// Kind is Deed.
func (RemoveTimber) Kind() Kind { return KindRemoveTimber }

func (d RemoveTimber) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Timber(d.Timber)
	if err != nil {
		return err
	}
	if err := t.DeleteTimber(ctx, d.Timber); err != nil {
		return err
	}
	return t.Note("remove_timber", nil, old.Name+" was taken out.", old)
}
