package deed

import (
	"cmp"
	"context"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// OwePatch says that a hole has to be made good. Owed already is no error.
// Faults: NotFound, Obstacle (decoration is signed off).
type OwePatch struct {
	Opening id.Opening `json:"opening"`
}

func readOwePatch(s *Sent) (Deed, error) {
	opening, err := id.Parse[id.Opening](s.Get("opening"))
	if err != nil {
		s.Bad("opening", "it does not say at which hole", "Choose it")
	}
	return OwePatch{Opening: opening}, nil
}

func (d OwePatch) do(ctx context.Context, t *Taking) error {
	return t.patch(ctx, d.Opening, "owe_patch", "A patch is needed at ", func(*room.Patch) error { return nil })
}

// patch changes the patch of a hole, and notes what it changed.
func (w *Writing) patch(ctx context.Context, opening id.Opening, act, says string,
	change func(*room.Patch) error) error {
	o, err := w.Record.Opening(opening)
	if err != nil {
		return err
	}
	p := room.Patch{Opening: opening, OwedAt: w.told(room.WasOwed, room.Subject{Opening: opening})}
	owed := w.Record.PatchOf(opening)
	if owed != nil {
		p = *owed
	}
	if err := change(&p); err != nil || owed != nil && p == *owed {
		return err
	}
	put(ctx, w, &w.Record.Patches, p, Tx.SavePatch)
	return w.Note(act, &decoration, says+w.atHole(o)+".", p)
}

// atHole says where a hole is.
func (w *Writing) atHole(o *room.Opening) string {
	if q, err := w.Record.Position(o.Position); err == nil {
		return q.Name
	}
	return "a hole"
}

// FillPatch says that a patch was filled. It is dry by the filler's own time, and
// filled already is no error, unless DryUnknown. Faults: BadInput (a time to
// come, or before the hole was cut), NotFound, Obstacle (decoration is signed off).
type FillPatch struct {
	Opening id.Opening `json:"opening"`
	At      time.Time  `json:"at,omitzero"` // zero: now
	// DryUnknown: whoever writes it down will say from when it is dry.
	DryUnknown bool `json:"dry_unknown,omitzero"`
}

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
	at, err := t.Record.InOrder(room.WasFilled, room.Subject{Opening: d.Opening}, at, !d.At.IsZero())
	if err != nil {
		return err
	}
	err = t.patch(ctx, d.Opening, "fill_patch", "The patch was filled at ", func(p *room.Patch) error {
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

// UnfillPatch takes back that a patch was filled: another was, or none. Not filled is
// no error. Faults: NotFound, Obstacle (decoration is signed off).
type UnfillPatch struct {
	Opening id.Opening `json:"opening"`
}

// do is held back where others filled the patch or found it dry since the copy.
func (d UnfillPatch) do(ctx context.Context, t *Taking) error {
	o, err := t.Record.Opening(d.Opening)
	if err != nil {
		return err
	}
	if p := t.Record.PatchOf(d.Opening); p == nil || p.FilledAt.IsZero() {
		return nil
	}
	e, clash, err := t.last(func(e diary.Entry) (bool, error) {
		p, err := detail[room.Patch](e)
		return p.Opening == d.Opening, err
	}, "fill_patch", "dry_patch")
	if err != nil || !clash {
		return cmp.Or(err, d.force(ctx, t.Writing, t.clash))
	}
	t.hold(0, notFilled+t.atHole(o)+".", e)
	return nil
}

func (d UnfillPatch) force(ctx context.Context, w *Writing, _ clash) error {
	return w.patch(ctx, d.Opening, "unfill_patch", notFilled, func(p *room.Patch) error {
		p.FilledAt, p.DryAt = time.Time{}, time.Time{}
		return nil
	})
}

const notFilled = "Not filled after all: the patch at "

// DryPatch says from when a filled patch is dry. A time to come is when the
// filler will be dry by its own time. Dry already is no error. Faults: NotFound,
// Conflict (it is not filled), BadInput (before it was filled), Obstacle
// (decoration is signed off).
type DryPatch struct {
	Opening id.Opening `json:"opening"`
	At      time.Time  `json:"at,omitzero"` // zero: somebody looks now
}

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
	return w.patch(ctx, opening, "dry_patch", "The patch was checked for drying at ", func(p *room.Patch) error {
		if p.FilledAt.IsZero() {
			return &fault.Error{Kind: fault.Conflict, Msg: "The patch is not filled yet."}
		}
		if p.DryAt = at.UTC().Truncate(time.Microsecond); p.DryAt.Sub(p.FilledAt) > 366*24*time.Hour {
			return bad("at", "no patch takes a year to dry", "Give the time from which it is dry")
		}
		_, err := w.Record.InOrder(room.WasDry, room.Subject{Opening: opening}, p.DryAt, true)
		return err
	})
}
