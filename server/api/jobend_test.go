package api_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/words"
	"lathmark/server/api"
)

// A job's end over the API: what is open is told first, and closed anyway; then
// nothing is written to it, it is in no list, and search finds it.
func TestAJobEnds(t *testing.T) {
	s := newSite(t)
	x := s.held()
	job, room := "/jobs/"+x["job"], "/rooms/"+x["room"]
	var open struct{ Items []api.StillOpen }
	s.ask(s.Electrician, http.MethodGet, job+"/still-open", nil, 200, &open)
	if len(open.Items) != 1 || *open.Items[0].Stage != words.FirstFix || open.Items[0].State != "in_hand" ||
		!slices.Equal(open.Items[0].Snags, []string{"a nail stands out"}) || len(open.Items[0].Says) != 2 {
		t.Errorf("%+v", open)
	}
	var p api.Problem
	s.ask(s.Foreman, http.MethodPost, job+"/close", m{}, http.StatusUnprocessableEntity, &p)
	if len(p.Errors) != 1 || !strings.Contains(p.Errors[0].Wrong, "first fix is in hand") {
		t.Errorf("%+v", p)
	}
	var j api.Job
	s.ask(s.Foreman, http.MethodPost, job+"/close", m{"anyway": true}, 200, &j)
	if j.ClosedAt.IsZero() || j.Version != 2 {
		t.Errorf("%+v", j)
	}
	for _, c := range []struct {
		method, path string
		body         any
	}{
		{http.MethodPost, room + "/snags", m{"id": new7(), "says": "a dent"}},
		{http.MethodPost, room + "/stages/first_fix/offer", nil},
		{http.MethodDelete, room, nil},
		{http.MethodPost, job + "/rooms", m{"id": new7(), "name": "Hall", "height": 2400, "outline": [][2]int{{0, 0},
			{2000, 0}, {2000, 1500}}}},
		{http.MethodPost, job + "/client-link", nil},
		{http.MethodPut, job, m{"name": "1 Mill Lane"}},
		{http.MethodPut, room, m{"name": "Scullery"}},
	} {
		s.seen(s.Foreman, `"2"`, c.method, c.path, c.body, http.StatusUnprocessableEntity, &p)
		if !strings.HasSuffix(p.Detail, " is closed. Reopen it first.") {
			t.Errorf("%s %s: %+v", c.method, c.path, p)
		}
	}
	for _, path := range []string{"/jobs", "/overview", "/tasks", "/ready"} {
		var all struct{ Items []any }
		if s.ask(s.Foreman, http.MethodGet, path, nil, 200, &all); len(all.Items) > 0 {
			t.Errorf("%s has %v", path, all.Items)
		}
	}
	for _, path := range []string{job, job + "/rooms", job + "/diary", room, room + "/record"} {
		s.ask(s.Electrician, http.MethodGet, path, nil, 200, nil)
	}
	var found struct{ Items []api.Hit }
	s.ask(s.Electrician, http.MethodGet, "/search?q=util", nil, 200, &found)
	if len(found.Items) != 1 || found.Items[0].Kind != "room" || found.Items[0].Name != "Utility" ||
		found.Items[0].Room.String() != x["room"] || found.Items[0].ClosedAt.IsZero() {
		t.Errorf("%+v", found)
	}
	s.ask(s.Electrician, http.MethodGet, "/search?q=d1", nil, 200, &found)
	if len(found.Items) != 1 || found.Items[0].Kind != "position" || found.Items[0].Position.String() != x["position"] {
		t.Errorf("%+v", found)
	}
	s.ask(s.Electrician, http.MethodGet, "/search?q="+strings.Repeat("x", 121), nil, http.StatusBadRequest, nil)
	s.ask(s.Electrician, http.MethodGet, "/search", nil, 200, &found)
	if len(found.Items) != 0 {
		t.Errorf("no words find %+v", found)
	}
	s.ask(s.Found(t, "Other & Sons"), http.MethodGet, "/search?q=util", nil, 200, &found)
	if len(found.Items) != 0 {
		t.Errorf("a stranger finds %+v", found)
	}
	again := s.ask(s.Foreman, http.MethodPost, job+"/reopen", nil, 200, nil)
	if again.Header().Get("ETag") != `"3"` {
		t.Errorf("the tag is %s", again.Header().Get("ETag"))
	}
}

// Two who rename a job: the second is told, and shown both.
func TestTwoRenameAJob(t *testing.T) {
	s := newSite(t)
	at := "/jobs/" + new7()
	s.ask(s.Foreman, http.MethodPost, "/jobs", m{"id": strings.TrimPrefix(at, "/jobs/"), "name": "Mill Lfot"}, 200, nil)
	tag := s.seen(s.Foreman, "", http.MethodGet, at, nil, 200, nil)
	second := s.seen(s.Foreman, tag, http.MethodPut, at, m{"name": "Mill Loft"}, 200, nil)
	var late struct {
		api.Problem
		Theirs api.Job `json:"theirs"`
		Yours  api.Job `json:"yours"`
	}
	if now := s.seen(s.Owner, tag, http.MethodPut, at, m{"name": "The Loft"}, http.StatusPreconditionFailed,
		&late); now != second || late.Theirs.Name != "Mill Loft" || late.Yours.Name != "The Loft" {
		t.Errorf("%s, %+v", now, late)
	}
	s.seen(s.Owner, "", http.MethodPut, at, m{"address": "Weir Street"}, http.StatusPreconditionRequired, nil)
	var j api.Job
	s.seen(s.Owner, second, http.MethodPut, at, m{"address": "Weir Street"}, 200, &j)
	if j.Name != "Mill Loft" || j.Address != "Weir Street" {
		t.Errorf("%+v", j)
	}
	s.ask(s.Owner, http.MethodDelete, at, nil, http.StatusNoContent, nil)
	s.ask(s.Owner, http.MethodGet, at, nil, http.StatusNotFound, nil)
}
