package standing

import (
	"cmp"
	"context"
	"fmt"
	"runtime/debug"
	"slices"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// Tx is what reading rooms needs of a transaction. What belongs to another firm,
// or to a job that the person may not see, is not found.
type Tx interface {
	// Heads returns the heads of the rooms in scope, as one walks through the
	// house, the newest job first.
	Heads(ctx context.Context, scope room.Scope) ([]room.Head, error)
	// Records returns everything stored of several rooms; those that are not
	// there are left out.
	Records(ctx context.Context, rooms []id.Room) ([]*room.Record, error)
	// JobName returns a job's name. Faults: NotFound.
	JobName(ctx context.Context, job id.Job) (string, error)
	// Firm returns the firm.
	Firm(ctx context.Context) (firm.Firm, error)
	// ClientLinkJob returns the job of a client's link that works. Faults: NotFound.
	ClientLinkJob(ctx context.Context, hash firm.Hash, at time.Time) (id.Job, error)
}

// InTx runs a function in one transaction of the person who asks.
type InTx = firm.In[Tx]

// Glance asks in one round trip what somebody may see, and whether it has changed.
type Glance interface {
	// Heads returns the heads of the rooms in scope, as Tx does.
	Heads(ctx context.Context, by firm.Person, scope room.Scope) ([]room.Head, error)
	// Marked returns the session that has a secret at a time, as firm.Tx does, and
	// what pages about the rooms in scope rest on for its person. Faults: NotFound
	// if there is no such session.
	Marked(ctx context.Context, of id.Firm, secret firm.Hash, at time.Time,
		scope room.Scope) (firm.Session, room.Mark, error)
}

// Book reads how rooms stand. What it worked out it keeps, by the rooms'
// revisions; which rooms somebody may see is asked of the database each time.
type Book struct {
	Glance
	look InTx
	now  func() time.Time
	kept kept
}

// NewBook makes a book. look runs transactions that only read, in which all
// reads see the same moment, so that a room is never half one and half another.
// now is the clock.
func NewBook(glance Glance, look InTx, now func() time.Time) *Book {
	b := &Book{Glance: glance, look: look, now: func() time.Time { return now().UTC().Truncate(time.Microsecond) }}
	b.kept.Most = mostWeight
	return b
}

// Now is the moment by the book's clock.
func (b *Book) Now() time.Time { return b.now() }

// Read returns a room as it stands. The people on site may ask. Faults: Refused,
// NotFound, Unreadable.
func (b *Book) Read(ctx context.Context, by firm.Person, of id.Room) (*Standing, error) {
	all, broken, err := b.AllAndBroken(ctx, by, room.Scope{Room: of})
	if err == nil && len(broken) > 0 {
		err = broken[0].Err
	}
	if err == nil && len(all) == 0 {
		err = &fault.Error{Kind: fault.NotFound, Msg: "There is no such room."}
	}
	if err != nil {
		return nil, err
	}
	return all[0], nil
}

// All returns the rooms in scope as they stand, as one walks through the house,
// the newest job first, without those whose records can't be read. The people on site
// may ask. Faults: Refused.
func (b *Book) All(ctx context.Context, by firm.Person, scope room.Scope) ([]*Standing, error) {
	all, _, err := b.AllAndBroken(ctx, by, scope)
	return all, err
}

// AllAndBroken is All, and returns the others, too.
func (b *Book) AllAndBroken(ctx context.Context, by firm.Person, scope room.Scope) ([]*Standing, []Broken, error) {
	if err := firm.MayRead(by); err != nil {
		return nil, nil, err
	}
	heads, err := b.Heads(ctx, by, scope)
	if err != nil {
		return nil, nil, err
	}
	return b.standings(by.Firm, heads, func(ids []id.Room) (records []*room.Record, err error) {
		err = b.look(ctx, by, func(tx Tx) error {
			records, err = tx.Records(ctx, ids)
			return err
		})
		return records, err
	})
}

// AllIn is All inside a transaction that reads one moment, for whoever asks: the
// caller has asked a policy.
func (b *Book) AllIn(ctx context.Context, tx Tx, of id.Firm, scope room.Scope) ([]*Standing, error) {
	heads, err := tx.Heads(ctx, scope)
	if err != nil {
		return nil, err
	}
	all, _, err := b.standings(of, heads, func(ids []id.Room) ([]*room.Record, error) { return tx.Records(ctx, ids) })
	return all, err
}

// standings are the rooms of heads; load reads those that are not kept. A room
// that was written to since its head was read is returned as it is now.
func (b *Book) standings(of id.Firm, heads []room.Head,
	load func([]id.Room) ([]*room.Record, error)) (out []*Standing, broken []Broken, err error) {
	now := b.now()
	out = make([]*Standing, len(heads))
	var missing []id.Room
	for i, h := range heads {
		if s := b.kept.of(of, h, now); s != nil {
			out[i] = s.asOf(h.Seq)
			continue
		}
		missing = append(missing, h.Room)
	}
	if len(missing) == 0 {
		return out, nil, nil
	}
	records, err := load(missing)
	if err != nil {
		return nil, nil, err
	}
	for i, h := range heads {
		r := recordOf(records, h.Room)
		if out[i] != nil || r == nil {
			continue
		}
		s, err := stored(b.kept.last(place{of, r.ID}), r, now)
		if err != nil {
			broken = append(broken, Broken{h, err})
			continue
		}
		b.Keep(of, s)
		out[i] = s.asOf(h.Seq)
	}
	// A room that was taken out since is not there.
	return slices.DeleteFunc(out, func(s *Standing) bool { return s == nil }), broken, nil
}

func recordOf(records []*room.Record, of id.Room) *room.Record {
	if i := slices.IndexFunc(records, func(r *room.Record) bool { return r.ID == of }); i >= 0 {
		return records[i]
	}
	return nil
}

// asOf is a standing as of a diary entry.
func (j *Standing) asOf(seq int64) *Standing {
	out := *j
	out.Seq = seq
	return &out
}

// Until is the first moment at which one of some rooms may stand otherwise though
// nothing was written, zero where there is none; ok reports whether all of them
// are kept, so that this is known.
func (b *Book) Until(of id.Firm, heads []room.Head) (until time.Time, ok bool) {
	for _, h := range heads {
		s := b.kept.of(of, h, b.now())
		if s == nil {
			return until, false
		}
		if !s.Until.IsZero() && (until.IsZero() || s.Until.Before(until)) {
			until = s.Until
		}
	}
	return until, true
}

// Keep keeps a standing that is committed, for whoever asks next.
func (b *Book) Keep(of id.Firm, s *Standing) { b.kept.put(place{of, s.Record.ID}, s) }

// Written returns a room that is being written to as it stands: its lock is held
// and nothing was written yet, so that its head, as Tx.LockRoom returns it, says
// whether what is kept still holds.
func (b *Book) Written(ctx context.Context, tx Tx, of id.Firm, h room.Head) (*Standing, error) {
	if s := b.kept.of(of, h, b.now()); s != nil {
		return s, nil
	}
	records, err := tx.Records(ctx, []id.Room{h.Room})
	if err != nil {
		return nil, err
	}
	if len(records) == 0 {
		return nil, room.Missing("room")
	}
	return stored(b.kept.last(place{of, h.Room}), records[0], b.now())
}

// Broken is a room whose record can't be read, and the fault that says so.
type Broken struct {
	room.Head
	Err error
}

// stored is After for a record as it is stored. Whatever is there that no program of ours
// wrote, that room cannot be read, and is in no other's way. Faults: Unreadable.
func stored(before *Standing, r *room.Record, now time.Time) (s *Standing, err error) {
	defer func() {
		if p := recover(); p != nil {
			s, err = nil, room.Unreadable("what it adds up to", fmt.Errorf("panic: %v\n%s", p, debug.Stack()))
		}
	}()
	if err := cmp.Or(r.Broken, r.Sound()); err != nil {
		return nil, err
	}
	s, err = After(before, r, now)
	if err != nil {
		err = room.Unreadable("its drawing or its readings", err)
	}
	return s, err
}
