package main

import (
	"crypto/rand"
	"io"
	"log/slog"
	"net/http"
	"net/http/httptest"
	"net/netip"
	"strings"
	"testing"

	"lathmark/cmd/hosting"
	"lathmark/persistence/dbtest"
	"lathmark/server/auth"
)

// The program itself keeps whoever tries codes waiting, and tells those apart
// who come through its proxies, but takes nobody else's word for where a request comes from.
func TestTheProgramKeepsGuessesWaiting(t *testing.T) {
	guessesStayTheirOwn(t, []netip.Prefix{netip.MustParsePrefix("10.0.0.0/8")}, "10.0.0.5")
}

// guessesStayTheirOwn wants a stranger's bad guesses to keep nobody else waiting who comes through
// proxy.
func guessesStayTheirOwn(t *testing.T, trusted []netip.Prefix, proxy string) {
	t.Helper()
	s := dbtest.New(t)
	h := hosting.Handler(s.DB, s.Services, nil, slog.New(slog.NewTextHandler(io.Discard, nil)),
		"https://lathmark.example", trusted, nil, func() error { return nil }, auth.Links{})
	tries := func(from, says string) (answer int) {
		for range 40 {
			r := httptest.NewRequest(http.MethodGet, "https://lathmark.example/invited/"+strings.Repeat("A",
				40)+rand.Text()[:24], nil)
			r.RemoteAddr = from + ":9"
			r.Header.Set("X-Forwarded-For", says)
			w := httptest.NewRecorder()
			h.ServeHTTP(w, r)
			if answer = w.Code; answer == http.StatusTooManyRequests {
				break
			}
		}
		return answer
	}
	if got := tries(proxy, "192.0.2.1"); got != http.StatusTooManyRequests {
		t.Errorf("40 wrong codes: the last answer is %d", got)
	}
	one := func(from, says string) int {
		r := httptest.NewRequest(http.MethodGet, "https://lathmark.example/invited/"+strings.Repeat("B", 64), nil)
		r.RemoteAddr = from + ":9"
		r.Header.Set("X-Forwarded-For", says)
		w := httptest.NewRecorder()
		h.ServeHTTP(w, r)
		return w.Code
	}
	if got := one(proxy, "192.0.2.2"); got != http.StatusNotFound {
		t.Errorf("somebody else through the same proxy is answered %d", got)
	}
	if got := tries("198.51.100.7", "192.0.2.3"); got != http.StatusTooManyRequests {
		t.Errorf("from elsewhere: %d", got)
	}
	if got := one("198.51.100.7", "192.0.2.4"); got != http.StatusTooManyRequests {
		t.Errorf("a stranger who claims to be another is answered %d", got)
	}
}
