package deed

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// KindOwe is a patch that is owed.
const KindOwe Kind = "owe-patch"

var owePatchSort = Sort{Kind: KindOwe, May: firm.MayRecord, At: "patches", Brought: "a patch owed",
	form: readOwePatch, json: stored[OwePatch]}

// OwePatch says that a hole has to be made good. Owed already is no error.
// Faults: NotFound, Obstacle (decoration is signed off).
type OwePatch struct {
	Opening id.Opening `json:"opening"`
}

// Kind is Deed.
func (OwePatch) Kind() Kind { return KindOwe }

func readOwePatch(s *Sent) (Deed, error) {
	opening, err := id.Parse[id.Opening](s.Get("opening"))
	if err != nil {
		s.Bad("opening", "it does not say at which hole", "Choose it")
	}
	return OwePatch{Opening: opening}, nil
}

func (d OwePatch) do(ctx context.Context, t *Taking) error {
	return t.patch(ctx, d.Opening, "owe_patch", "A patch is owed at ", func(*room.Patch) error { return nil })
}

// patch changes the patch of a hole, and notes what it changed.
func (w *Writing) patch(ctx context.Context, opening id.Opening, act, says string,
	change func(*room.Patch) error) error {
	o, err := w.Record.Opening(opening)
	if err != nil {
		return err
	}
	p := room.Patch{Opening: opening, OwedAt: w.Made}
	owed := w.Record.PatchOf(opening)
	if owed != nil {
		p = *owed
	}
	if err := change(&p); err != nil || owed != nil && p == *owed {
		return err
	}
	if err := w.SavePatch(ctx, w.Record.ID, p); err != nil {
		return err
	}
	at := "a hole"
	if q, err := w.Record.Position(o.Position); err == nil {
		at = q.Name
	}
	return w.Note(act, &decoration, says+at+".", p)
}
