package visit

import (
	"context"
	"slices"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
	"lathmark/domain/words"
)

// Facts are the same whoever writes them down: twice is once, and there is
// nothing to choose.

func (d OwePatch) do(ctx context.Context, t *taking) error {
	return stage.OwePatch(ctx, t.w, d.Opening)
}

func (d FillPatch) do(ctx context.Context, t *taking) error {
	if p := patchOf(t.w.Record, d.Opening); p != nil && !p.FilledAt.IsZero() {
		return nil
	}
	return stage.Fill(ctx, t.w, d.Opening)
}

func (d DryPatch) do(ctx context.Context, t *taking) error {
	if p := patchOf(t.w.Record, d.Opening); p != nil && !p.DryAt.IsZero() && !p.DryAt.After(t.w.Made) {
		return nil
	}
	return stage.DryPatch(ctx, t.w, d.Opening, t.w.Made)
}

func patchOf(r *room.Record, of id.Opening) *room.Patch {
	if i := slices.IndexFunc(r.Patches, func(p room.Patch) bool { return p.Opening == of }); i >= 0 {
		return &r.Patches[i]
	}
	return nil
}

func (d NoteSnag) do(ctx context.Context, t *taking) error { return stage.NoteSnag(ctx, t.w, d.Snag) }

func (d CloseSnag) do(ctx context.Context, t *taking) error {
	return stage.CloseSnag(ctx, t.w, d.Snag)
}

// do offers a stage, unless it was opened again for a reason that the person
// does not know yet.
func (d Offer) do(ctx context.Context, t *taking) error {
	if s := t.w.Record.Gates[d.Stage].State; s == words.Offered || s == words.SignedOff {
		return nil
	}
	reopened := func(e diary.Entry) bool { return e.Stage == d.Stage.Code() }
	if e, found := t.last(reopened, string(gate.ActReopen)); found {
		return &fault.Error{Kind: fault.Conflict, Msg: strings.TrimSuffix(e.Says, ".") + ". Look at it, then offer it again."}
	}
	return stage.Offer(ctx, t.w, d.Stage)
}

func (OwePatch) force(context.Context, *deed.Writing, clash) error  { return nil }
func (FillPatch) force(context.Context, *deed.Writing, clash) error { return nil }
func (DryPatch) force(context.Context, *deed.Writing, clash) error  { return nil }
func (NoteSnag) force(context.Context, *deed.Writing, clash) error  { return nil }
func (CloseSnag) force(context.Context, *deed.Writing, clash) error { return nil }
func (Offer) force(context.Context, *deed.Writing, clash) error     { return nil }
