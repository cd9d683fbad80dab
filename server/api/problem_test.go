package api_test

import (
	"encoding/json"
	"net/http"
	"strings"
	"testing"

	"lathmark/server/api"
)

// Every problem has the one shape (RFC 9457, section 3.1), whoever finds it:
// the router, the document's own types, or a service.
func TestEveryProblemHasOneShape(t *testing.T) {
	s := newSite(t)
	_, r := s.utility()
	for _, c := range []struct {
		name, method, path string
		body               any
		status             int
		paths              []string // of the fields, in any order
	}{
		{"no such address", http.MethodGet, "/none", nil, 404, nil},
		{"no such record", http.MethodGet, "/rooms/" + new7(), nil, 404, nil},
		{"another method", http.MethodPatch, "/jobs", nil, 405, nil},
		{"no id", http.MethodGet, "/rooms/utility", nil, 400, []string{"path.room"}},
		{"no stage", http.MethodPost, at(r) + "/stages/third_fix/offer", nil, 400, []string{"path.stage"}},
		{"no number", http.MethodGet, at(r) + "/surfaces/" + r.Surfaces[0].ID.String() + "/grid?rows=two&columns=1", nil, 400,
			[]string{"query.rows"}},
		{"no body", http.MethodPost, "/jobs", nil, 400, []string{"$"}},
		{"no JSON", http.MethodPost, "/jobs", `{"id": "`, 400, []string{"$"}},
		{"missing and unknown", http.MethodPost, "/jobs", m{"id": new7(), "nmae": "x"}, 400, []string{"$", "nmae"}},
		{"of another kind", http.MethodPost, "/jobs", m{"id": new7(), "name": 7}, 400, []string{"name"}},
		{"deep down", http.MethodPost, at(r) + "/timbers",
			m{"timbers": []m{{"id": new7(), "surface": r.Surfaces[0].ID, "name": "J1", "a": []int{1}, "b": []int{1, 2},
				"width": 47}}}, 400, []string{"timbers[0].a"}},
		{"a service's own", http.MethodPost, at(r) + "/stages/first_fix/reopen", m{"reason": "  "}, 400, []string{"reason"}},
		{"not in hand", http.MethodPost, at(r) + "/stages/plaster/offer", nil, 409, nil},
		{"an obstacle", http.MethodPut, at(r) + "/stages/plaster/finished", m{"on": "2026-03-01"}, 422, nil},
	} {
		send := s.do
		if c.path == "/none" || c.method == http.MethodPatch {
			send = s.send
		}
		w := send(s.request(s.Foreman, c.method, c.path, c.body))
		if got := w.Header().Get("Content-Type"); got != api.ProblemType || w.Code != c.status {
			t.Errorf("%s: %d as %s, want %d: %s", c.name, w.Code, got, c.status, w.Body)
			continue
		}
		var p api.Problem
		if err := json.Unmarshal(w.Body.Bytes(), &p); err != nil || p.Status != c.status ||
			p.Title != http.StatusText(c.status) {
			t.Errorf("%s: %s, %v", c.name, w.Body, err)
		}
		at := map[string]bool{}
		for _, f := range p.Errors {
			at[f.Path] = true
			if f.Wrong == "" || f.Mend == "" {
				t.Errorf("%s: %+v says nothing", c.name, f)
			}
		}
		for _, path := range c.paths {
			if !at[path] {
				t.Errorf("%s: nothing about %s in %s", c.name, path, w.Body)
			}
		}
	}
	for _, c := range []struct{ name, path string }{{"nobody", "/jobs"}, {"nobody, no such id", "/rooms/utility"}} {
		var p api.Problem
		s.ask(nobody, http.MethodGet, c.path, nil, 401, &p)
		if p.Detail == "" {
			t.Errorf("%s: %+v", c.name, p)
		}
	}
	s.ask(s.Electrician, http.MethodPost, "/jobs", m{"id": new7(), "name": "1 Mill Lane"}, 403, nil)
}

// What was sent is not sent back, whatever is wrong with it.
func TestAProblemRepeatsNothing(t *testing.T) {
	s := newSite(t)
	_, r := s.utility()
	const secret = "open-sesame"
	ceiling := r.Surfaces[0].ID.String()
	for _, c := range []struct {
		path string
		body any
	}{
		{"/jobs", `{"name": "` + secret}, {"/jobs", secret}, {"/jobs", `"` + secret + `"`},
		{"/jobs", m{"id": secret, "name": "x"}}, {"/jobs", m{"id": new7(), "name": []string{secret}}},
		{"/jobs", m{"id": new7(), "name": strings.Repeat(secret, 20)}},
		{at(r) + "/datums", m{"id": new7(), "surface": secret, "name": "x", "kind": secret, "a": secret}},
		{at(r) + "/surfaces/" + ceiling + "/positions",
			m{"positions": []m{{"id": new7(), "name": "x", "trade": secret, "cutout": secret}}}},
		{at(r) + "/measurements", m{"id": new7(), "kind": "offset", "of": secret, "value": secret}},
		{at(r) + "/openings", m{"id": new7(), "position": new7(), "outcome": secret, "at": secret}},
	} {
		w := s.do(s.request(s.Foreman, http.MethodPost, c.path, c.body))
		if w.Code != 400 || strings.Contains(w.Body.String(), secret) {
			t.Errorf("%s with %v answers %d %s", c.path, c.body, w.Code, w.Body)
		}
	}
	for _, path := range []string{"/rooms/" + secret, "/jobs/" + new7() + "/diary?after=" + secret} {
		w := s.do(s.request(s.Foreman, http.MethodGet, path, nil))
		if w.Code != 400 || strings.Contains(w.Body.String(), secret) {
			t.Errorf("%s answers %d %s", path, w.Code, w.Body)
		}
	}
}

// Another site cannot have a browser write with the session that it holds.
func TestOtherSitesCannotWrite(t *testing.T) {
	s := newSite(t)
	for header, value := range map[string]string{"Sec-Fetch-Site": "cross-site", "Origin": "https://elsewhere.example"} {
		r := s.request(s.Foreman, http.MethodPost, "/jobs", m{"id": new7(), "name": "1 Mill Lane"})
		r.Header.Set(header, value)
		s.read(s.do(r), header, 403, nil)
	}
	var all struct{ Items []api.Job }
	s.ask(s.Foreman, http.MethodGet, "/jobs", nil, 200, &all)
	if len(all.Items) != 0 {
		t.Errorf("%d jobs were added", len(all.Items))
	}
	r := s.request(s.Foreman, http.MethodPost, "/jobs", `{"name":"x"}`)
	r.Header.Set("Content-Type", "text/plain")
	s.read(s.do(r), "plain text", http.StatusUnsupportedMediaType, nil)
}
