package programme

import (
	"context"
	"encoding/json"
	"hash/fnv"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
)

// KeepTx is what working a programme out needs of a transaction of the firm itself.
type KeepTx interface {
	Tx
	standing.Tx
	// Take takes the firm's turn until the transaction ends; false: another process has it.
	Take(ctx context.Context) (bool, error)
	// Mark returns what the programme rests on.
	Mark(ctx context.Context) (room.Mark, error)
	// Holidays returns the bank holidays that the firm has given.
	Holidays(ctx context.Context) ([]Holiday, error)
	// Worked returns who worked where on which days, by diary entries of some acts about the
	// rooms given.
	Worked(ctx context.Context, rooms []id.Room, acts []string) ([]DayWorked, error)
	// Keep stores a programme in the place of the one before.
	Keep(ctx context.Context, s Stored) error
}

// Worker works programmes out.
type Worker struct {
	in   firm.In[KeepTx]
	book *standing.Book
}

// NewWorker returns a worker. Its transactions write, and it reads rooms of the book.
func NewWorker(in firm.In[KeepTx], book *standing.Book) *Worker { return &Worker{in, book} }

// Outcome is what came of a firm's turn.
type Outcome int

// The outcomes.
const (
	Fresh Outcome = iota // nothing has changed since it was worked out
	Made                 // it was worked out
	Taken                // another process works on it
)

// Work works a firm's programme out again where something that it rests on has changed, and
// returns how long the day lasts there. What changes meanwhile is not in it, and shows by
// the mark, which was read first.
func (w *Worker) Work(ctx context.Context, of id.Firm) (out Outcome, lasts time.Duration, err error) {
	err = w.in(ctx, firm.Whole(of), func(tx KeepTx) error {
		f, err := tx.Firm(ctx)
		if err != nil {
			return err
		}
		now := w.book.Now()
		today := f.Zone.Day(now)
		lasts = f.Zone.Begins(today.AddDate(0, 0, 1)).Sub(now)
		mine, err := tx.Take(ctx)
		if err != nil || !mine {
			out = Taken
			return err
		}
		mark, err := tx.Mark(ctx)
		if err != nil {
			return err
		}
		old, err := tx.Stored(ctx)
		if err != nil || old.Version == storedVersion && old.Mark == mark && old.Today.Equal(today) {
			return err
		}
		in, err := w.input(ctx, tx, f, now, decoded(old))
		if err != nil {
			return err
		}
		in.Revision = mark.Firm + mark.Entries + mark.Revisions
		p, err := Make(in)
		if err != nil {
			return err
		}
		out = Made
		return keep(ctx, tx, p, in.Before, Stored{Made: now, Today: today, Mark: mark, Version: storedVersion})
	})
	return out, lasts, err
}

// input gathers what a programme is worked out from.
func (w *Worker) input(ctx context.Context, tx KeepTx, f firm.Firm, now time.Time, before *Programme) (in Input,
	err error) {
	in = Input{Now: now, Zone: f.Zone, Before: before, Seed: seedOf(f.ID)}
	if in.Given, err = tx.Given(ctx); err != nil {
		return in, err
	}
	if in.Holidays = Holidays(in.Region); in.Holidays == nil && in.Region != "" {
		if in.Holidays, err = tx.Holidays(ctx); err != nil {
			return in, err
		}
	}
	if in.Rooms, err = w.book.AllIn(ctx, tx, f.ID, room.Scope{}); err != nil {
		return in, err
	}
	in.Learned, err = learned(ctx, tx, &in)
	return in, err
}

// learned returns the rates that the firm's diary shows of rooms.
func learned(ctx context.Context, tx KeepTx, in *Input) ([]Learned, error) {
	ids := make([]id.Room, len(in.Rooms))
	for i, r := range in.Rooms {
		ids[i] = r.Record.ID
	}
	worked, err := tx.Worked(ctx, ids, isWork)
	return Learn(Facts(&in.Given, in.Holidays, in.Rooms, worked)), err
}

// seedOf is a firm's seed: the same for all its programmes, so that one moves for a reason
// and not by chance.
func seedOf(of id.Firm) uint64 {
	h := fnv.New64a()
	_, _ = h.Write(of[:]) // never fails
	return h.Sum64()
}

func keep(ctx context.Context, tx KeepTx, p, before *Programme, s Stored) (err error) {
	p.number(before, s.Made)
	if s.Answer, err = json.Marshal(p); err != nil {
		return err
	}
	return tx.Keep(ctx, s)
}

// Trial is what somebody thinks of doing: it is looked at before it is said.
type Trial struct {
	Pins  []Pin
	Unpin []Piece
	Away  []Away
	Owed  []Owed
	// Back are absences that would not be.
	Back []id.Away
}

// on returns what would be given.
func (t *Trial) on(g Given) Given {
	g.Pins = kept(g.Pins, func(p Pin) bool {
		for _, other := range t.Pins {
			if other.Piece == p.Piece {
				return false
			}
		}
		for _, other := range t.Unpin {
			if other == p.Piece {
				return false
			}
		}
		return true
	})
	g.Pins = append(g.Pins, t.Pins...)
	g.Away = kept(g.Away, func(a Away) bool {
		for _, back := range t.Back {
			if back == a.ID {
				return false
			}
		}
		return true
	})
	g.Away = append(g.Away, t.Away...)
	g.Owed = kept(g.Owed, func(o Owed) bool {
		for _, other := range t.Owed {
			if other.ID == o.ID {
				return false
			}
		}
		return true
	})
	g.Owed = append(g.Owed, t.Owed...)
	return g
}

// try returns the programme as it would be, with what moves against the one as it is; both
// are worked out from this moment. Nothing is stored.
func (w *Worker) try(ctx context.Context, of id.Firm, t Trial) (p *Programme, err error) {
	var in Input
	err = w.in(ctx, firm.Whole(of), func(tx KeepTx) error {
		f, err := tx.Firm(ctx)
		if err != nil {
			return err
		}
		old, err := tx.Stored(ctx)
		if err != nil {
			return err
		}
		in, err = w.input(ctx, tx, f, w.book.Now(), decoded(old))
		return err
	})
	if err != nil {
		return nil, err
	}
	in.Given = t.on(in.Given)
	return Make(in)
}
