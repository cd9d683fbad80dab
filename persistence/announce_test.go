package persistence_test

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// ear keeps what it is told.
type ear struct {
	told chan diary.Change
	gaps chan struct{}
}

func (e ear) Tell(c diary.Change) { e.told <- c }
func (e ear) Gap()                { e.gaps <- struct{}{} }

// gap waits until it is told that it may have missed something.
func (e ear) gap(t *testing.T) {
	t.Helper()
	select {
	case <-e.gaps:
	case <-time.After(time.Minute):
		t.Fatal("a minute long nobody said that something may be missing")
	}
}

// until waits for the change, and returns those before it.
func (e ear) until(t *testing.T, want diary.Change) (before []diary.Change) {
	t.Helper()
	for {
		select {
		case c := <-e.told:
			if c == want {
				return before
			}
			before = append(before, c)
		case <-time.After(time.Minute):
			t.Fatalf("a minute long nobody told of %+v, but of %+v", want, before)
		}
	}
}

// listening opens the site's database as one more server, which listens.
func listening(t *testing.T, s *dbtest.Site) (*persistence.DB, ear) {
	t.Helper()
	db, err := persistence.Open(t.Context(), s.Database.URL(migrations.Server))
	if err != nil {
		t.Fatal(err)
	}
	e := ear{make(chan diary.Change, 10_000), make(chan struct{}, 100)}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() {
		db.Listen(ctx, slog.New(slog.DiscardHandler), e)
		close(ended)
	}()
	t.Cleanup(func() { stop(); <-ended; db.Close() })
	e.gap(t) // it begins with one
	return db, e
}

// newest is the newest entry of a room's job.
func newest(t *testing.T, s *dbtest.Site, r *standing.Standing) diary.Change {
	t.Helper()
	last, err := s.Diary.Last(t.Context(), s.Owner)
	if err != nil {
		t.Fatal(err)
	}
	return diary.Change{Firm: s.Owner.Firm, Job: r.Record.Job, Room: r.Record.ID, Seq: last[r.Record.Job]}
}

func snag(t *testing.T, s *dbtest.Site, r *standing.Standing, says string) {
	t.Helper()
	if _, err := s.Stage.NoteSnag(t.Context(), s.Foreman, r.Record.ID, room.Snag{ID: id.New[id.Snag](), Says: says,
		Trade: words.Decorator}); err != nil {
		t.Fatal(err)
	}
}

// Two servers on one database both hear what either of them commits, and of
// what is taken back neither hears.
func TestEveryServerHearsWhatIsCommitted(t *testing.T) {
	s := dbtest.New(t)
	s.DB.Announce(slog.New(slog.DiscardHandler))
	r := s.Utility(t, "D1")
	other, first := listening(t, s)
	other.Announce(slog.New(slog.DiscardHandler))
	_, second := listening(t, s)
	wrong := errors.New("wrong")
	// An entry that does not go on from the last is refused together with the commit.
	if err := s.DB.WithTx(t.Context(), s.Owner, func(tx *persistence.Tx) error {
		return tx.InsertEntry(t.Context(), diary.Seal(diary.Entry{Firm: s.Owner.Firm, Job: r.Record.Job, Detail: []byte("{}"),
			At: s.Clock.Now()}, diary.Entry{Seq: 90}))
	}); fault.KindOf(err) != fault.Refused {
		t.Fatal(err)
	}
	entry := func(seq int64) func(*persistence.Tx) error {
		return func(tx *persistence.Tx) error {
			e, err := diary.New(s.Foreman, r.Record.Job, id.Room{}, "", "x", "x", struct{}{}, s.Clock.Now())
			if err != nil {
				return err
			}
			if _, err := diary.Append(t.Context(), tx, e); err != nil || seq > 0 {
				return err
			}
			return wrong
		}
	}
	if err := s.DB.WithTx(t.Context(), s.Owner, entry(0)); !errors.Is(err, wrong) {
		t.Fatal(err)
	}
	if err := other.WithTx(t.Context(), s.Owner, entry(1)); err != nil {
		t.Fatal(err)
	}
	job := newest(t, s, r)
	job.Room = id.Room{}
	snag(t, s, r, "Scratch on the sill")
	last := newest(t, s, r)
	for _, e := range []ear{first, second} {
		heard := append(e.until(t, last), last)
		if len(heard) == 1 { // two connections announced: the order is theirs
			heard = append(heard, job)
			e.until(t, job)
		}
		for _, c := range heard {
			if c.Seq == 0 || c.Seq > 90 || c.Firm != s.Owner.Firm || c.Job != r.Record.Job {
				t.Errorf("heard of %+v", c)
			}
		}
	}
}

// Of a burst the newest entry of every room is told, whatever goes together.
func TestABurstIsToldTogether(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	_, e := listening(t, s)
	s.DB.Announce(slog.New(slog.DiscardHandler))
	for i := range 40 {
		snag(t, s, r, fmt.Sprintf("Scratch %d", i))
	}
	t.Logf("40 commits were told of in %d changes", 1+len(e.until(t, newest(t, s, r))))
}

// What waits to be announced on closing is announced.
func TestCloseAnnouncesTheRest(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	_, e := listening(t, s)
	s.DB.Announce(slog.New(slog.DiscardHandler))
	for i := range 3 {
		snag(t, s, r, fmt.Sprintf("Scratch %d", i))
	}
	want := newest(t, s, r)
	s.DB.Close()
	e.until(t, want)
}

// A connection that the database cuts is made anew: who listens is told of the
// gap, and hears what comes after it.
func TestConnectionsAreMadeAnew(t *testing.T) {
	s := dbtest.New(t)
	s.DB.Announce(slog.New(slog.DiscardHandler))
	r := s.Utility(t, "D1")
	_, e := listening(t, s)
	snag(t, s, r, "Scratch on the sill")
	e.until(t, newest(t, s, r))
	root, err := pgx.Connect(t.Context(), s.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close(context.WithoutCancel(t.Context()))
	var cut int
	if err := root.QueryRow(t.Context(), `select count(pg_terminate_backend(pid)) from pg_stat_activity
		where datname = current_database() and application_name in ('lathmark listening',
		'lathmark announcing')`).Scan(&cut); err != nil || cut != 2 {
		t.Fatalf("%d connections were cut: %v", cut, err)
	}
	e.gap(t)
	snag(t, s, r, "Scratch on the door")
	e.until(t, newest(t, s, r))
}

// Anybody who can reach the database can send: nonsense is passed over.
func TestNonsenseIsPassedOver(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	_, e := listening(t, s)
	conn := connect(t, s, migrations.Server)
	for _, payload := range []string{"", "x", "- - - -", "a b c 1\n", s.Owner.Firm.String() + " x - 1",
		s.Owner.Firm.String() + " - x 1", s.Owner.Firm.String() + " - - x"} {
		if _, err := conn.Exec(t.Context(), "select pg_notify('lathmark_change', $1)", payload); err != nil {
			t.Fatal(err)
		}
	}
	s.DB.Announce(slog.New(slog.DiscardHandler))
	snag(t, s, r, "Scratch on the sill")
	if before := e.until(t, newest(t, s, r)); len(before) > 0 {
		t.Errorf("nonsense was told: %+v", before)
	}
}

// However much is written while nothing can be announced, what waits is
// bounded, and each payload is as short as the database wants it.
func TestWhatWaitsIsBounded(t *testing.T) {
	one, two := firm.Person{Firm: id.New[id.Firm]()}, firm.Person{Firm: id.New[id.Firm]()}
	var all []diary.Change
	for range 5000 {
		for _, of := range []firm.Person{one, two} {
			all = append(all, diary.Change{Firm: of.Firm, Job: id.New[id.Job](), Room: id.New[id.Room](), Seq: 1 << 62})
		}
	}
	waiting := persistence.Waiting(all)
	if len(waiting) > 1002 {
		t.Errorf("%d changes wait", len(waiting))
	}
	for _, of := range []firm.Person{one, two} {
		found := false
		for _, c := range waiting {
			found = found || c.Firm == of.Firm && c.Job.IsZero()
		}
		if !found {
			t.Error("a firm is not told of what had no place")
		}
	}
	read := 0
	for _, p := range persistence.Payloads(waiting) {
		if len(p) >= 8000 {
			t.Errorf("a payload of %d bytes", len(p))
		}
		read += strings.Count(p, "\n")
	}
	if read != len(waiting) {
		t.Errorf("%d of %d changes are in the payloads", read, len(waiting))
	}
}
