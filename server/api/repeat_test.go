package api_test

import (
	"bytes"
	"net/http"
	"os"
	"strings"
	"testing"

	"lathmark/server/api"
)

// A record is made by its id: the same request once more answers the same and
// writes nothing; another one under the same id is a conflict.
func TestARepeatMakesNoSecondRecord(t *testing.T) {
	s := newSite(t)
	job, r := s.utility()
	p := s.measured(r, "D1", 900, 600)
	ceiling := r.Surfaces[0].ID.String()
	for _, c := range []struct {
		name, path  string
		body, other m // other is nil where the services take only the first
	}{
		{"job", "/jobs", m{"id": new7(), "name": "2 Mill Lane"}, m{"name": "3 Mill Lane"}},
		{"room", "/jobs/" + job + "/rooms", m{"id": new7(), "name": "Hall", "height": 2400,
			"outline": [][2]int{{0, 0}, {2000, 0}, {2000, 1500}, {0, 1500}}}, m{"height": 2500}},
		{"surface", at(r) + "/surfaces", m{"id": new7(), "kind": "wall", "wall": 1}, m{"kind": "floor"}},
		{"datum", at(r) + "/datums", m{"id": new7(), "surface": ceiling, "name": "stack", "kind": "point",
			"a": [2]float64{3300, 2100}}, m{"name": "steel"}},
		{"timbers", at(r) + "/timbers",
			m{"timbers": []m{{"id": new7(), "surface": ceiling, "name": "J1", "a": [2]int{1200, 0}, "b": [2]int{1200, 2400},
				"width": 47}}}, nil},
		{"way", at(r) + "/ways", m{"id": new7(), "surface": ceiling, "name": "to D1", "kind": "hole", "a": [2]int{0, 600},
			"b": [2]int{1300, 600}, "size": 20}, m{"size": 25}},
		{"positions", at(r) + "/surfaces/" + ceiling + "/positions",
			m{"positions": []m{{"id": new7(), "name": "D8", "kind": "downlight", "planned": [2]float64{1, 2}}}}, nil},
		{"lines", at(r) + "/surfaces/" + ceiling + "/positions/lines",
			m{"id": new7(), "lines": "P1, pendant\nW1, waste, 40, 600, 450\n"}, m{"lines": "P9, pendant"}},
		{"measurement", at(r) + "/measurements", m{"id": new7(), "kind": "offset", "of": p, "from": datum(t, r, "south wall"),
			"state": "bare", "value": 601}, m{"value": 602}},
		{"photo", at(r) + "/photos", m{"id": new7(), "surface": ceiling, "says": "in the site folder"}, nil},
		{"snag", at(r) + "/snags", m{"id": new7(), "says": "a nail stands out"}, m{"says": "two nails stand out"}},
	} {
		once := s.ask(s.Foreman, http.MethodPost, c.path, c.body, 200, nil).Body.Bytes()
		written := s.entries(job)
		twice := s.ask(s.Foreman, http.MethodPost, c.path, c.body, 200, nil).Body.Bytes()
		if !bytes.Equal(once, twice) {
			t.Errorf("%s: the repeat answers\n%s\nand not\n%s", c.name, twice, once)
		}
		if now := s.entries(job); now != written {
			t.Errorf("%s: the repeat wrote %d lines into the diary", c.name, now-written)
		}
		if c.other == nil {
			continue
		}
		another := m{}
		for k, v := range c.body {
			another[k] = v
		}
		for k, v := range c.other {
			another[k] = v
		}
		s.ask(s.Foreman, http.MethodPost, c.path, another, http.StatusConflict, nil)
	}
}

// entries counts the lines of a job's diary.
func (s *site) entries(job string) int {
	s.t.Helper()
	var d struct{ Items []api.Entry }
	s.ask(s.Foreman, http.MethodGet, "/jobs/"+job+"/diary", nil, 200, &d)
	return len(d.Items)
}

func TestAnIDIsMadeForTheRecord(t *testing.T) {
	s := newSite(t)
	job, _ := s.utility()
	for name, given := range map[string]string{
		"random":       "f47ac10b-58cc-4372-a567-0e02b2c3d479",
		"none":         "00000000-0000-0000-0000-000000000000",
		"no UUID":      "utility",
		"other spread": "018f4d2e-7b1a-7c3d-0a55-6d7e8f901234",
	} {
		var p api.Problem
		s.ask(s.Foreman, http.MethodPost, "/jobs", m{"id": given, "name": "5 Mill Lane"}, 400, &p)
		if len(p.Errors) != 1 || p.Errors[0].Path != "id" || p.Errors[0].Mend == "" {
			t.Errorf("%s: %+v", name, p)
		}
	}
	sheet, err := os.ReadFile("../../testdata/rooms/landing.json")
	if err != nil {
		t.Fatal(err)
	}
	s.ask(s.Foreman, http.MethodPut, "/jobs/"+job+"/rooms/f47ac10b-58cc-4372-a567-0e02b2c3d479/sheet", sheet, 400, nil)
}

// Pasted lines have ids that come from the one id, each its own.
func TestPastedLinesHaveIDsOfTheirOwn(t *testing.T) {
	s := newSite(t)
	_, r := s.utility()
	id := new7()
	var got api.Record
	s.ask(s.Foreman, http.MethodPost, at(r)+"/surfaces/"+r.Surfaces[0].ID.String()+"/positions/lines",
		m{"id": id, "lines": "A\nB\nC"}, 200, &got)
	seen := map[string]bool{}
	for _, p := range got.Positions {
		text := p.ID.String()
		if seen[text] || !strings.HasPrefix(text, id[:13]) || text[14] != '7' {
			t.Errorf("%s has the id %s, of %s", p.Name, text, id)
		}
		seen[text] = true
	}
	var p api.Problem
	s.ask(s.Foreman, http.MethodPost, at(r)+"/surfaces/"+r.Surfaces[0].ID.String()+"/positions/lines",
		m{"id": new7(), "lines": "E, downlight\nF, downlight, wide"}, 400, &p)
	if len(p.Errors) != 1 || p.Errors[0].Path != "line 2" {
		t.Errorf("a line that cannot be read: %+v", p)
	}
}
