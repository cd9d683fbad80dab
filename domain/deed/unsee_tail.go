package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// KindUnseeTail is a tail that is not free after all.
const KindUnseeTail Kind = "unsee-tail"

var unseeTailSort = Sort{Kind: KindUnseeTail, May: firm.MayRecord, json: stored[UnseeTail]}

// UnseeTail takes back that a tail was seen free: it was trapped after all.
// Faults as for SeeTails.
type UnseeTail struct {
	Position id.Position `json:"position"`
}

// Kind is Deed.
func (UnseeTail) Kind() Kind { return KindUnseeTail }

func (d UnseeTail) do(ctx context.Context, t *Taking) error {
	p, err := t.Record.Position(d.Position)
	if err != nil {
		return err
	}
	if err := t.DeleteTailSeen(ctx, p.ID); err != nil {
		return err
	}
	return t.Note("unsee_tail", &boarding, "The tail of "+p.Name+" is not free after all.", onTail{p.ID})
}
