package api_test

import (
	"bytes"
	"encoding/json"
	"io"
	"maps"
	"math/rand/v2"
	"net/http"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/words"
	"lathmark/server/api"
)

// asker is somebody who asks, by a session or by a key.
type asker struct {
	firm.Person
	key string
}

// askers are all sorts of them.
func (s *site) askers() map[string]asker {
	s.t.Helper()
	key := func(scope firm.Scope) asker {
		_, secret, err := s.Firm.MakeKey(s.t.Context(), s.Foreman, "a program", scope, 24*time.Hour)
		if err != nil {
			s.t.Fatal(err)
		}
		return asker{key: secret}
	}
	return map[string]asker{"owner": {Person: s.Owner}, "foreman": {Person: s.Foreman}, "trade": {Person: s.Electrician},
		"another trade": {Person: s.Decorator}, "client": {Person: s.Add(s.t, "Cleo Marsh", firm.Client, "")},
		"stranger": {Person: s.Found(s.t, "Other & Sons")}, "nobody": {}, "key that reads": key(firm.KeyReads),
		"key that records": key(firm.KeyRecords), "key that runs jobs": key(firm.KeyRuns)}
}

// Requests made by chance, as the document describes them and spoilt in one
// place, by everybody to every operation: no answer is a fault of ours, each is
// as described, what is taken was as described, and what is bad has a name.
func TestGeneratedRequests(t *testing.T) {
	seed, rounds := uint64(time.Now().UnixNano()%1_000_000), 2
	if given, err := strconv.ParseUint(os.Getenv("LATHMARK_SEED"), 10, 64); err == nil {
		seed = given
	}
	if given, err := strconv.Atoi(os.Getenv("LATHMARK_ROUNDS")); err == nil {
		rounds = given
	}
	t.Logf("seed %d (LATHMARK_SEED=%d repeats it, LATHMARK_ROUNDS is how long)", seed, seed)
	s := newSite(t)
	by, count := s.askers(), map[int]int{}
	g := newGenerator(t, rand.New(rand.NewPCG(seed, seed)))
	for range rounds {
		g.ids = s.held()
		g.ids["stage"] = words.Stages[g.IntN(len(words.Stages))].Code()
		var link api.ClientLink
		s.ask(s.Foreman, http.MethodPost, "/jobs/"+g.ids["job"]+"/client-link", nil, 200, &link)
		g.ids["link"] = link.Link[strings.LastIndex(link.Link, "/")+1:]
		for _, at := range g.shuffled() {
			for _, name := range slices.Sorted(maps.Keys(by)) {
				count[s.judge(name, s.signed(by[name], g.request(at)))]++
			}
			if strings.HasSuffix(at, "/close") {
				s.do(s.request(s.Foreman, http.MethodPost, "/jobs/"+g.ids["job"]+"/reopen", nil))
			}
		}
	}
	t.Logf("answers: %v", count)
	for _, code := range []int{200, 400, 401, 403, 404} {
		if count[code] == 0 {
			t.Errorf("no request was answered with %d", code)
		}
	}
}

// signed is a request by whoever asks.
func (s *site) signed(by asker, r *http.Request) *http.Request {
	switch {
	case by.key != "":
		r.Header.Set("Authorization", "Bearer "+by.key)
	case by.Person != nobody:
		r.AddCookie(&http.Cookie{Name: "lathmark", Value: s.cookie(by.Person)})
	}
	return r
}

// judge sends a request, and returns the status that it was answered with.
func (s *site) judge(who string, r *http.Request) int {
	s.t.Helper()
	sent, err := io.ReadAll(r.Body)
	if err != nil {
		s.t.Fatal(err)
	}
	r.Body = io.NopCloser(bytes.NewReader(sent))
	w := s.do(r)
	bad := w.Code >= http.StatusInternalServerError
	if w.Code == http.StatusBadRequest {
		var p api.Problem
		bad = json.Unmarshal(w.Body.Bytes(), &p) != nil || len(p.Errors) == 0 ||
			slices.ContainsFunc(p.Errors, func(f fault.Field) bool { return f.Path == "" || f.Wrong == "" || f.Mend == "" })
	}
	if bad {
		s.t.Errorf("%s: %s %s with %.600s answers %d %s", who, r.Method, r.URL, sent, w.Code, w.Body)
	}
	return w.Code
}
