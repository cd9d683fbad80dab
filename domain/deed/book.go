package deed

import (
	"context"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Book opens rooms to write to. All services that change a room go through it,
// so that every write is judged the same way.
type Book struct {
	*standing.Book
	in, look InTx
}

// NewBook makes a book. in runs transactions that write, in which every read
// sees what was committed before it; look those that only read, in which all
// reads see the same moment; read is where rooms are read.
func NewBook(in, look InTx, read *standing.Book) *Book { return &Book{read, in, look} }

// Look runs do in a transaction that only reads and sees what by may see.
func (b *Book) Look(ctx context.Context, by firm.Person, do func(Tx) error) error {
	return b.look(ctx, by, do)
}

// Write opens a room to write to: the policy is asked, the room locked and
// read, do writes, the result is judged, the diary written. Everything happens
// or nothing. It returns the room as it is afterwards. Faults: what may and do
// return; NotFound; BadInput where the room would not be one; Obstacle where a
// signed stage would no longer be one that can be signed, and where the job is
// closed.
func (b *Book) Write(ctx context.Context, by firm.Person, of id.Room, may firm.Policy,
	do func(*Writing) error) (*standing.Standing, error) {
	if err := may(by); err != nil {
		return nil, err
	}
	return WriteWith(ctx, b, b.in, by, of, func(_ Tx, w *Writing) error { return do(w) })
}

// committed keeps how a room stands once its transaction has been committed.
func (b *Book) committed(by firm.Person, j *standing.Standing, err error) (*standing.Standing, error) {
	if err != nil {
		return nil, err
	}
	if j != nil {
		b.Keep(by.Firm, j)
	}
	return j, nil
}

// WriteWith is Write for a service that writes more than the room, in the same
// transaction. The caller has asked a policy.
func WriteWith[T Tx](ctx context.Context, b *Book, in func(context.Context, firm.Person, func(T) error) error,
	by firm.Person, of id.Room, do func(T, *Writing) error) (j *standing.Standing, err error) {
	err = in(ctx, by, func(tx T) error {
		j, err = b.write(ctx, tx, by, of, func(w *Writing) error { return do(tx, w) })
		return err
	})
	return b.committed(by, j, err)
}

func (b *Book) write(ctx context.Context, tx Tx, by firm.Person, of id.Room,
	do func(*Writing) error) (*standing.Standing, error) {
	revision, err := tx.LockRoom(ctx, of)
	if err != nil {
		return nil, err
	}
	before, err := b.Written(ctx, tx, by.Firm, of, revision)
	if err != nil {
		return nil, err
	}
	w := b.begun(tx, before, by)
	err = do(w)
	if !before.Record.JobClosed.IsZero() && (err != nil || len(w.notes) > 0) { // a repeat is answered as before
		return nil, job.Closed(before.Record.JobName)
	}
	if err != nil {
		return nil, err
	}
	return finish(ctx, w)
}

// begun opens a room to write to as it stands.
func (b *Book) begun(tx Tx, before *standing.Standing, by firm.Person) *Writing {
	own, now := *before.Record, b.Now()
	return &Writing{Tx: tx, Store: Store{tx, &own}, Record: &own, By: by, Now: now, Made: now, MadeBy: by.ID,
		before: before}
}

// Alone opens a record to write to that no store holds, as a phone has it
// without signal: the same rules are asked, and what is written changes the
// record itself.
func Alone(r *room.Record, now time.Time) *Writing {
	return &Writing{Store: Store{nil, r}, Record: r, Now: now, Made: now}
}

// finish judges what was written and writes the diary.
func finish(ctx context.Context, w *Writing) (*standing.Standing, error) {
	if len(w.notes) == 0 {
		return w.before, nil
	}
	j, err := w.Standing()
	if err != nil {
		return nil, err
	}
	for _, s := range words.Stages {
		if w.Record.Gates[s].State != words.SignedOff {
			break
		}
		for _, o := range j.Obstacles(s) {
			if o.Hard {
				return nil, &fault.Error{Kind: fault.Obstacle, Msg: words.Capital(s.String()) +
					" is signed off, and with this it could not be: " + o.Wrong + ". Reopen it first.",
					Fields: []fault.Field{{Path: string(o.About.Kind) + "/" + o.About.ID, Wrong: o.Wrong, Mend: o.Mend}}}
			}
		}
	}
	if j.Seq, err = diary.Append(ctx, w.Tx, w.notes...); err != nil {
		return nil, err
	}
	j.Record.Revision, err = w.Tx.Revision(ctx, w.Record.ID)
	return j, err
}
