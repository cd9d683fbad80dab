package room

import (
	"context"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
)

// Writing is a room that is being written to, in one transaction. Its lock is
// held; Record is the room as it was when the lock was taken.
type Writing struct {
	Tx     Tx
	Record *Record
	By     firm.Person
	Now    time.Time // the transaction's one reading of the clock
	book   *Book
	notes  []diary.Entry
}

// Note adds a line to the diary. A write without a line changes nothing: it is
// taken for a repeat of an earlier one.
func (w *Writing) Note(act string, stage *gate.Stage, says string, detail any) error {
	code := ""
	if stage != nil {
		code = stage.Code()
	}
	e, err := diary.New(w.By, w.Record.Job, w.Record.ID, code, act, says, detail, w.Now)
	w.notes = append(w.notes, e)
	return err
}

// Notes tells how many lines there are so far.
func (w *Writing) Notes() int { return len(w.notes) }

// Reload reads the room again, as it stands after what was written so far.
func (w *Writing) Reload(ctx context.Context) error {
	r, err := w.Tx.Record(ctx, w.Record.ID)
	if err == nil {
		w.Record = r
	}
	return err
}

// Judge gives the room as it stands after what was written so far, with the
// answers of the geometry and of the gates.
func (w *Writing) Judge(ctx context.Context) (*Judged, error) {
	if err := w.Reload(ctx); err != nil {
		return nil, err
	}
	return w.book.judge(w.Record, w.Now)
}

// MoveGates stores what a move of the state machine left of the gates.
func (w *Writing) MoveGates(ctx context.Context, after gate.Gates) error {
	for _, g := range changed(w.Record.Gates, after) {
		if g.State == gate.Offered {
			g.OfferedBy, g.OfferedAt = w.By.ID, w.Now
		}
		if err := w.Tx.UpdateGate(ctx, w.Record.ID, g); err != nil {
			return err
		}
	}
	return nil
}

// SignGates is MoveGates for a sign-off that is stored already.
func (w *Writing) SignGates(ctx context.Context, after gate.Gates, signed SignOff) error {
	for _, g := range changed(w.Record.Gates, after) {
		if g.State == gate.SignedOff {
			g.SignOff = signed.ID
		}
		if err := w.Tx.UpdateGate(ctx, w.Record.ID, g); err != nil {
			return err
		}
	}
	return nil
}
