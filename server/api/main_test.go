package api_test

import (
	"bytes"
	"encoding/json"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/page/kit"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

var quiet = slog.New(slog.DiscardHandler)

// site is a firm with its server.
type site struct {
	*dbtest.Site
	http.Handler
	t       *testing.T
	cookies map[id.Member]string
}

func newSite(t *testing.T) *site {
	t.Helper()
	s := dbtest.New(t)
	return &site{Site: s, t: t, cookies: map[id.Member]string{}, Handler: server.New(server.Deps{
		Services: kit.Services{Firm: s.Firm, Job: s.Job, Desk: s.Desk, Book: s.Book, Diary: s.Diary,
			Photo: s.Photo, Held: s.Held, Programme: s.Programme, Now: s.Clock.Now},
		SignIn: auth.Links{}, BaseURL: "http://127.0.0.1:8080", Log: slog.New(slog.NewTextHandler(t.Output(),
			&slog.HandlerOptions{Level: slog.LevelError})),
	})}
}

// cookie is the session of a person.
func (s *site) cookie(by firm.Person) string {
	s.t.Helper()
	if s.cookies[by.ID] == "" {
		_, session, err := s.Firm.StartSession(s.t.Context(), by.Firm, by.ID)
		if err != nil {
			s.t.Fatal(err)
		}
		s.cookies[by.ID] = session
	}
	return s.cookies[by.ID]
}

var nobody firm.Person

// request is one of a person to the API; body is marshalled unless it is text.
func (s *site) request(by firm.Person, method, path string, body any) *http.Request {
	s.t.Helper()
	var send io.Reader = http.NoBody
	switch b := body.(type) {
	case nil:
	case string:
		send = strings.NewReader(b)
	case []byte:
		send = bytes.NewReader(b)
	default:
		text, err := json.Marshal(b)
		if err != nil {
			s.t.Fatal(err)
		}
		send = bytes.NewReader(text)
	}
	r := httptest.NewRequest(method, "/api/v1"+path, send)
	if body != nil {
		r.Header.Set("Content-Type", "application/json")
	}
	if by != nobody {
		r.AddCookie(&http.Cookie{Name: "lathmark", Value: s.cookie(by)})
	}
	return r
}

// do sends a request; what comes back has to fit the document.
func (s *site) do(r *http.Request) *httptest.ResponseRecorder {
	s.t.Helper()
	sent, err := io.ReadAll(r.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	r.Body = io.NopCloser(bytes.NewReader(sent))
	w := s.send(r)
	fits(s.t, r, sent, w)
	return w
}

// send is do for an address that the document does not have.
func (s *site) send(r *http.Request) *httptest.ResponseRecorder {
	w := httptest.NewRecorder()
	s.ServeHTTP(w, r)
	return w
}

// ask sends a request and wants a status; v is read from the answer where it
// is not nil.
func (s *site) ask(by firm.Person, method, path string, body any, status int, v any) *httptest.ResponseRecorder {
	s.t.Helper()
	w := s.do(s.request(by, method, path, body))
	s.read(w, method+" "+path, status, v)
	return w
}

func (s *site) read(w *httptest.ResponseRecorder, what string, status int, v any) {
	s.t.Helper()
	if w.Code != status {
		s.t.Fatalf("%s answers %d, want %d: %s", what, w.Code, status, w.Body)
	}
	if v != nil {
		if err := json.Unmarshal(w.Body.Bytes(), v); err != nil {
			s.t.Fatalf("%s: %v in %s", what, err, w.Body)
		}
	}
}
