package server_test

import (
	"context"
	"net/http"
	"strings"
	"testing"

	"lathmark/domain/firm"
	"lathmark/persistence/localpg"
	"lathmark/server"

	"github.com/jackc/pgx/v5"
)

// administer runs statements above all rules, each by itself.
func (w *world) administer(t testing.TB, statements ...string) {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), w.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	for _, sql := range statements {
		if _, err := conn.Exec(t.Context(), sql); err != nil {
			t.Fatalf("%s: %v", sql, err)
		}
	}
}

// disconnect ends all connections but the one that asks for it.
const disconnect = `select pg_terminate_backend(pid, 10000) from pg_stat_activity
	where datname = current_database() and pid <> pg_backend_pid()`

// lose has the server find no database, whatever it asks, and returns how to have it
// back.
func (w *world) lose(t testing.TB) (back func()) {
	t.Helper()
	config, err := pgx.ParseConfig(w.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	config.Database = "postgres"
	conn, err := pgx.ConnectConfig(t.Context(), config)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close(context.Background()) })
	allow := func(yes string) {
		t.Helper()
		for _, sql := range []string{"alter database " + w.Database.Name + " allow_connections " + yes,
			strings.Replace(disconnect, "current_database()", "'"+w.Database.Name+"'", 1)} {
			if _, err := conn.Exec(t.Context(), sql); err != nil {
				t.Fatal(err)
			}
		}
	}
	allow("false")
	return func() { allow("true") }
}

// onlyRead has the database take no writes.
func (w *world) onlyRead(t testing.TB, only string) {
	t.Helper()
	w.administer(t, "set default_transaction_read_only = off",
		"alter database "+w.Database.Name+" set default_transaction_read_only = "+only, disconnect)
	w.reconnect(t)
}

// reconnect has the server find out which of its connections are gone.
func (w *world) reconnect(t testing.TB) {
	t.Helper()
	for range 100 {
		if w.as(t, firm.Person{}).do(http.MethodGet, "/progress/"+strings.Repeat("A", 64),
			nil).StatusCode == http.StatusNotFound {
			return
		}
	}
	t.Fatal("the server does not find its database again")
}

// everyRoute calls do for each route of pages and API as somebody of the subject asks for it.
func everyRoute(t *testing.T, w *world, of column, do func(route string, r reply)) {
	t.Helper()
	for _, route := range routes(w) {
		method, path, _ := strings.Cut(route, " ")
		form := fields("name", "14 Kiln Lane")
		if method == http.MethodGet {
			form = nil
		}
		do(route, of.do(method, strings.TrimSuffix(of.path(t, path), "*"), form))
	}
	for _, r := range server.Routes(w.Handler) {
		if strings.HasPrefix(r.Path, server.APIPrefix) && !strings.Contains(r.Path, "*") &&
			r.Method != "echo_route_not_found" {
			do(r.Method+" "+r.Path, of.do(r.Method, parameter.ReplaceAllString(r.Path, of.ids["room"]), nil))
		}
	}
}

// needNone are the routes that need no database: of the program's own files, and those
// that lead to another side which there is none of here.
var needNone = []string{"GET /healthz", "GET /readyz", "GET /static/*", "GET /worker.js", "GET /manifest.webmanifest",
	"GET /robots.txt", "GET /.well-known/*"}

// A database that is lost is told as what it is, on every page and by every answer, and
// what was typed is kept.
func TestLostDatabase(t *testing.T) {
	w := newWorld(t)
	of := column{"foreman", w.Foreman, w.as(t, w.Foreman), newSubject(t, w, "14 Orchard Row")}
	back := w.lose(t)
	n := 0
	everyRoute(t, w, of, func(route string, r reply) {
		if strings.Contains(strings.Join(needNone, "\n"), route) {
			return
		}
		n++
		if r.StatusCode != http.StatusServiceUnavailable || r.Header.Get("Retry-After") == "" {
			t.Errorf("%s answers %d, again in %q", route, r.StatusCode, r.Header.Get("Retry-After"))
		}
		_, path, _ := strings.Cut(route, " ")
		switch {
		case strings.HasPrefix(path, server.APIPrefix):
			if got := r.Header.Get("Content-Type"); got != "application/problem+json" {
				t.Errorf("%s answers with %s", route, got)
			}
		case strings.HasPrefix(route, "POST") && strings.HasPrefix(r.Header.Get("Content-Type"), "text/html"):
			has(t, r.body, "The records cannot be reached just now.", `name="name" value="14 Kiln Lane"`, "Send it again")
		}
	})
	if n < 100 {
		t.Errorf("%d routes were asked", n)
	}
	back()
	w.reconnect(t)
	of.get(of.path(t, "/rooms/:room"))
}

// While nothing can be written, nothing breaks: people read, and are told what is the
// matter when they write.
func TestReadOnlyDatabase(t *testing.T) {
	w := newWorld(t)
	of := column{"owner", w.Owner, w.as(t, w.Owner), newSubject(t, w, "14 Orchard Row")}
	w.onlyRead(t, "on")
	defer w.onlyRead(t, "off")
	w.Clock.Pass(6 * 60e9) // the session's use would be noted
	refused := 0
	everyRoute(t, w, of, func(route string, r reply) {
		switch {
		case r.StatusCode == http.StatusServiceUnavailable && r.Header.Get("Retry-After") != "" && r.Header.Get("ETag") == "":
			refused++
		case r.StatusCode >= http.StatusInternalServerError:
			t.Errorf("%s answers %d: %s", route, r.StatusCode, textOf(r.body))
		}
		if strings.HasPrefix(route, "GET") && r.StatusCode == http.StatusServiceUnavailable {
			t.Errorf("%s reads, and answers %d", route, r.StatusCode)
		}
	})
	if refused < 10 {
		t.Errorf("%d routes say that nothing can be written", refused)
	}
	r := of.do(http.MethodPost, "/jobs/new", fields("name", "14 Kiln Lane"))
	has(t, r.body, "nothing can be written", `value="14 Kiln Lane"`)
	again := formOn(t, r.body)
	w.onlyRead(t, "off")
	of.do(http.MethodPost, "/jobs/new", again)
	if n := strings.Count(of.get("/"), "14 Kiln Lane"); n == 0 {
		t.Error("what was sent again is not on record")
	}
}

// formOn returns what the form of a page that says so sends again.
func formOn(t *testing.T, page string) (form map[string][]string) {
	t.Helper()
	form = map[string][]string{}
	for _, part := range strings.Split(page, `<input type="hidden" name="`)[1:] {
		name, rest, _ := strings.Cut(part, `" value="`)
		value, _, _ := strings.Cut(rest, `"`)
		form[name] = append(form[name], value)
	}
	return form
}

// What a phone sends while nothing can be written is neither taken nor refused, and taken
// once when it is sent again.
func TestPhonesKeepWhatCannotBeWritten(t *testing.T) {
	s := newShell(t)
	one, two := s.reading(0, "south wall", "600"), s.reading(0, "west wall", "500")
	v := s.as(t, s.Electrician)
	s.onlyRead(t, "on")
	for range 2 {
		if r, got := s.sendAs(v, s.Electrician, one, two); r.StatusCode != http.StatusServiceUnavailable || len(got) > 0 {
			t.Errorf("%d %v: %s", r.StatusCode, got, r.body)
		}
	}
	s.onlyRead(t, "off")
	s.sent(s.Electrician, "kept kept", one, two)
	s.sent(s.Electrician, "kept kept", one, two)
	if n := len(s.read(t, s.room.Room).Record.Measurements); n != 2 {
		t.Errorf("%d readings, want 2", n)
	}
}
