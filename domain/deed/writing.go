package deed

import (
	"context"
	"fmt"
	"slices"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
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
	// Tx is the transaction; nil without a store, as on a phone without signal:
	// then the record is all there is.
	Tx     Tx
	Record *room.Record
	By     firm.Person
	Now    time.Time // the transaction's one reading of the clock
	// Made is when what is written was done on site, and MadeBy who did it: now
	// and By, unless it comes from a phone that was without signal. Made is
	// never after Now.
	Made   time.Time
	MadeBy id.Member
	// act is that of a phone which is being done, if any: the diary names it.
	act    id.Act
	before *standing.Standing // as the room stood when the lock was taken
	notes  []diary.Entry
	err    error // the first of a write; nothing is written after it
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

// told is Made as it stands on record for an event: see room.Record.InOrder.
func (w *Writing) told(e room.Event, of room.Subject) time.Time {
	at, _ := w.Record.InOrder(e, of, w.Made, false) // what a clock told is not refused
	return at
}

// Note adds a line to the diary, or returns what was wrong with a write. A write without a line changes nothing: it is
// taken for a repeat of an earlier one. Of a thing that was done a good while
// before, the line says when.
func (w *Writing) Note(act string, stage *words.Stage, says string, detail any) error {
	if w.err != nil {
		return w.err
	}
	code := ""
	if stage != nil {
		code = stage.Code()
	}
	if w.Now.Sub(w.Made) > late {
		says += " Done on " + words.DayTime(w.Record.Zone.In(w.Made)) + "."
	}
	text, err := pack(detail)
	if err != nil {
		return err
	}
	if _, names := detail.(aboutAct); !names && !w.act.IsZero() {
		text = fmt.Appendf(text[:len(text)-1:len(text)-1], `,"act":"%s"}`, w.act)
	}
	e, err := diary.New(w.By, w.Record.Job, w.Record.ID, code, act, says, text, w.Now)
	w.notes = append(w.notes, e)
	return err
}

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

// both writes to the store, and where that went well to the record: a room is
// not read again to learn how it stands. That both come to the same is what the
// tests of random histories show.
func (w *Writing) both(store func() error, record func()) {
	if w.err == nil && w.Tx != nil {
		w.err = store()
	}
	if w.err == nil {
		record()
	}
}

// put writes a row of one of the record's lists, new or in the place of the one
// that has its key.
func put[T room.Row[K], K comparable](ctx context.Context, w *Writing, list *[]T, row T,
	write func(Tx, context.Context, id.Room, T) error) {
	w.both(func() error { return write(w.Tx, ctx, w.Record.ID, row) }, func() { *list = room.Put(*list, row) })
}

// drop takes a row out.
func drop[T room.Row[K], K comparable](ctx context.Context, w *Writing, list *[]T, key K,
	write func(Tx, context.Context, K) error) {
	w.both(func() error { return write(w.Tx, ctx, key) }, func() { *list = room.Drop(*list, key) })
}

func (w *Writing) updateMeasurement(ctx context.Context, m room.Measurement, version int64) {
	if old, err := w.Record.Measurement(m.ID); err == nil {
		if m.Version = old.Version + 1; w.Tx == nil && version != 0 && version != old.Version {
			w.err = &fault.Error{Kind: fault.Conflict, Msg: "Somebody else changed this in the meantime."}
		}
	}
	put(ctx, w, &w.Record.Measurements, m, func(tx Tx, ctx context.Context, _ id.Room, m room.Measurement) error {
		return tx.UpdateMeasurement(ctx, m, version)
	})
}

func (w *Writing) updateOpening(ctx context.Context, o room.Opening) {
	put(ctx, w, &w.Record.Openings, o,
		func(tx Tx, ctx context.Context, _ id.Room, o room.Opening) error { return tx.UpdateOpening(ctx, o) })
}

// replaceLayers puts layers in the place of those planned on a face, or on the
// surface itself where datum is none.
func (w *Writing) replaceLayers(ctx context.Context, surface id.Surface, datum id.Datum, layers []room.Layer) {
	w.both(func() error { return w.Tx.ReplaceLayers(ctx, w.Record.ID, surface, datum, layers) }, func() {
		for _, l := range w.Record.LayersOf(surface, datum) {
			w.Record.Layers = room.Drop(w.Record.Layers, l.ID)
		}
		w.Record.Layers = append(slices.Clone(w.Record.Layers), layers...)
		w.Record.Sort()
	})
}

// moveGates stores what a move of the state machine left of the gates. signed is
// what a stage was signed off with, nil where none was.
func (w *Writing) moveGates(ctx context.Context, after gate.Gates, signed *room.Gate) {
	for i, old := range w.Record.Gates {
		if old.State == after[i].State {
			continue
		}
		g := room.Gate{Stage: words.Stage(i), State: after[i].State, Withdrawn: after[i].Withdrawn}
		switch {
		case g.State == words.Offered:
			g.OfferedBy, g.OfferedAt = w.MadeBy, w.told(room.WasOffered, room.Subject{Stage: g.Stage})
		case g.State == words.SignedOff && signed != nil:
			g.OfferedBy, g.OfferedAt = old.OfferedBy, old.OfferedAt
			g.SignOff, g.SignedBy, g.SignedAt, g.Initials, g.Revision = signed.SignOff, signed.SignedBy, signed.SignedAt,
				signed.Initials, w.Record.Revision+1
		}
		w.both(func() error { return w.Tx.UpdateGate(ctx, w.Record.ID, g) }, func() {
			w.Record.Gates[i] = g
			if w.Record.FirstSigned[i].IsZero() {
				w.Record.FirstSigned[i] = g.SignedAt
			}
		})
	}
}

// changed is what the diary keeps of a record that was changed.
type changed[T any] struct {
	Before T `json:"before"`
	After  T `json:"after"`
}
