package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// KindSnagDone is a snag that was put right.
const KindSnagDone Kind = "snag-done"

var closeSnagSort = Sort{Kind: KindSnagDone, May: firm.MayRecord, At: "snags/:one/done", Brought: "a snag put right",
	form: named(func(n id.Snag) CloseSnag { return CloseSnag{Snag: n} }), json: stored[CloseSnag]}

// CloseSnag says that a snag was put right. Closed already is no error. Faults:
// NotFound, Obstacle (decoration is signed off).
type CloseSnag struct {
	Snag id.Snag `json:"snag"`
}

// Kind is Deed.
func (CloseSnag) Kind() Kind { return KindSnagDone }

func (d CloseSnag) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Snag(d.Snag)
	if err != nil || !old.ClosedAt.IsZero() {
		return err
	}
	if err := t.CloseSnag(ctx, d.Snag, t.MadeBy, t.Made); err != nil {
		return err
	}
	return t.Note("close_snag", &decoration, "Put right in "+t.Record.Name+": "+old.Says, d)
}
