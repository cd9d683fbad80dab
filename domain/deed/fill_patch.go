package deed

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindFill is a patch that was filled.
const KindFill Kind = "patch-filled"

var fillPatchSort = Sort{Kind: KindFill, May: firm.MayRecord, At: "patches/:one/filled", Brought: "a patch filled",
	form: named(func(o id.Opening) FillPatch { return FillPatch{Opening: o} }), json: stored[FillPatch]}

// FillPatch says that a patch was filled. It is dry by the filler's own time, and
// filled already is no error, unless DryUnknown. Faults: BadInput (a time to
// come), NotFound, Obstacle (decoration is signed off).
type FillPatch struct {
	Opening id.Opening `json:"opening"`
	At      time.Time  `json:"at,omitzero"` // zero: now
	// DryUnknown: whoever writes it down will say from when it is dry.
	DryUnknown bool `json:"dry_unknown,omitzero"`
}

// Kind is Deed.
func (FillPatch) Kind() Kind { return KindFill }

// FillerDries is how long a patch of filler is given to dry. Common practice,
// no source: overnight.
const FillerDries = 24 * time.Hour

func (d FillPatch) do(ctx context.Context, t *Taking) error {
	if p := t.Record.PatchOf(d.Opening); p != nil && !p.FilledAt.IsZero() && !d.DryUnknown {
		return nil
	}
	at := d.At.UTC().Truncate(time.Microsecond)
	if d.At.IsZero() {
		at = t.Made
	}
	err := t.patch(ctx, d.Opening, "fill_patch", "The patch was filled at ", func(p *room.Patch) error {
		if at.After(t.Now) {
			return bad("at", "the time is still to come", "Give when it was done")
		}
		p.FilledAt, p.DryAt = at, time.Time{}
		return nil
	})
	if err != nil || d.DryUnknown {
		return err
	}
	return t.dryPatch(ctx, d.Opening, at.Add(FillerDries))
}
