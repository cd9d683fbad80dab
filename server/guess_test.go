package server_test

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/server"
)

// Whoever has a good key, link or session may ask for what is not there as often as they
// like, and shuts nobody out; a secret that nobody has is a guess, wherever it is tried.
func TestOnlyUnknownSecretsAreGuesses(t *testing.T) {
	w := newWorldWith(t, "http://127.0.0.1:8080", server.Rates{Miss: server.Rate{Every: time.Hour, Burst: 3}})
	subject := newSubject(t, w, "14 Orchard Row")
	_, key, err := w.Firm.MakeKey(t.Context(), w.Foreman, "the office", firm.KeyReads, 48*time.Hour)
	if err != nil {
		t.Fatal(err)
	}
	nowhere := id.New[id.Room]().String()
	ask := func(method, path, key string) int {
		r := httptest.NewRequest(method, path, nil)
		if key != "" {
			r.Header.Set("Authorization", "Bearer "+key)
		}
		rec := httptest.NewRecorder()
		w.ServeHTTP(rec, r)
		return rec.Code
	}
	foreman := w.as(t, w.Foreman)
	for range 10 {
		for _, path := range []string{"/api/v1/rooms/" + nowhere, "/api/v1/jobs/" + nowhere, "/api/v1/none",
			"/api/v1/rooms/x", "/rooms/" + nowhere, "/none"} {
			if got := ask(http.MethodGet, path, key); got == http.StatusTooManyRequests {
				t.Fatalf("%s with a good key answers %d", path, got)
			}
		}
		if got := ask(http.MethodPut, "/api/v1/rooms/"+nowhere, key); got == http.StatusTooManyRequests {
			t.Fatalf("a write with a good key answers %d", got)
		}
		foreman.do(http.MethodGet, "/rooms/"+nowhere, nil)
		if got := ask(http.MethodDelete, "/progress/"+subject.ids["link"], ""); got == http.StatusTooManyRequests {
			t.Fatalf("a good link answers %d", got)
		}
	}
	if got := ask(http.MethodGet, "/progress/"+subject.ids["link"], ""); got != http.StatusOK {
		t.Errorf("the client's link answers %d", got)
	}
	for i, path := range []string{"/api/v1/jobs", "/progress/x", "/invited/x", "/api/v1/jobs"} {
		bad := ""
		if path == "/api/v1/jobs" {
			bad = key[:len(key)-4] + "AAAA"
		}
		if got := ask(http.MethodGet, path, bad); (got == http.StatusTooManyRequests) != (i == 3) {
			t.Errorf("the %d. guess, at %s, answers %d", i+1, path, got)
		}
	}
}
