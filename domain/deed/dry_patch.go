package deed

import (
	"context"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindDry is a patch that somebody found dry.
const KindDry Kind = "patch-dry"

var dryPatchSort = Sort{Kind: KindDry, May: firm.MayRecord, At: "patches/:one/dry", Brought: "a patch found dry",
	form: named(func(o id.Opening) DryPatch { return DryPatch{Opening: o} }), json: stored[DryPatch]}

// DryPatch says from when a filled patch is dry. A time to come is when the
// filler will be dry by its own time. Dry already is no error. Faults: NotFound,
// Conflict (it is not filled), BadInput (before it was filled), Obstacle
// (decoration is signed off).
type DryPatch struct {
	Opening id.Opening `json:"opening"`
	At      time.Time  `json:"at,omitzero"` // zero: somebody looks now
}

// Kind is Deed.
func (DryPatch) Kind() Kind { return KindDry }

func (d DryPatch) do(ctx context.Context, t *Taking) error {
	p := t.Record.PatchOf(d.Opening)
	if d.At.IsZero() && p != nil && !p.DryAt.IsZero() && !p.DryAt.After(t.Made) {
		return nil
	}
	if d.At.IsZero() {
		d.At = t.Made
	}
	return t.dryPatch(ctx, d.Opening, d.At)
}

func (w *Writing) dryPatch(ctx context.Context, opening id.Opening, at time.Time) error {
	return w.patch(ctx, opening, "dry_patch", "The patch was looked at for dryness at ", func(p *room.Patch) error {
		if p.FilledAt.IsZero() {
			return &fault.Error{Kind: fault.Conflict, Msg: "The patch is not filled yet."}
		}
		p.DryAt = at.UTC().Truncate(time.Microsecond)
		if p.DryAt.Before(p.FilledAt) || p.DryAt.Sub(p.FilledAt) > 366*24*time.Hour {
			return bad("at", "the patch cannot be dry before it was filled, nor take a year",
				"Give the time from which it is dry")
		}
		return nil
	})
}
