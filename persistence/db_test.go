package persistence_test

import (
	"context"
	"errors"
	"testing"

	"golang.org/x/sync/errgroup"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
)

func jobs(t *testing.T, s *dbtest.Site) int {
	t.Helper()
	all, err := s.Job.Jobs(context.Background(), s.Owner)
	if err != nil {
		t.Fatal(err)
	}
	return len(all)
}

// Whatever ends a transaction early takes back what was written, and leaves
// the connection fit for the next.
func TestWhatEndsATransactionTakesItBack(t *testing.T) {
	s := dbtest.New(t)
	insert := func(tx *persistence.Tx) error {
		return tx.InsertJob(context.Background(), job.Job{ID: id.New[id.Job](), Name: "x", CreatedAt: s.Clock.Now()})
	}
	wrong := errors.New("wrong")
	if err := s.DB.WithTx(t.Context(), s.Owner,
		func(tx *persistence.Tx) error { return errors.Join(insert(tx), wrong) }); !errors.Is(err, wrong) {
		t.Error(err)
	}
	gone, leave := context.WithCancel(t.Context())
	if err := s.DB.WithTx(gone, s.Owner, func(tx *persistence.Tx) error {
		err := insert(tx)
		leave()
		return err
	}); err == nil {
		t.Error("it was committed after its caller had gone")
	}
	func() {
		defer func() {
			if recover() == nil {
				t.Error("the panic was swallowed")
			}
		}()
		_ = s.DB.WithTx(t.Context(), s.Owner, func(tx *persistence.Tx) error { panic(insert(tx)) })
	}()
	if n := jobs(t, s); n != 0 {
		t.Errorf("%d jobs are there", n)
	}
	for range 20 { // no connection was lost on the way
		if err := s.DB.WithTx(t.Context(), s.Owner, insert); err != nil {
			t.Fatal(err)
		}
	}
	if n := jobs(t, s); n != 20 {
		t.Errorf("%d jobs are there, want 20", n)
	}
}

// The firm is set for the transaction and not for the connection.
func TestTheNextTransactionHasItsOwnFirm(t *testing.T) {
	s := dbtest.New(t)
	others := make([]firm.Person, 4)
	for i := range others {
		others[i] = s.Found(t, "Marl & Sons")
	}
	var all errgroup.Group
	for i := range 200 {
		all.Go(func() error {
			who := others[i%len(others)]
			return s.DB.WithTx(t.Context(), who, func(tx *persistence.Tx) error {
				f, err := tx.Firm(t.Context())
				if err == nil && f.ID != who.Firm {
					err = errors.New("the firm of another transaction")
				}
				members, err2 := tx.Members(t.Context())
				if len(members) != 1 || members[0].ID != who.ID {
					err2 = errors.Join(err2, errors.New("the people of another firm"))
				}
				return errors.Join(err, err2)
			})
		})
	}
	if err := all.Wait(); err != nil {
		t.Error(err)
	}
}

// What the database refuses reaches people in words of ours, its own words
// never.
func TestRefusalsAreInWords(t *testing.T) {
	s := dbtest.New(t)
	r := s.SignFirstFix(t, s.Utility(t, "D1"))
	for what, c := range map[string]struct {
		do   func(*persistence.Tx) error
		kind fault.Kind
		msg  string
	}{
		"a frozen record": {func(tx *persistence.Tx) error {
			return tx.UpdateMeasurement(t.Context(),
				r.Record.Measurements[0], 0)
		},
			fault.Obstacle, "First fix is signed off, so what it rests on is frozen. Reopen it first."},
		"a gate out of order": {func(tx *persistence.Tx) error {
			return tx.UpdateGate(t.Context(), r.Record.ID, room.Gate{Stage: words.Plaster, State: words.InHand})
		}, fault.Conflict, "The stages of a room are signed off in order."},
		"a name that is taken": {func(tx *persistence.Tx) error {
			other := r.Record.Room
			other.ID = id.New[id.Room]()
			return tx.InsertRoom(t.Context(), other)
		}, fault.Conflict, "Another room of this job has this name."},
		"an id that is taken": {func(tx *persistence.Tx) error { return tx.InsertRoom(t.Context(), r.Record.Room) },
			fault.Conflict, "Another record has this id."},
		"a value out of range": {func(tx *persistence.Tx) error {
			return tx.InsertSnag(t.Context(), r.Record.ID, room.Snag{ID: id.New[id.Snag](), NotedAt: s.Clock.Now()})
		}, fault.BadInput, "A value is out of its range."},
		"an old version": {func(tx *persistence.Tx) error { return tx.UpdateRoom(t.Context(), r.Record.Room, 7) },
			fault.Conflict, "Somebody else changed this in the meantime."},
	} {
		err := s.DB.WithTx(t.Context(), s.Owner, c.do)
		if fault.KindOf(err) != c.kind || err.Error() != c.msg {
			t.Errorf("%s: %v", what, err)
		}
	}
}

func TestTheSchemaIsTheNewest(t *testing.T) {
	s := dbtest.New(t)
	v, err := s.DB.Schema(t.Context())
	if err != nil || v.Number != migrations.Latest || v.Check() != nil {
		t.Errorf("%+v, %v", v, err)
	}
	if err := s.DB.Ping(t.Context()); err != nil {
		t.Error(err)
	}
	if _, err := persistence.Open(t.Context(), "postgres://%zz"); err == nil {
		t.Error("a URL that is none was taken")
	}
}
