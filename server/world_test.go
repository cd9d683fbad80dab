package server_test

import (
	"context"
	"fmt"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/url"
	"regexp"
	"strings"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/page/kit"

	"github.com/google/uuid"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

// world is a complete server over a database of its own, with a firm.
type world struct {
	*dbtest.Site
	http.Handler
}

func newWorld(t testing.TB) *world {
	t.Helper()
	return newWorldAt(t, "http://127.0.0.1:8080")
}

func newWorldAt(t testing.TB, base string) *world {
	t.Helper()
	return newWorldWith(t, base, server.Rates{})
}

func newWorldWith(t testing.TB, base string, rates server.Rates) *world {
	t.Helper()
	w := &world{Site: dbtest.New(t)}
	w.Handler = server.New(server.Deps{
		Services: kit.Services{Firm: w.Firm, Job: w.Job, Desk: w.Desk, Book: w.Book, Diary: w.Diary,
			Photo: w.Photo, Held: w.Held, Programme: w.Programme, Now: w.Clock.Now},
		SignIn:  auth.Demo{Firms: w.Firm, Firm: w.Owner.Firm},
		BaseURL: base,
		Rates:   rates,
		Log:     slog.New(slog.NewTextHandler(io.Discard, nil)),
		Ready:   func(context.Context) error { return nil },
	})
	return w
}

// visitor is one person's browser; the zero person is nobody.
type visitor struct {
	t testing.TB
	w *world
	// session is the cookie's value; empty for nobody.
	session string
}

func (w *world) as(t testing.TB, p firm.Person) visitor {
	t.Helper()
	if p.ID.IsZero() {
		return visitor{t: t, w: w}
	}
	_, session, err := w.Firm.StartSession(t.Context(), p.Firm, p.ID)
	if err != nil {
		t.Fatal(err)
	}
	return visitor{t, w, session}
}

func (v visitor) do(method, path string, form url.Values) reply {
	v.t.Helper()
	path, _, _ = strings.Cut(path, "#") // a browser does not send the fragment
	r := httptest.NewRequest(method, path, strings.NewReader(form.Encode()))
	if form != nil {
		r.Header.Set("Content-Type", "application/x-www-form-urlencoded")
	}
	if v.session != "" {
		r.AddCookie(&http.Cookie{Name: "lathmark", Value: v.session})
	}
	ctx, leave := context.WithCancel(r.Context())
	defer leave()
	w := httptest.NewRecorder()
	v.w.ServeHTTP(leaving{w, leave}, r.WithContext(ctx))
	return reply{w.Code, w.Header(), w.Body.String()}
}

// leaving is a browser that goes away after the first data of a stream.
type leaving struct {
	*httptest.ResponseRecorder
	leave func()
}

func (l leaving) Flush()                           { l.leave() }
func (l leaving) SetReadDeadline(time.Time) error  { return nil }
func (l leaving) SetWriteDeadline(time.Time) error { return nil }

// reply is what a browser gets back.
type reply struct {
	StatusCode int
	Header     http.Header
	body       string
}

// Cookies returns those that the answer sets.
func (r reply) Cookies() []*http.Cookie {
	return (&http.Response{Header: r.Header}).Cookies()
}

func read(t testing.TB, r reply) string {
	t.Helper()
	return r.body
}

// get fetches a page, which must exist.
func (v visitor) get(path string) string {
	v.t.Helper()
	r := v.do(http.MethodGet, path, nil)
	body := read(v.t, r)
	if r.StatusCode != http.StatusOK {
		v.t.Fatalf("GET %s answers %d:\n%s", path, r.StatusCode, textOf(body))
	}
	return body
}

// post sends a form that must be accepted, and returns where it leads.
func (v visitor) post(path string, pairs ...string) string {
	v.t.Helper()
	r := v.do(http.MethodPost, path, fields(pairs...))
	body := read(v.t, r)
	if r.StatusCode != http.StatusSeeOther {
		v.t.Fatalf("POST %s answers %d:\n%s", path, r.StatusCode, textOf(body))
	}
	return r.Header.Get("Location")
}

// refused sends a form that must be refused, and returns the page's words.
func (v visitor) refused(want int, path string, pairs ...string) string {
	v.t.Helper()
	r := v.do(http.MethodPost, path, fields(pairs...))
	body := read(v.t, r)
	if r.StatusCode != want {
		v.t.Fatalf("POST %s answers %d, want %d:\n%s", path, r.StatusCode, want, textOf(body))
	}
	return body
}

// fields makes a form of pairs, with a token as our pages have it.
func fields(pairs ...string) url.Values {
	out := url.Values{"token": {uuid.Must(uuid.NewV7()).String()}}
	for i := 0; i+1 < len(pairs); i += 2 {
		if pairs[i] == "token" {
			out.Set("token", pairs[i+1])
			continue
		}
		out.Add(pairs[i], pairs[i+1])
	}
	return out
}

var (
	drawings = regexp.MustCompile(`(?s)<svg.*?</svg>|<style.*?</style>`)
	tags     = regexp.MustCompile(`<[^>]*>`)
	blanks   = regexp.MustCompile(`\s+`)
)

// words are what a person reads on a kit.
func textOf(html string) string {
	return strings.TrimSpace(blanks.ReplaceAllString(tags.ReplaceAllString(drawings.ReplaceAllString(html, " "), " "),
		" "))
}

// has fails unless a page contains each of the words.
func has(t testing.TB, html string, want ...string) {
	t.Helper()
	for _, w := range want {
		if !strings.Contains(html, w) && !strings.Contains(textOf(html), w) {
			t.Errorf("the page does not say %q:\n%s", w, textOf(html))
		}
	}
}

// after returns an id in a page's address: the part after a word.
func after(t testing.TB, path, word string) string {
	t.Helper()
	_, rest, ok := strings.Cut(path, word)
	if !ok {
		t.Fatalf("%s has no %s", path, word)
	}
	rest, _, _ = strings.Cut(rest, "?")
	rest, _, _ = strings.Cut(rest, "/")
	return rest
}

// read returns a room as it is stored.
func (w *world) read(t testing.TB, of string) *standing.Standing {
	t.Helper()
	parsed, err := id.Parse[id.Room](of)
	if err != nil {
		t.Fatal(err)
	}
	j, err := w.Desk.Read(t.Context(), w.Foreman, parsed)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// called returns the ids of what is in a room, by name.
func (w *world) called(t testing.TB, of string) map[string]string {
	t.Helper()
	r, out := w.read(t, of).Record, map[string]string{}
	for _, q := range r.Positions {
		out[q.Name] = q.ID.String()
	}
	for _, d := range r.Datums {
		out[d.Name] = d.ID.String()
	}
	for _, l := range r.Layers {
		out[fmt.Sprintf("%s on %s", l.Name, l.Datum)] = l.ID.String()
	}
	for _, s := range r.Surfaces {
		out[s.Name] = s.ID.String()
	}
	return out
}
