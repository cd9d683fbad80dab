package api_test

import (
	"net/http"
	"testing"

	"lathmark/server/api"
)

// A program measures again: what it names is replaced, if it is of the same thing; what
// disagrees is an obstacle with both figures.
func TestMeasuringAgain(t *testing.T) {
	s := newSite(t)
	_, r := s.utility()
	p := s.measured(r, "D1", 900, 600)
	reading := func(mm float64, replaces ...string) m {
		out := m{"id": new7(), "kind": "offset", "of": p, "from": datum(t, r, "south wall"), "state": "bare", "value": mm}
		if len(replaces) > 0 {
			out["replaces"] = replaces
		}
		return out
	}
	var before, west string
	for _, old := range s.record(r).Measurements {
		switch old.Value {
		case 600:
			before = old.ID.String()
		case 900:
			west = old.ID.String()
		}
	}
	var v api.Verdict
	s.ask(s.Electrician, http.MethodPost, at(r)+"/measurements", reading(1600), 200, &v)
	needs := map[string]string{}
	for _, o := range v.Needs {
		needs[o.Code] = o.Wrong
	}
	if says := needs["disagree"]; says == "" || needs["suspect"] != "" {
		t.Errorf("1600 beside 600 needs %v", needs)
	}
	s.ask(s.Electrician, http.MethodPost, at(r)+"/measurements", reading(602, west), 400, nil)
	s.ask(s.Electrician, http.MethodPost, at(r)+"/measurements", reading(602, before), 400, nil) // 1600 stands too
	s.ask(s.Electrician, http.MethodPost, at(r)+"/measurements", reading(602, before, v.Measurement.ID.String()), 200, nil)
	for _, now := range s.record(r).Measurements {
		if id := now.ID.String(); id == before || id == v.Measurement.ID.String() {
			if now.StruckWhy != "measured again" {
				t.Errorf("%s is struck out: %q", now.Name, now.StruckWhy)
			}
		}
	}
}
