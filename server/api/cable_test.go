package api_test

import (
	"math"
	"net/http"
	"testing"

	"lathmark/server/api"
)

// A cable run through the joist of the worked example, D 195 and 3,600 long,
// in the middle of it: the cautions of both British tables come back, with
// their sources; the limits are those of domain/caution/testdata/worked.csv.
func TestACablesWayThroughAJoist(t *testing.T) {
	s := newSite(t)
	_, r := s.utility()
	ceiling, timber, way := r.Surfaces[0].ID.String(), new7(), new7()
	s.ask(s.Electrician, http.MethodPost, at(r)+"/timbers",
		m{"timbers": []m{{"id": timber, "surface": ceiling, "name": "J1", "a": []int{0, 400}, "b": []int{3600, 400},
			"width": 47, "depth": 195}}}, 200, nil)
	sent := m{"id": way, "surface": ceiling, "name": "to D1", "kind": "hole", "a": []int{1800, 0}, "b": []int{1800, 900},
		"size": 20, "height": 97}
	var got api.Record
	s.ask(s.Electrician, http.MethodPost, at(r)+"/ways", sent, 200, &got)
	if len(got.Ways) != 1 || len(got.Ways[0].Crossings) != 1 {
		t.Fatalf("%+v", got.Ways)
	}
	x := got.Ways[0].Crossings[0]
	if x.Timber.String() != timber || x.At != 1800 || x.Share != 0.5 || x.NeedsDepth || len(x.Cautions) != 2 {
		t.Fatalf("%+v", x)
	}
	for _, c := range x.Cautions {
		if c.Code != "joist/hole_place" || c.Source == "" || c.Decide == "" {
			t.Errorf("%+v", c)
		}
	}
	var limits struct{ Items []api.JoistLimits }
	s.ask(s.Plumber, http.MethodGet, at(r)+"/surfaces/"+ceiling+"/joist-limits", nil, 200, &limits)
	if len(limits.Items) != 3 || limits.Items[0].Hole != 48.75 || limits.Items[0].HoleTo != 1440 ||
		math.Abs(limits.Items[1].NotchTo-720) > 1e-9 {
		t.Errorf("%+v", limits.Items)
	}
	var p api.Problem
	s.ask(s.Electrician, http.MethodPost, at(r)+"/ways", m{"id": new7(), "surface": ceiling, "name": "to D2",
		"kind": "notch", "a": []int{1800, 0}, "b": []int{1800, 0}, "size": 20}, 400, &p)
	if len(p.Errors) != 1 || p.Errors[0].Path != "b" || p.Errors[0].Mend == "" {
		t.Errorf("without a length: %+v", p)
	}
	s.ask(s.Electrician, http.MethodDelete, at(r)+"/ways/"+way, nil, 200, nil)
	s.ask(s.Electrician, http.MethodDelete, at(r)+"/ways/"+way, nil, 404, nil)
}
