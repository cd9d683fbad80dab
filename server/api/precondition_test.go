package api_test

import (
	"encoding/json"
	"net/http"
	"testing"

	"lathmark/domain/firm"
	"lathmark/server/api"

	"golang.org/x/sync/errgroup"
)

// seen sends a write that saw a version.
func (s *site) seen(by firm.Person, etag, method, path string, body any, status int, v any) string {
	s.t.Helper()
	r := s.request(by, method, path, body)
	if etag != "" {
		r.Header.Set("If-Match", etag)
	}
	w := s.do(r)
	s.read(w, method+" "+path+" over "+etag, status, v)
	return w.Header().Get("ETag")
}

// Two people change the same record: the second is told, and shown both.
func TestWhoComesSecondSeesBothVersions(t *testing.T) {
	s := newSite(t)
	_, r := s.utility()
	p := s.measured(r, "D1", 900, 600)
	taken := s.record(r).Measurements[0]
	reading := func(value float64) m {
		return m{"kind": "offset", "of": p, "from": taken.From, "state": "bare", "value": value}
	}
	for _, c := range []struct {
		name, path  string
		mine, yours m
		by          firm.Person
		field       string
		was, asked  any
	}{
		{"room", at(r), m{"height": 2410}, m{"height": 2420}, s.Foreman, "height", 2410.0, 2420.0},
		{"position", at(r) + "/positions/" + p, m{"name": "D1", "kind": "downlight", "cutout": 80},
			m{"name": "D1", "kind": "downlight", "cutout": 90}, s.Foreman, "cutout", 80.0, 90.0},
		{"measurement", at(r) + "/measurements/" + taken.ID.String(), reading(901), reading(902), s.Electrician, "value",
			901.0, 902.0},
	} {
		first := s.seen(c.by, "", http.MethodGet, c.path, nil, 200, nil)
		second := s.seen(c.by, first, http.MethodPut, c.path, c.mine, 200, nil)
		if first == second || first == "" {
			t.Errorf("%s: the tag stays %s", c.name, first)
		}
		if got := s.seen(c.by, "", http.MethodGet, c.path, nil, 200, nil); got != second {
			t.Errorf("%s: the write gave the tag %s, the record has %s", c.name, second, got)
		}
		var late struct {
			api.Problem
			Theirs map[string]any `json:"theirs"`
			Yours  map[string]any `json:"yours"`
		}
		if now := s.seen(c.by, first, http.MethodPut, c.path, c.yours, http.StatusPreconditionFailed, &late); now != second {
			t.Errorf("%s: the refusal has the tag %q, want %s", c.name, now, second)
		}
		if late.Theirs[c.field] != c.was || late.Yours[c.field] != c.asked || late.Detail == "" {
			t.Errorf("%s: theirs %v, yours %v, %q", c.name, late.Theirs[c.field], late.Yours[c.field], late.Detail)
		}
		if c.name != "room" { // whose change counts as one even where nothing changes
			// The same once more, as after a broken connection, is no clash.
			s.seen(c.by, first, http.MethodPut, c.path, c.mine, 200, nil)
		}
		s.seen(c.by, second, http.MethodPut, c.path, c.yours, 200, nil)
	}
}

func TestAWriteOverWhatNobodySawIsRefused(t *testing.T) {
	s := newSite(t)
	_, r := s.utility()
	p := s.measured(r, "D1", 900, 600)
	taken := s.record(r).Measurements[0]
	position, measurement := at(r)+"/positions/"+p, at(r)+"/measurements/"+taken.ID.String()
	why := m{"reason": "not chosen yet"}
	for _, c := range []struct {
		method, path string
		body         any
	}{
		{http.MethodPut, at(r), m{"height": 2410}},
		{http.MethodPut, position, m{"name": "D7", "kind": "downlight"}},
		{http.MethodPost, position + "/hold", why},
		{http.MethodPost, position + "/omit", why},
		{http.MethodPut, measurement, m{"kind": "offset", "of": p, "from": taken.From, "state": "bare", "value": 1}},
		{http.MethodPost, measurement + "/strike", why},
	} {
		for etag, want := range map[string]int{"": 428, "*": 428, `"0"`: 412, `"-1"`: 412, `"9"`: 412, `W/"1"`: 412, `1`: 412,
			`"one"`: 412, `"1", "2"`: 412} {
			var p api.Problem
			s.seen(s.Foreman, etag, c.method, c.path, c.body, want, &p)
			if p.Status != want || p.Detail == "" {
				t.Errorf("%s %s over %q: %+v", c.method, c.path, etag, p)
			}
		}
	}
	var now api.Position
	s.ask(s.Foreman, http.MethodGet, position, nil, 200, &now)
	if now.Name != "D1" || now.Held || !now.OmittedAt.IsZero() || now.Version != 1 {
		t.Errorf("it was changed all the same: %+v", now)
	}
	// A conflict of another sort stays one.
	s.measured(r, "D2", 1800, 600)
	var taken2 api.Problem
	s.seen(s.Foreman, `"1"`, http.MethodPut, position, m{"name": "D2", "kind": "downlight", "cutout": 76},
		http.StatusConflict, &taken2)
	if taken2.Theirs != nil {
		text, _ := json.Marshal(taken2.Theirs)
		t.Errorf("a name that is taken shows a version: %s", text)
	}
}

// Many who saw the same version write at once: one is taken, the others are
// told, and nobody's write is lost under another's.
func TestOfManyAtOnceOneIsTaken(t *testing.T) {
	s := newSite(t)
	_, r := s.utility()
	path := at(r) + "/positions/" + s.measured(r, "D1", 900, 600)
	const rounds, people = 5, 6
	for round := range rounds {
		etag := s.seen(s.Foreman, "", http.MethodGet, path, nil, 200, nil)
		codes := make([]int, people)
		var all errgroup.Group
		for i := range people {
			req := s.request(s.Foreman, http.MethodPut, path, m{"name": "D1", "kind": "downlight",
				"cutout": 60 + round*people + i})
			req.Header.Set("If-Match", etag)
			all.Go(func() error {
				codes[i] = s.send(req).Code
				return nil
			})
		}
		_ = all.Wait() // none gives an error
		taken := 0
		for i, code := range codes {
			var now api.Position
			switch code {
			case http.StatusOK:
				taken++
				if s.ask(s.Foreman, http.MethodGet, path, nil, 200, &now); now.Cutout != float64(60+round*people+i) {
					t.Errorf("round %d: %v was taken, %v is stored", round, 60+round*people+i, now.Cutout)
				}
			case http.StatusPreconditionFailed:
			default:
				t.Errorf("round %d: %d", round, code)
			}
		}
		if taken != 1 {
			t.Errorf("round %d: %d were taken", round, taken)
		}
	}
}
