package api_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// A trade who is named on another job of the same firm finds nothing of this
// one, by any address that names a record; what only the foreman may do is
// refused as everywhere. On their own job the same requests go through the
// door.
func TestAnotherJobsRecordsAreNotThere(t *testing.T) {
	s := newSite(t)
	x := s.held()
	sent := bodies(t, x)
	fixed := ids{"stage": "first_fix"}
	elsewhere := s.AddTo(t, "Ned Varley", firm.Trade, words.Electrician)
	job, err := id.Parse[id.Job](x["job"])
	if err != nil {
		t.Fatal(err)
	}
	named := s.AddTo(t, "Ida Rusk", firm.Trade, words.Electrician, job)
	before := s.entries(x["job"])
	tried := 0
	for route, op := range operations(t) {
		method, path, _ := strings.Cut(route, " ")
		if !strings.Contains(path, "{") || len(op.Security) > 0 || op.OperationID == "saveBuildUp" {
			continue
		}
		address := fixed.fill(x.fill(path)) + queries[op.OperationID]
		want := http.StatusNotFound
		if slices.Contains(foremans, op.OperationID) {
			want = http.StatusForbidden
		}
		s.seen(elsewhere, `"1"`, method, address, sent[op.OperationID], want, nil)
		tried++
		if want == http.StatusNotFound && method == http.MethodGet {
			s.seen(named, "", method, address, nil, http.StatusOK, nil)
		}
	}
	if tried < 40 {
		t.Errorf("%d operations were tried", tried)
	}
	if after := s.entries(x["job"]); after != before {
		t.Errorf("%d entries were %d", after, before)
	}
	for _, path := range []string{"/jobs", "/overview", "/tasks", "/ready"} {
		var all struct{ Items []any }
		if s.ask(elsewhere, http.MethodGet, path, nil, 200, &all); len(all.Items) != 0 {
			t.Errorf("%s shows %v", path, all.Items)
		}
		if s.ask(named, http.MethodGet, path, nil, 200, &all); len(all.Items) == 0 && path != "/ready" {
			t.Errorf("%s shows nothing to one who is named", path)
		}
	}
}
