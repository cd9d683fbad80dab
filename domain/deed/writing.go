package deed

import (
	"context"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Writing is a room that is being written to, in one transaction. Its lock is
// held; Record is the room as it was when the lock was taken.
type Writing struct {
	// Tx is the transaction; nil without a store, see Alone.
	Tx Tx
	Store
	Record *room.Record
	By     firm.Person
	Now    time.Time // the transaction's one reading of the clock
	// Made is when what is written was done on site, and MadeBy who did it: now
	// and By, unless it comes from a phone that was without signal. Made is
	// never after Now.
	Made   time.Time
	MadeBy id.Member
	before *standing.Standing // as the room stood when the lock was taken
	notes  []diary.Entry
}

// late is from when on a line of the diary says when a thing was done besides
// when it came in. Common practice, no source: people round to five minutes.
const late = 5 * time.Minute

// AsOf says when and by whom what is written from here on was done. A time
// before the room was drawn or still to come is that of a phone whose clock is
// wrong: it counts as the nearest that can be.
func (w *Writing) AsOf(made time.Time, by id.Member) {
	made = made.UTC().Truncate(time.Microsecond)
	if made.Before(w.Record.CreatedAt) {
		made = w.Record.CreatedAt
	}
	if made.After(w.Now) {
		made = w.Now
	}
	w.Made, w.MadeBy = made, by
}

// Note adds a line to the diary. A write without a line changes nothing: it is
// taken for a repeat of an earlier one. Of a thing that was done a good while
// before, the line says when.
func (w *Writing) Note(act string, stage *words.Stage, says string, detail any) error {
	code := ""
	if stage != nil {
		code = stage.Code()
	}
	if w.Now.Sub(w.Made) > late {
		says += " Done on " + words.DayTime(w.Made) + "."
	}
	e, err := diary.New(w.By, w.Record.Job, w.Record.ID, code, act, says, detail, w.Now)
	w.notes = append(w.notes, e)
	return err
}

// Notes tells how many lines there are so far.
func (w *Writing) Notes() int { return len(w.notes) }

// Says returns the lines so far, as people read them.
func (w *Writing) Says() []string {
	out := make([]string, len(w.notes))
	for i := range w.notes {
		out[i] = w.notes[i].Says
	}
	return out
}

// Standing returns the room as it stands after what was written so far.
func (w *Writing) Standing() (*standing.Standing, error) {
	own := *w.Record
	return standing.After(w.before, &own, w.Now)
}

// MoveGates stores what a move of the state machine left of the gates.
func (w *Writing) MoveGates(ctx context.Context, after gate.Gates) error {
	for _, g := range changed(w.Record.Gates, after) {
		if g.State == words.Offered {
			g.OfferedBy, g.OfferedAt = w.MadeBy, w.Made
		}
		if err := w.UpdateGate(ctx, w.Record.ID, g); err != nil {
			return err
		}
	}
	return nil
}

// SignGates is MoveGates for a sign-off that is stored already.
func (w *Writing) SignGates(ctx context.Context, after gate.Gates, signed room.SignOff, signer string) error {
	for _, g := range changed(w.Record.Gates, after) {
		if g.State == words.SignedOff {
			offer := w.Record.Gates[g.Stage]
			g.SignOff, g.SignedBy, g.SignedAt, g.Initials = signed.ID, signed.By, signed.At, firm.Person{Name: signer}.Initials()
			g.OfferedBy, g.OfferedAt = offer.OfferedBy, offer.OfferedAt
		}
		if err := w.UpdateGate(ctx, w.Record.ID, g); err != nil {
			return err
		}
	}
	return nil
}
