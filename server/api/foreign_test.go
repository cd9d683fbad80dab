package api_test

import (
	"net/http"
	"os"
	"strings"
	"testing"

	"lathmark/server/api"
)

// ids are what a firm has, by the name of the path's parameter.
type ids map[string]string

// fill puts ids into an address of the document.
func (x ids) fill(path string) string {
	for name, id := range x {
		path = strings.ReplaceAll(path, "{"+name+"}", id)
	}
	return strings.TrimPrefix(path, "/api/v1")
}

// held is a room that has one of everything, and the ids of it all.
func (s *site) held() ids {
	s.t.Helper()
	job, r := s.utility()
	x := ids{"job": job, "room": r.ID.String(), "surface": r.Surfaces[0].ID.String(), "datum": datum(s.t, r, "south wall"),
		"timber": new7(), "way": new7(), "snag": new7(), "build_up": new7(), "opening": new7()}
	x["position"] = s.measured(r, "D1", 900, 600)
	x["measurement"] = s.record(r).Measurements[0].ID.String()
	s.ask(s.Foreman, http.MethodPost, at(r)+"/timbers",
		m{"timbers": []m{{"id": x["timber"], "surface": x["surface"], "name": "J1",
			"a": []int{1200, 0}, "b": []int{1200, 2400}, "width": 47}}}, 200, nil)
	s.ask(s.Foreman, http.MethodPost, at(r)+"/ways", m{"id": x["way"], "surface": x["surface"], "name": "to D1",
		"kind": "hole",
		"a":    []int{0, 600}, "b": []int{900, 600}, "size": 20}, 200, nil)
	s.ask(s.Foreman, http.MethodPost, at(r)+"/snags", m{"id": x["snag"], "says": "a nail stands out"}, 200, nil)
	return x
}

// bodies are requests that each operation takes, by its id.
func bodies(t *testing.T, x ids) map[string]any {
	t.Helper()
	sheet, err := os.ReadFile("../../testdata/rooms/landing.json")
	if err != nil {
		t.Fatal(err)
	}
	why := m{"reason": "looked at it"}
	return map[string]any{
		"addRoom": m{"id": new7(), "name": "Hall", "height": 2400, "outline": [][2]int{{0, 0}, {2000, 0}, {2000, 1500},
			{0, 1500}}},
		"importRoom":   sheet,
		"copyRoom":     m{"id": new7(), "of": x["room"], "name": "Hall 2", "schedule": true},
		"copySchedule": m{"id": new7(), "from": x["room"]},
		"changeJob":    m{"name": "1 Mill Lane"},
		"closeJob":     m{},
		"changeRoom":   m{"height": 2410},
		"addSurface":   m{"id": new7(), "kind": "wall", "wall": 1},
		"addDatum":     m{"id": new7(), "surface": x["surface"], "name": "stack", "kind": "point", "a": []int{3300, 2100}},
		"staysBare":    m{"stays_bare": false},
		"planBuildUp":  m{"datums": []string{x["datum"]}, "layers": []m{}},
		"addTimbers": m{"timbers": []m{{"id": new7(), "surface": x["surface"], "name": "J2", "a": []int{0, 0},
			"b": []int{9, 9}, "width": 47}}},
		"addWay": m{"id": new7(), "surface": x["surface"], "name": "to D2", "kind": "notch", "a": []int{0, 0},
			"b": []int{9, 9}, "size": 15},
		"schedule":       m{"positions": []m{{"id": new7(), "name": "D2"}}},
		"pasteSchedule":  m{"id": new7(), "lines": "D3"},
		"changePosition": m{"name": "D4"}, "hold": why, "omit": why, "wantAgain": m{}, "strike": why, "reopen": why,
		"measure": m{"id": new7(), "kind": "offset", "of": x["position"], "from": x["datum"], "state": "bare",
			"value": 601},
		"correct": m{"kind": "offset", "of": x["position"], "from": x["datum"], "state": "bare", "value": 602},
		"photo":   m{"id": new7(), "surface": x["surface"]},
		"putOn": m{"put_on": []m{{"id": new7(), "surface": x["surface"], "datum": x["datum"], "through": "board",
			"thickness": 25}}},
		"finish":         m{"on": "2026-03-01"},
		"signOff":        m{"revision": 1, "accepted": []m{}},
		"openHole":       m{"id": new7(), "position": x["position"], "outcome": "found"},
		"correctOutcome": m{"outcome": "found"}, "fillPatch": m{}, "dryPatch": m{},
		"noteSnag": m{"id": new7(), "says": "another nail stands out"},
		"giveSnag": m{"trade": "decorator"}, "reopenSnag": m{"why": "it still stands out"},
	}
}

var queries = map[string]string{"joists": "?along=v&spacing=400&width=47", "grid": "?rows=1&columns=2"}

// Somebody else's records are not there: not to read, not to write, by any
// address that names one. The same requests are answered otherwise in the firm
// itself, so they ask what they seem to ask.
func TestAnotherFirmsRecordsAreNotThere(t *testing.T) {
	s := newSite(t)
	x := s.held()
	stranger := s.Found(t, "Other & Sons")
	before := s.entries(x["job"])
	sent := bodies(t, x)
	own := ids{"stage": "first_fix"}
	// An id of a firm's own is free again in another firm; an opening needs a
	// room that has come to second fix, so that it is not there in the firm either.
	apart := map[string]bool{"saveBuildUp": true, "progress": true}
	needsHole := map[string]bool{"correctOutcome": true, "owePatch": true, "fillPatch": true, "dryPatch": true}
	n := 0
	for route, op := range operations(t) {
		method, path, _ := strings.Cut(route, " ")
		if !strings.Contains(path, "{") || apart[op.OperationID] {
			continue
		}
		body, has := sent[op.OperationID]
		if takes := op.RequestBody != nil; takes != has {
			t.Errorf("%s takes a body: %v; this test has one: %v", op.OperationID, takes, has)
		}
		address := own.fill(x.fill(path))
		if op.OperationID == "importRoom" {
			address = ids{"job": x["job"], "room": new7()}.fill(path)
		}
		address += queries[op.OperationID]
		s.seen(stranger, `"1"`, method, address, body, http.StatusNotFound, nil)
		n++
		if needsHole[op.OperationID] || method == http.MethodDelete {
			continue
		}
		r := s.request(s.Foreman, method, address, body)
		r.Header.Set("If-Match", `"77"`)
		if w := s.do(r); w.Code == http.StatusNotFound || w.Code == http.StatusUnauthorized {
			t.Errorf("%s answers the firm itself %d: %s", route, w.Code, w.Body)
		}
	}
	if n < 40 {
		t.Errorf("%d operations were tried", n)
	}
	if s.entries(x["job"]) <= before {
		t.Error("the firm's own requests wrote nothing")
	}
	for _, path := range []string{"/jobs", "/overview", "/tasks", "/ready", "/build-ups"} {
		var all struct{ Items []any }
		s.ask(stranger, http.MethodGet, path, nil, 200, &all)
		if len(all.Items) != 0 {
			t.Errorf("%s shows a stranger %v", path, all.Items)
		}
	}
	var people struct{ Items []api.Member }
	s.ask(stranger, http.MethodGet, "/members", nil, 200, &people)
	if len(people.Items) != 1 || people.Items[0].ID != stranger.ID {
		t.Errorf("a stranger sees %+v", people)
	}
}

// Nobody gets past the door of what is not open, whatever is asked.
func TestNobodyIsLetIn(t *testing.T) {
	s := newSite(t)
	x := ids{"stage": "first_fix"}
	for _, name := range []string{"job", "room", "surface", "datum", "timber", "way", "position", "measurement", "snag",
		"opening", "build_up", "link"} {
		x[name] = new7()
	}
	for route, op := range operations(t) {
		method, path, _ := strings.Cut(route, " ")
		if len(op.Security) > 0 {
			continue
		}
		s.ask(nobody, method, x.fill(path), nil, http.StatusUnauthorized, nil)
	}
	r := s.request(s.Foreman, http.MethodGet, "/jobs", nil)
	r.Header.Set("Cookie", "lathmark=made-up")
	s.read(s.do(r), "a session that is none", http.StatusUnauthorized, nil)
}
