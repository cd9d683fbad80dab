package stage

import (
	"context"
	"slices"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// OwePatch says that a hole has to be made good. The people on site may. Owed
// already is no error. Faults: NotFound, Obstacle (decoration is signed off).
func (s *Service) OwePatch(ctx context.Context, by firm.Person, of id.Room, opening id.Opening) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error { return OwePatch(ctx, w, opening) })
}

// FillPatch says that a patch was filled; zero at: now. Who and faults as for
// OwePatch, and BadInput (a time to come).
func (s *Service) FillPatch(ctx context.Context, by firm.Person, of id.Room, opening id.Opening,
	at time.Time) (*standing.Standing, error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error { return FillPatch(ctx, w, opening, at) })
}

// DryPatch says from when a filled patch is dry; zero at: now. A time to come
// is when the filler will be dry by its own time. Who and faults as for
// OwePatch, and Conflict (it is not filled), BadInput (before it was filled).
func (s *Service) DryPatch(ctx context.Context, by firm.Person, of id.Room, opening id.Opening,
	at time.Time) (*standing.Standing, error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error { return DryPatch(ctx, w, opening, at) })
}

// OwePatch is Service.OwePatch inside a writing.
func OwePatch(ctx context.Context, w *deed.Writing, opening id.Opening) error {
	return patch(ctx, w, opening, "owe_patch", "A patch is owed at ", func(*room.Patch) error { return nil })
}

// FillPatch is Service.FillPatch inside a writing.
func FillPatch(ctx context.Context, w *deed.Writing, opening id.Opening, at time.Time) error {
	return patch(ctx, w, opening, "fill_patch", "The patch was filled at ", func(p *room.Patch) error {
		if p.FilledAt = at.UTC().Truncate(time.Microsecond); at.IsZero() {
			p.FilledAt = w.Made
		}
		p.DryAt = time.Time{}
		if p.FilledAt.After(w.Now) {
			return bad("at", "the time is still to come", "Give when it was done")
		}
		return nil
	})
}

// FillerDries is how long a patch of filler is given to dry. Common practice,
// no source: overnight.
const FillerDries = 24 * time.Hour

// Fill says that a patch was filled when the writing was made, and dry by the
// filler's own time. Faults as for FillPatch.
func Fill(ctx context.Context, w *deed.Writing, opening id.Opening) error {
	if err := FillPatch(ctx, w, opening, w.Made); err != nil {
		return err
	}
	return DryPatch(ctx, w, opening, w.Made.Add(FillerDries))
}

// FillNow is Fill in a writing of its own. Who and faults as for FillPatch.
func (s *Service) FillNow(ctx context.Context, by firm.Person, of id.Room, opening id.Opening) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error { return Fill(ctx, w, opening) })
}

// DryPatch is Service.DryPatch inside a writing.
func DryPatch(ctx context.Context, w *deed.Writing, opening id.Opening, at time.Time) error {
	return patch(ctx, w, opening, "dry_patch", "The patch was looked at for dryness at ", func(p *room.Patch) error {
		if p.FilledAt.IsZero() {
			return &fault.Error{Kind: fault.Conflict, Msg: "The patch is not filled yet."}
		}
		if p.DryAt = at.UTC().Truncate(time.Microsecond); at.IsZero() {
			p.DryAt = w.Made
		}
		if p.DryAt.Before(p.FilledAt) || p.DryAt.Sub(p.FilledAt) > 366*24*time.Hour {
			return bad("at", "the patch cannot be dry before it was filled, nor take a year",
				"Give the time from which it is dry")
		}
		return nil
	})
}

func patch(ctx context.Context, w *writing, opening id.Opening, act, says string,
	change func(*room.Patch) error) error {
	o, err := w.Record.Opening(opening)
	if err != nil {
		return err
	}
	p := room.Patch{Opening: opening, OwedAt: w.Made}
	i := slices.IndexFunc(w.Record.Patches, func(p room.Patch) bool { return p.Opening == opening })
	if i >= 0 {
		p = w.Record.Patches[i]
	}
	old := p
	if err := change(&p); err != nil {
		return err
	}
	if i >= 0 && p == old {
		return nil
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

// NoteSnag notes a fault that has to be put right. The people on site may. A
// repeat with the same id adds nothing. Faults: BadInput, Conflict, Obstacle
// (decoration is signed off).
func (s *Service) NoteSnag(ctx context.Context, by firm.Person, of id.Room, snag room.Snag) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error { return NoteSnag(ctx, w, snag) })
}

// NoteSnag is Service.NoteSnag inside a writing.
func NoteSnag(ctx context.Context, w *deed.Writing, snag room.Snag) error {
	says, err := oneReason(snag.Says)
	if err != nil {
		return err
	}
	if snag.Trade != "" && (!slices.Contains(words.Trades, snag.Trade) || snag.Trade == words.Foreman ||
		snag.Trade == words.Client) {
		return bad("trade", "there is no such trade", "Give who puts it right, or leave it out")
	}
	if old, err := w.Record.Snag(snag.ID); err == nil {
		if old.Says != says || old.Trade != snag.Trade {
			return &fault.Error{Kind: fault.Conflict, Msg: "Another snag was noted under this id."}
		}
		return nil
	}
	n := room.Snag{ID: id.OrNew(snag.ID), Says: says, Trade: snag.Trade, NotedBy: w.MadeBy, NotedAt: w.Made}
	if err := w.InsertSnag(ctx, w.Record.ID, n); err != nil {
		return err
	}
	return w.Note("snag", &decoration, "Snag in "+w.Record.Name+": "+says, n)
}

// CloseSnag says that a snag was put right. The people on site may. Closed
// already is no error. Faults: NotFound, Obstacle (decoration is signed off).
func (s *Service) CloseSnag(ctx context.Context, by firm.Person, of id.Room, snag id.Snag) (*standing.Standing, error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error { return CloseSnag(ctx, w, snag) })
}

// CloseSnag is Service.CloseSnag inside a writing.
func CloseSnag(ctx context.Context, w *deed.Writing, snag id.Snag) error {
	old, err := w.Record.Snag(snag)
	if err != nil || !old.ClosedAt.IsZero() {
		return err
	}
	if err := w.CloseSnag(ctx, snag, w.MadeBy, w.Made); err != nil {
		return err
	}
	return w.Note("close_snag", &decoration, "Put right in "+w.Record.Name+": "+old.Says, struct{ Snag id.Snag }{snag})
}
