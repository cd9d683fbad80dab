package deed

import (
	"cmp"
	"context"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Desk takes deeds. Every change of a room goes through it, so that all are
// judged the same way; and it reads rooms.
type Desk struct {
	*standing.Book
	in, look InTx
	past     bool
}

// NewDesk makes a desk. in runs transactions that write, in which every read
// sees what was committed before it; look those that only read, in which all
// reads see the same moment; read is where rooms are read. What is written is of
// the store's time; where past is set, of the book's, as for a demo's history.
func NewDesk(in, look InTx, read *standing.Book, past bool) *Desk { return &Desk{read, in, look, past} }

// Look runs do in a transaction that only reads and sees what by may see.
func (k *Desk) Look(ctx context.Context, by firm.Person, do func(Tx) error) error {
	return k.look(ctx, by, do)
}

// Do does a deed in a room and returns the room as it is afterwards. Everything
// happens or nothing. Who may is in Kinds. Faults: Refused; NotFound; those of the
// deed; BadInput where the room would not be one; Obstacle where a signed stage
// would no longer be one that can be signed, and where the job is closed.
func (k *Desk) Do(ctx context.Context, by firm.Person, of id.Room, d Deed) (*standing.Standing, error) {
	if err := Kinds[KindOf(d)].May(by); err != nil {
		return nil, err
	}
	return k.write(ctx, by, of, func(w *Writing) error { return d.do(ctx, &Taking{Writing: w}) })
}

// On does a deed in a record that no store holds, as a phone has it without
// signal: the same rules are asked, and what is written changes the record itself.
func On(ctx context.Context, r *room.Record, now time.Time, d Deed) error {
	w := &Writing{Record: r, Now: now, Made: now}
	return cmp.Or(d.do(ctx, &Taking{Writing: w, phone: true}), w.err)
}

// write opens a room to write to: the room is locked and read, do writes, the
// result is judged, the diary written. The caller has asked a policy.
func (k *Desk) write(ctx context.Context, by firm.Person, of id.Room,
	do func(*Writing) error) (j *standing.Standing, err error) {
	err = k.in(ctx, by, func(tx Tx) error {
		head, at, err := tx.LockRoom(ctx, of)
		if err != nil {
			return err
		}
		before, err := k.Written(ctx, tx, by.Firm, head)
		if err != nil {
			return err
		}
		if k.past {
			at = k.Now()
		}
		w := open(tx, before, by, at)
		err = cmp.Or(do(w), w.err)
		if !before.Record.JobClosed.IsZero() && (err != nil || len(w.notes) > 0) { // a repeat is answered as before
			return job.Closed(before.Record.JobName)
		}
		if err == nil {
			j, err = finish(ctx, w)
		}
		return err
	})
	return k.committed(by, j, err)
}

// committed keeps how a room stands once its transaction has been committed.
func (k *Desk) committed(by firm.Person, j *standing.Standing, err error) (*standing.Standing, error) {
	if err != nil {
		return nil, err
	}
	if j != nil {
		k.Keep(by.Firm, j)
	}
	return j, nil
}

// open opens a room to write to as it stands.
func open(tx Tx, before *standing.Standing, by firm.Person, now time.Time) *Writing {
	own := *before.Record
	return &Writing{Tx: tx, Record: &own, By: by, Now: now, Made: now, MadeBy: by.ID, before: before}
}

// finish judges what was written and writes the diary.
func finish(ctx context.Context, w *Writing) (*standing.Standing, error) {
	if len(w.notes) == 0 {
		return w.before, nil
	}
	if err := w.withdraw(ctx); err != nil {
		return nil, err
	}
	j, err := w.Standing()
	if err != nil {
		// What is queued goes out first: the database's own word, as of a name that is
		// taken, is the better one.
		if _, refused := w.Tx.Revision(ctx, w.Record.ID); refused != nil {
			err = refused
		}
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
	w.Tx.RevisionSoon(w.Record.ID, &j.Record.Revision)
	if j.Seq, err = diary.Append(ctx, w.Tx, w.notes...); err != nil {
		return nil, err
	}
	return j, nil
}

// Rooms returns the rooms of a job as one walks through the house. The people on
// site may ask. Faults: Refused, NotFound.
func (k *Desk) Rooms(ctx context.Context, by firm.Person, job id.Job) (all []room.Room, err error) {
	if err := firm.MayRead(by); err != nil {
		return nil, err
	}
	err = k.in(ctx, by, func(tx Tx) error {
		if _, err := tx.JobName(ctx, job); err != nil {
			return err
		}
		all, err = tx.RoomsOf(ctx, job)
		return err
	})
	return all, err
}

// SignOffs returns every sign-off of a room, also of stages that were opened
// again since. The people on site may ask.
func (k *Desk) SignOffs(ctx context.Context, by firm.Person, of id.Room) (all []room.SignOff, err error) {
	if err := firm.MayRead(by); err != nil {
		return nil, err
	}
	err = k.look(ctx, by, func(tx Tx) error {
		if _, err := tx.Record(ctx, of); err != nil {
			return err
		}
		all, err = tx.SignOffs(ctx, of)
		return err
	})
	return all, err
}

// Export returns a room as a room sheet, in today's states. The people on site
// may ask. Faults: Refused, NotFound.
func (k *Desk) Export(ctx context.Context, by firm.Person, of id.Room) (*roomsheet.Room, error) {
	j, err := k.Read(ctx, by, of)
	if err != nil {
		return nil, err
	}
	return j.Sheet, nil
}

// Grid returns the drafts of a spaced schedule on a surface of a room as it is,
// moved off its timbers where asked; nothing is stored. The people on site may
// ask. stuck names those that no move within half a bay clears. Faults:
// Refused, NotFound, BadInput.
func (k *Desk) Grid(ctx context.Context, by firm.Person, of id.Room, surface id.Surface, g room.Grid,
	offTimbers bool) (drafts []room.PositionDraft, stuck []string, err error) {
	j, err := k.Read(ctx, by, of)
	if err != nil {
		return nil, nil, err
	}
	on, err := j.Record.Surface(surface)
	if err != nil {
		return nil, nil, err
	}
	drafts, err = room.Spaced(on.Outline, g)
	if err != nil || !offTimbers {
		return drafts, nil, err
	}
	timbers := j.Record.TimbersOf(surface)
	drafts, stuck = room.OffTimbers(drafts, timbers)
	return drafts, stuck, nil
}
