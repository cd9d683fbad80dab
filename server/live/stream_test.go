package live

import (
	"bufio"
	"cmp"
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
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
	"lathmark/persistence/pgtest"
	"lathmark/server/auth"

	"github.com/jackc/pgx/v5"
	"github.com/labstack/echo/v4"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

// station is a server that has only streams.
type station struct {
	*dbtest.Site
	*Hub
	streams *Streams
	at      *httptest.Server
}

// on returns a station of the site that is told what any server commits.
func on(t *testing.T, s *dbtest.Site) *station {
	t.Helper()
	db, err := persistence.Open(t.Context(), s.Database.URL(migrations.Server))
	if err != nil {
		t.Fatal(err)
	}
	quiet := slog.New(slog.DiscardHandler)
	db.Announce(quiet)
	all := persistence.NewServices(db, s.Clock.Now)
	st := &station{Site: &dbtest.Site{Services: all, DB: db, Database: s.Database, Clock: s.Clock,
		People: s.People}, Hub: NewHub()}
	sessions := auth.NewSessions(all.Firm, false)
	st.streams = NewStreams(st.Hub, all.Diary, sessions)
	e := echo.New()
	e.HTTPErrorHandler = func(err error, c echo.Context) {
		status := map[fault.Kind]int{fault.BadInput: 400, fault.NotFound: 404, fault.Refused: 403}[fault.KindOf(err)]
		_ = c.NoContent(cmp.Or(status, 500)) // the page is gone
	}
	e.GET("/live", st.streams.Listen, sessions.Read, auth.Need)
	st.at = httptest.NewServer(e)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan struct{})
	first := make(chan struct{}, 100)
	go func() {
		db.Listen(ctx, quiet, gapped{st.Hub, first})
		close(ended)
	}()
	<-first
	t.Cleanup(func() {
		stop()
		<-ended
		st.Close()
		st.at.Close()
		db.Close()
	})
	return st
}

// gapped lets a test wait until the station listens.
type gapped struct {
	*Hub
	gaps chan struct{}
}

func (g gapped) Gap() {
	g.Hub.Gap()
	g.gaps <- struct{}{}
}

// listener is an open page.
type listener struct {
	t      *testing.T
	events chan event
	cookie string
	hang   context.CancelFunc
}

// event is what a page is told; "here" stands for the sign that the stream is
// alive.
type event struct {
	name string
	Job  id.Job
	Room id.Room
	Seq  int64
}

// open lets somebody's page listen and returns it, or the status that refused
// it.
func (st *station) open(t *testing.T, p firm.Person, query string) (*listener, int) {
	t.Helper()
	_, session, err := st.Firm.StartSession(t.Context(), p.Firm, p.ID)
	if err != nil {
		t.Fatal(err)
	}
	ctx, hang := context.WithCancel(t.Context())
	t.Cleanup(hang)
	r, err := http.NewRequestWithContext(ctx, http.MethodGet, st.at.URL+"/live?"+query, nil)
	if err != nil {
		t.Fatal(err)
	}
	r.AddCookie(&http.Cookie{Name: "lathmark", Value: session})
	answer, err := st.at.Client().Do(r)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = answer.Body.Close() })
	if answer.StatusCode != http.StatusOK {
		return nil, answer.StatusCode
	}
	if got := answer.Header.Get("Content-Type"); got != "text/event-stream; charset=utf-8" ||
		answer.Header.Get("X-Accel-Buffering") != "no" {
		t.Errorf("the stream is %q and may be held up on its way", got)
	}
	l := &listener{t, make(chan event, 1000), session, hang}
	go func() {
		defer close(l.events)
		l.scan(bufio.NewScanner(answer.Body))
	}()
	return l, http.StatusOK
}

func (l *listener) scan(in *bufio.Scanner) {
	var e event
	for in.Scan() {
		name, value, _ := strings.Cut(in.Text(), ":")
		switch value = strings.TrimSpace(value); name {
		case "":
			if value == "here" {
				e.name = value
			}
			if e.name != "" {
				l.events <- e
			}
			e = event{}
		case "event":
			e.name = value
		case "data":
			if value != "" {
				if err := json.Unmarshal([]byte(value), &e); err != nil {
					l.t.Error(err)
				}
			}
		}
	}
}

// next returns the next thing that the page is told, except signs of life.
func (l *listener) next() event {
	l.t.Helper()
	for {
		if e := l.any(); e.name != "here" {
			return e
		}
	}
}

// any returns the next thing that comes, or the zero event at the end.
func (l *listener) any() event {
	l.t.Helper()
	select {
	case e := <-l.events:
		return e
	case <-time.After(time.Minute):
		l.t.Fatal("a minute long the page was told nothing")
		return event{}
	}
}

func (l *listener) wants(job id.Job, of id.Room, seq int64) {
	l.t.Helper()
	if got, want := l.next(), (event{"change", job, of, seq}); got != want {
		l.t.Errorf("the page was told of %+v, want %+v", got, want)
	}
}

func (st *station) seq(t *testing.T, r *standing.Standing) int64 {
	t.Helper()
	last, err := st.Diary.Last(t.Context(), st.Owner)
	if err != nil {
		t.Fatal(err)
	}
	return last[r.Record.Job]
}

func (st *station) snag(t *testing.T, r *standing.Standing) int64 {
	t.Helper()
	if _, err := st.Desk.Do(t.Context(), st.Foreman, r.Record.ID,
		deed.NoteSnag{Snag: room.Snag{ID: id.New[id.Snag](), Says: "Scratch",
			Trade: words.Decorator}}); err != nil {
		t.Fatal(err)
	}
	return st.seq(t, r)
}

func mustOpen(t *testing.T, st *station, p firm.Person, query string, args ...any) *listener {
	t.Helper()
	l, status := st.open(t, p, fmt.Sprintf(query, args...))
	if l == nil {
		t.Fatalf("the stream answers %d", status)
	}
	return l
}

// A page is told first of what it missed, then of what comes, through whichever
// server; a page about another room is not.
func TestPagesAreToldOfWhatConcernsThem(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	hall, err := s.Desk.Create(t.Context(), s.Foreman, room.Draft{Job: r.Record.Job, Name: "Hall", Height: 2400,
		Outline: r.Record.Outline})
	if err != nil {
		t.Fatal(err)
	}
	one, two := on(t, s), on(t, s)
	job, utility, other := r.Record.Job, r.Record.ID, hall.Record.ID
	had := one.seq(t, r)
	seq := one.snag(t, r)
	room := mustOpen(t, one, s.Electrician, "job=%s.%d&room=%s", job, had, utility)
	room.wants(job, utility, seq)
	away := mustOpen(t, two, s.Electrician, "job=%s.%d&room=%s", job, had, other)
	whole := mustOpen(t, two, s.Electrician, "job=%s.%d", job, seq)
	all := mustOpen(t, one, s.Foreman, "all=yes&job=%s.%d", job, seq)
	nothing := mustOpen(t, two, s.Foreman, "")
	nothing.wants(job, id.Room{}, seq)
	seq = one.snag(t, r)
	room.wants(job, utility, seq)
	whole.wants(job, utility, seq)
	all.wants(job, id.Room{}, seq)
	nothing.wants(job, id.Room{}, seq)
	if _, err := two.Job.ClientLink(t.Context(), s.Foreman, job); err != nil { // about the whole job
		t.Fatal(err)
	}
	seq++
	for _, l := range []*listener{room, whole, all, nothing, away} {
		l.wants(job, id.Room{}, seq)
	}
}

// What happens while the listening connection is cut arrives once it is back.
func TestWhatWasMissedComesLater(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	st := on(t, s)
	l := mustOpen(t, st, s.Electrician, "job=%s.%d", r.Record.Job, st.seq(t, r))
	if e := l.any(); e.name != "here" {
		t.Fatalf("nothing was new, and the page was told of %+v", e)
	}
	root, err := pgx.Connect(t.Context(), s.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close(context.WithoutCancel(t.Context()))
	var cut int
	if err := root.QueryRow(t.Context(), `select count(pg_terminate_backend(pid)) from pg_stat_activity
		where datname = current_database() and application_name = 'lathmark listening'`).Scan(&cut); err != nil || cut != 1 {
		t.Fatalf("%d connections were cut: %v", cut, err)
	}
	l.wants(r.Record.Job, r.Record.ID, st.snag(t, r))
}

// People of another firm are told nothing, whatever job they ask for.
func TestAnotherFirmIsToldNothing(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	st := on(t, s)
	other := s.Found(t, "Elsewhere & Sons")
	for _, query := range []string{fmt.Sprintf("job=%s.0", r.Record.Job), fmt.Sprintf("job=%s.0&room=%s", r.Record.Job,
		r.Record.ID), fmt.Sprintf("all=yes&job=%s.0", r.Record.Job)} {
		ours, theirs := mustOpen(t, st, s.Electrician, "%s", query), mustOpen(t, st, other, "%s", query)
		if e := ours.next(); e.name != "change" {
			t.Fatalf("we are told of %+v", e)
		}
		seq := st.snag(t, r)
		for ours.next().Seq != seq {
			continue
		}
		st.Gap() // makes both look once more
		for range 2 {
			if e := theirs.any(); e.name != "here" {
				t.Errorf("another firm is told of %+v", e)
			}
		}
		ours.hang()
		theirs.hang()
	}
}

// A stream ends with the session, and with its person's membership.
func TestStreamsEndWithTheSession(t *testing.T) {
	s := dbtest.New(t)
	st := on(t, s)
	out, gone := mustOpen(t, st, s.Foreman, ""), mustOpen(t, st, s.Electrician, "")
	if err := s.Firm.EndSession(t.Context(), out.cookie); err != nil {
		t.Fatal(err)
	}
	if err := s.Firm.EndMember(t.Context(), s.Owner, s.Electrician.ID); err != nil {
		t.Fatal(err)
	}
	st.Gap()
	for _, l := range []*listener{out, gone} {
		if e := l.next(); e.name != "over" {
			t.Errorf("the page is told of %+v", e)
		}
		if e := l.next(); e != (event{}) {
			t.Errorf("the stream goes on with %+v", e)
		}
	}
}

// A stream ends as soon as its person may not have it any more, whatever it is that was
// taken, through whichever server, and at the database's own prompt.
func TestStreamsEndAtOnce(t *testing.T) {
	s := dbtest.New(t)
	here, there := on(t, s), on(t, s)
	r, other := s.Utility(t, "D1"), s.Utility(t)
	ctx, job := t.Context(), r.Record.Job
	prompt, err := pgx.Connect(ctx, s.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer prompt.Close(context.WithoutCancel(ctx))
	at := func(sql string, args ...any) error {
		_, err := prompt.Exec(ctx, sql, args...)
		return err
	}
	own := func(p firm.Person) firm.Session {
		all, err := s.Firm.Sessions(ctx, p)
		if err != nil || len(all) == 0 {
			t.Fatalf("%d sessions: %v", len(all), err)
		}
		return all[0]
	}
	for what, take := range map[string]func(p firm.Person, l *listener) error{
		"they are let go": func(p firm.Person, _ *listener) error { return there.Firm.EndMember(ctx, s.Owner, p.ID) },
		"they go out":     func(_ firm.Person, l *listener) error { return there.Firm.EndSession(ctx, l.cookie) },
		"one session is ended": func(p firm.Person, _ *listener) error {
			return there.Firm.EndOwnSession(ctx, p, own(p).ID)
		},
		"all ways in are ended": func(p firm.Person, _ *listener) error { return there.Firm.EndAccess(ctx, s.Owner, p.ID) },
		"they get another part": func(p firm.Person, _ *listener) error {
			return at("update member set role = 'foreman', trade = null, every_job = false where id = $1", p.ID)
		},
		"they are taken off the job": func(p firm.Person, _ *listener) error {
			return there.Firm.RemoveFromJob(ctx, s.Foreman,
				p.ID, job)
		},
		"their session is deleted at the prompt": func(p firm.Person, _ *listener) error {
			return at("delete from session where member_id = $1", p.ID)
		},
		"they are let go at the prompt": func(p firm.Person, _ *listener) error {
			return at("update member set left_at = now() where id = $1", p.ID)
		},
		"sessions last shorter": func(firm.Person, *listener) error {
			s.Clock.Pass(20 * time.Minute)
			return there.Firm.Settle(ctx, s.Owner, firm.Limits{Idle: 15 * time.Minute, Absolute: time.Hour}, "UTC", firm.OfNobody)
		},
	} {
		p := s.AddTo(t, "Ned, of whom "+what, firm.Trade, words.Plumber, job, other.Record.Job)
		l := mustOpen(t, here, p, "job=%s.%d&room=%s", job, here.seq(t, r), r.Record.ID)
		if e := l.any(); e.name != "here" {
			t.Fatalf("%s: at first it is told of %+v", what, e)
		}
		if err := take(p, l); err != nil {
			t.Fatalf("%s: %v", what, err)
		}
		if e := l.next(); e.name != "over" {
			t.Errorf("%s, and the page is told of %+v", what, e)
		}
		if err := there.Firm.Settle(ctx, s.Owner, firm.DefaultLimits, "UTC", firm.OfNobody); err != nil {
			t.Fatal(err)
		}
	}
	// Whoever has another job goes on hearing of that, and that the first is not theirs.
	p := s.AddTo(t, "Ned Varley", firm.Trade, words.Plumber, job, other.Record.Job)
	seq := here.seq(t, r)
	all := mustOpen(t, here, p, "all=yes&job=%s.%d&job=%s.%d", job, seq, other.Record.Job, here.seq(t, other))
	if e := all.any(); e.name != "here" {
		t.Fatalf("at first it is told of %+v", e)
	}
	if err := there.Firm.RemoveFromJob(ctx, s.Foreman, p.ID, job); err != nil {
		t.Fatal(err)
	}
	all.wants(job, id.Room{}, seq+1)
	all.wants(other.Record.Job, id.Room{}, here.snag(t, other))
}

func TestStreamsThatAreRefused(t *testing.T) {
	s := dbtest.New(t)
	st := on(t, s)
	client := s.Add(t, "Cleo Venn", firm.Client, "")
	for query, want := range map[string]int{"job=x.1": 400, "job=" + id.New[id.Job]().String(): 400,
		"job=" + id.New[id.Job]().String() + ".-1":       400,
		"job=" + id.New[id.Job]().String() + ".1&room=x": 400, strings.Repeat("job="+id.New[id.Job]().String()+".1&",
			101): 400} {
		if _, got := st.open(t, s.Foreman, query); got != want {
			t.Errorf("%.60s answers %d", query, got)
		}
	}
	if _, got := st.open(t, client, ""); got != http.StatusForbidden {
		t.Errorf("a client's stream answers %d", got)
	}
	for range MostPerPerson {
		mustOpen(t, st, s.Foreman, "")
	}
	if _, got := st.open(t, s.Foreman, ""); got != http.StatusTooManyRequests {
		t.Errorf("one too many answers %d", got)
	}
	last := mustOpen(t, st, s.Electrician, "")
	st.Close()
	for last.any().name != "" {
		continue
	}
	if _, got := st.open(t, s.Electrician, ""); got != http.StatusServiceUnavailable {
		t.Errorf("a server that stops answers %d", got)
	}
}

// A page that missed too much to go through is told of the job.
func TestAfterALongTimeTheJobIsNamed(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	st := on(t, s)
	had := st.seq(t, r)
	var entries []diary.Entry
	for range diary.Page + 1 {
		e, err := diary.New(s.Foreman, r.Record.Job, r.Record.ID, "", "x", "x", struct{}{}, s.Clock.Now())
		if err != nil {
			t.Fatal(err)
		}
		entries = append(entries, e)
	}
	if err := s.DB.WithTx(t.Context(), s.Foreman, func(tx *persistence.Tx) error {
		_, err := diary.Append(t.Context(), tx, entries...)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	l := mustOpen(t, st, s.Foreman, "job=%s.%d&room=%s", r.Record.Job, had, r.Record.ID)
	l.wants(r.Record.Job, id.Room{}, had+diary.Page+1)
	l.wants(r.Record.Job, r.Record.ID, st.snag(t, r))
}

// pipes is a listener whose connections buffer nothing: what is written waits
// until it is read.
type pipes struct {
	net.Listener
	ends chan net.Conn
}

func (p pipes) Accept() (net.Conn, error) {
	c, ok := <-p.ends
	if !ok {
		return nil, net.ErrClosed
	}
	return c, nil
}

// A phone that died does not read: its stream ends and its subscription is
// removed.
func TestWhoDoesNotReadIsDropped(t *testing.T) {
	s := dbtest.New(t)
	hub, sessions := NewHub(), auth.NewSessions(s.Firm, false)
	streams := NewStreams(hub, s.Diary, sessions)
	streams.writeTimeout = time.Millisecond
	e := echo.New()
	ended := make(chan error, 1)
	e.GET("/live", func(c echo.Context) error {
		err := streams.Listen(c)
		ended <- err
		return err
	}, sessions.Read, auth.Need)
	plain, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ends := make(chan net.Conn, 1)
	at := &http.Server{Handler: e, ReadHeaderTimeout: time.Minute}
	go func() { _ = at.Serve(pipes{plain, ends}) }() // it ends with Close
	t.Cleanup(func() { close(ends); _ = at.Close() })
	_, session, err := s.Firm.StartSession(t.Context(), s.Owner.Firm, s.Foreman.ID)
	if err != nil {
		t.Fatal(err)
	}
	phone, server := net.Pipe()
	defer phone.Close()
	ends <- server
	if _, err := fmt.Fprintf(phone, "GET /live HTTP/1.1\r\nHost: x\r\nCookie: lathmark=%s\r\n\r\n", session); err != nil {
		t.Fatal(err)
	}
	select {
	case err := <-ended:
		if err != nil || hub.Open() != 0 {
			t.Errorf("the stream ended with %v, %d seats are taken", err, hub.Open())
		}
	case <-time.After(time.Minute):
		t.Fatal("a minute long the server waited for somebody who does not read")
	}
}

// The jobs' page hears that a job was closed, which is then on it no more, and
// that it was opened again; the job's own page hears of both.
func TestPagesAreToldThatAJobEnds(t *testing.T) {
	s := dbtest.New(t)
	st, r, other := on(t, s), s.Utility(t, "D1"), s.Utility(t)
	job, seq := r.Record.Job, st.seq(t, r)
	own := mustOpen(t, st, s.Electrician, "job=%s.%d", job, seq)
	both := "all=yes&job=%s.%d&job=" + fmt.Sprintf("%s.%d", other.Record.Job, st.seq(t, other))
	all := mustOpen(t, st, s.Foreman, both, job, seq)
	if _, err := st.Job.Close(t.Context(), s.Foreman, job, true); err != nil {
		t.Fatal(err)
	}
	seq++
	own.wants(job, id.Room{}, seq)
	all.wants(job, id.Room{}, seq)
	late := mustOpen(t, st, s.Foreman, both, job, seq-1) // drawn before, and looked at again
	late.wants(job, id.Room{}, seq)
	if _, err := st.Job.Reopen(t.Context(), s.Foreman, job); err != nil {
		t.Fatal(err)
	}
	seq++
	for _, l := range []*listener{own, all} {
		l.wants(job, id.Room{}, seq)
	}
}
