package persistence_test

import (
	"context"
	"errors"
	"slices"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// snags is how many snags a room has.
func snags(t *testing.T, s *dbtest.Site, r *standing.Standing) int {
	t.Helper()
	now, err := s.Desk.Read(t.Context(), s.Foreman, r.Record.ID)
	if err != nil {
		t.Fatal(err)
	}
	return len(now.Record.Snags)
}

// What is queued is written as if somebody had waited for it: one thing that cannot
// be written takes back all, whether it shows before the end, at the end, or somebody
// does not look.
func TestWhatIsQueuedIsWrittenOrNothingIs(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	ctx, of := t.Context(), r.Record.ID
	snag := func(tx *persistence.Tx, says string) error {
		return tx.InsertSnag(ctx, of, room.Snag{ID: id.New[id.Snag](), Says: says, NotedAt: s.Clock.Now()})
	}
	look := func(tx *persistence.Tx) error {
		_, err := tx.Record(ctx, of)
		return err
	}
	missing := func(tx *persistence.Tx) error { return tx.DeleteTimber(ctx, id.New[id.Timber]()) }
	empty := func(tx *persistence.Tx) error { return snag(tx, "") }
	unseen := func(do func(*persistence.Tx) error) func(*persistence.Tx) error {
		return func(tx *persistence.Tx) error {
			if do(tx) == nil {
				t.Error("what was queued before did not fail what was read after it")
			}
			return nil
		}
	}
	for what, c := range map[string]struct {
		steps []func(*persistence.Tx) error
		kind  fault.Kind
	}{
		"a row that is missing, at the end":       {[]func(*persistence.Tx) error{missing}, fault.NotFound},
		"a value that is refused, at the end":     {[]func(*persistence.Tx) error{empty}, fault.BadInput},
		"a row that is missing, and then read":    {[]func(*persistence.Tx) error{missing, look}, fault.NotFound},
		"a value that is refused, and then read":  {[]func(*persistence.Tx) error{empty, look}, fault.BadInput},
		"a row that is missing, not looked at":    {[]func(*persistence.Tx) error{missing, unseen(look)}, fault.NotFound},
		"a value that is refused, not looked at":  {[]func(*persistence.Tx) error{empty, unseen(look)}, fault.BadInput},
		"a row that is missing, and a good write": {[]func(*persistence.Tx) error{look, missing, look}, fault.NotFound},
	} {
		err := s.DB.WithTx(ctx, s.Foreman, func(tx *persistence.Tx) error {
			if err := snag(tx, "x"); err != nil {
				return err
			}
			for _, step := range c.steps {
				if err := step(tx); err != nil {
					return err
				}
			}
			return nil
		})
		if fault.KindOf(err) != c.kind {
			t.Errorf("%s: %v", what, err)
		}
		if n := snags(t, s, r); n != 0 {
			t.Fatalf("%s: %d snags were written", what, n)
		}
	}
	if err := s.DB.WithTx(ctx, s.Foreman, func(tx *persistence.Tx) error { return snag(tx, "x") }); err != nil {
		t.Error(err)
	}
	if n := snags(t, s, r); n != 1 {
		t.Errorf("%d snags were written", n)
	}
}

// Where the beginning did not go out, nothing goes out after it: a statement would
// stand outside of any transaction, and ask as nobody.
func TestNothingIsAskedWithoutABeginning(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	gone, leave := context.WithCancel(t.Context())
	leave()
	err := s.DB.WithTx(t.Context(), s.Foreman, func(tx *persistence.Tx) error {
		if _, err := tx.Jobs(gone); !errors.Is(err, context.Canceled) {
			t.Errorf("the beginning ended with %v", err)
		}
		jobs, err := tx.Jobs(t.Context())
		if err == nil {
			t.Errorf("then %d jobs were found", len(jobs))
		}
		return tx.InsertSnag(t.Context(), r.Record.ID, room.Snag{ID: id.New[id.Snag](), Says: "x", NotedAt: s.Clock.Now()})
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("it ended with %v", err)
	}
	if n := snags(t, s, r); n != 0 {
		t.Errorf("%d snags were written", n)
	}
}

// A glance writes nothing, whatever is asked of it, and leaves its connection fit for
// the next; so does one that fails.
func TestAGlanceWritesNothing(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	ctx := t.Context()
	db, err := persistence.Open(ctx, s.Database.URL(migrations.Server)+"&pool_max_conns=1")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	gone, leave := context.WithCancel(ctx)
	leave()
	for what, do := range map[string]func(*persistence.Tx) error{
		"a write that is queued": func(tx *persistence.Tx) error {
			return tx.InsertSnag(ctx, r.Record.ID, room.Snag{ID: id.New[id.Snag](), Says: "x", NotedAt: s.Clock.Now()})
		},
		"a write that is not": func(tx *persistence.Tx) error { return tx.EndMember(ctx, s.Plumber.ID, s.Clock.Now()) },
		"a job": func(tx *persistence.Tx) error {
			return tx.InsertJob(ctx,
				job.Job{ID: id.New[id.Job](), Name: "x"})
		},
		"for one who has gone": func(tx *persistence.Tx) error { _, err := tx.Jobs(gone); return err },
		"a lock":               func(tx *persistence.Tx) error { _, err := tx.LockMember(ctx, s.Plumber.ID); return err },
	} {
		before := everything(t, s)
		if err := db.Glance(ctx, s.Owner, do); err == nil {
			t.Errorf("%s went through", what)
		}
		if after := everything(t, s); !slices.Equal(before, after) {
			t.Errorf("%s changed something", what)
		}
		if err := db.Glance(ctx, s.Owner, func(tx *persistence.Tx) error {
			m, err1 := tx.Member(ctx, s.Plumber.ID)
			f, err2 := tx.Firm(ctx)
			if m.Person != s.Plumber || f.ID != s.Owner.Firm || !m.LeftAt.IsZero() {
				t.Errorf("after %s: %+v, %+v", what, m, f)
			}
			return errors.Join(err1, err2)
		}); err != nil {
			t.Errorf("after %s: %v", what, err)
		}
	}
}

// A connection that breaks in a transaction is not used again.
func TestABrokenConnectionIsGivenUp(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	db, err := persistence.Open(ctx, s.Database.URL(migrations.Server)+"&pool_max_conns=1")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	root := connect(t, s, localpg.Superuser)
	err = db.WithTx(ctx, s.Owner, func(tx *persistence.Tx) error {
		var pid int
		if err := persistence.Row(ctx, tx, "select pg_backend_pid()").Scan(&pid); err != nil {
			return err
		}
		if err := tx.InsertJob(ctx, job.Job{ID: id.New[id.Job](), Name: "x", CreatedAt: s.Clock.Now()}); err != nil {
			return err
		}
		var cut bool
		return root.QueryRow(ctx, "select pg_terminate_backend($1, 60000)", pid).Scan(&cut)
	})
	if err == nil {
		t.Error("it was committed over a connection that was cut")
	}
	if err := db.WithTx(ctx, s.Owner, func(tx *persistence.Tx) error {
		all, err := tx.Jobs(ctx)
		if len(all) != 0 {
			t.Errorf("%d jobs are there", len(all))
		}
		return err
	}); err != nil {
		t.Error(err)
	}
}

// How often at most what a site does all day asks the database and waits: a room that
// is kept takes one trip less.
func TestTrips(t *testing.T) {
	s := dbtest.New(t)
	db, n := counted(t, s)
	want := map[string]int64{"session": 1, "key": 1, "read a room": 2, "correct": 3, "add a room": 7, "add a job": 3}
	for what, do := range deeds(t, s, persistence.NewServices(db, s.Clock.Now)) {
		if got := n.of(t, do); got > want[what] {
			t.Errorf("%s takes %d trips, want at most %d", what, got, want[what])
		}
	}
	var rooms []id.Room
	for _, h := range headsOf(t, s, s.Owner, room.Scope{}) {
		rooms = append(rooms, h.Room)
	}
	for what, c := range map[string]struct {
		do   func(context.Context, *persistence.Tx) error
		want int64
	}{
		"the heads of all rooms": {func(ctx context.Context, tx *persistence.Tx) error {
			_, err := tx.Heads(ctx, room.Scope{})
			return err
		}, 1},
		"the records of all rooms": {func(ctx context.Context, tx *persistence.Tx) error {
			_, err := tx.Records(ctx, rooms)
			return err
		}, 1},
		"nothing": {func(context.Context, *persistence.Tx) error { return nil }, 0},
	} {
		glance := func(ctx context.Context) error {
			return db.Glance(ctx, s.Owner, func(tx *persistence.Tx) error { return c.do(ctx, tx) })
		}
		if got := n.of(t, glance); got != c.want {
			t.Errorf("%s take %d trips, want %d", what, got, c.want)
		}
	}
	if got := n.of(t, func(ctx context.Context) error {
		return db.WithTx(ctx, s.Owner, func(*persistence.Tx) error { return nil })
	}); got != 0 {
		t.Errorf("nothing takes %d trips", got)
	}
}
