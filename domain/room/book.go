package room

import (
	"context"
	"time"

	"lathmark/domain/caution"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Book opens rooms to read and to write. All services that touch a room go
// through it, so that every write is judged the same way.
type Book struct {
	in     InTx // to write
	look   InTx // to read, at one moment
	now    func() time.Time
	solved answers
}

// NewBook makes a book. in runs transactions that write, in which every read
// sees what was committed before it; look runs those that only read, in which
// all reads see the same moment, so that a room is never half one and half
// another. now is the clock.
func NewBook(in, look InTx, now func() time.Time) *Book {
	return &Book{in: in, look: look, now: func() time.Time { return now().UTC().Truncate(time.Microsecond) }}
}

// Write opens a room to write to: the policy is asked, the room locked and
// read, do writes, the result is judged, the diary written. Everything happens
// or nothing. It returns the room as it is afterwards. Faults: what may and do
// give; NotFound; BadInput where the room would not be one; Obstacle where a
// signed stage would no longer be one that can be signed.
func (b *Book) Write(ctx context.Context, by firm.Person, room id.Room, may firm.Policy,
	do func(*Writing) error) (j *Judged, err error) {
	if err := may(by); err != nil {
		return nil, err
	}
	err = b.in(ctx, by, func(tx Tx) error {
		j, err = b.WriteIn(ctx, tx, by, room, do)
		return err
	})
	return j, err
}

// WriteIn is Write inside a transaction that the caller has, for services that
// write more than the room in it. The caller has asked a policy.
func (b *Book) WriteIn(ctx context.Context, tx Tx, by firm.Person, room id.Room, do func(*Writing) error) (*Judged,
	error) {
	if err := tx.LockRoom(ctx, room); err != nil {
		return nil, err
	}
	r, err := tx.Record(ctx, room)
	if err != nil {
		return nil, err
	}
	w := b.begun(tx, r, by, b.now())
	if err := do(w); err != nil {
		return nil, err
	}
	return b.finish(ctx, w)
}

func (b *Book) begun(tx Tx, r *Record, by firm.Person, now time.Time) *Writing {
	return &Writing{Tx: tx, Record: r, By: by, Now: now, Made: now, MadeBy: by.ID, book: b}
}

// finish judges what was written and writes the diary.
func (b *Book) finish(ctx context.Context, w *Writing) (*Judged, error) {
	j, err := w.Judge(ctx)
	if err != nil {
		return nil, err
	}
	for _, s := range words.Stages {
		if w.Record.Gates[s].State != words.SignedOff {
			break
		}
		for _, o := range j.Obstacles(s) {
			if o.Hard {
				return nil, &fault.Error{Kind: fault.Obstacle,
					Msg: words.Capital(s.String()) + " is signed off, and with this it could not be: " + o.Wrong +
						". Reopen it first.", Fields: []fault.Field{{Path: string(o.About.Kind) + "/" + o.About.ID, Wrong: o.Wrong,
						Mend: o.Mend}}}
			}
		}
	}
	return j, diary.Append(ctx, w.Tx, w.notes...)
}

// Read returns a room as it is now. The people on site may ask. Faults: Refused,
// NotFound.
func (b *Book) Read(ctx context.Context, by firm.Person, room id.Room) (j *Judged, err error) {
	if err := firm.MayRead(by); err != nil {
		return nil, err
	}
	err = b.look(ctx, by, func(tx Tx) error {
		j, err = b.Open(ctx, tx, room)
		return err
	})
	return j, err
}

// Open returns a room as it is, inside a transaction and for whoever asks: the
// caller has asked a policy.
func (b *Book) Open(ctx context.Context, tx Tx, room id.Room) (*Judged, error) {
	r, err := tx.Record(ctx, room)
	if err != nil {
		return nil, err
	}
	return b.judge(r, b.now())
}

// Look runs do in a transaction that only reads and sees what by may see, for
// services that look at more than one room.
func (b *Book) Look(ctx context.Context, by firm.Person, do func(Tx) error) error {
	return b.look(ctx, by, do)
}

// Now is the moment by the book's clock.
func (b *Book) Now() time.Time { return b.now() }

func (b *Book) judge(r *Record, now time.Time) (*Judged, error) {
	sheet := r.Sheet()
	solved, err := b.solved.of(sheet)
	if err != nil {
		return nil, err
	}
	return judge(r, solved, sheet, dryAfter, now), nil
}

func dryAfter(thickness float64, finished time.Time) time.Time {
	return caution.Dry(caution.CoatOf(thickness), thickness, finished).Earliest
}
