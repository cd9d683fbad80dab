package diary

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"lathmark/domain/id"
)

// Each room appears among the changes once, with its newest entry, and so does
// each job as a whole.
func TestChanges(t *testing.T) {
	f, a, b, kitchen := id.New[id.Firm](), id.New[id.Job](), id.New[id.Job](), id.New[id.Room]()
	got := Changes([]Entry{{Firm: f, Job: a, Room: kitchen, Seq: 1}, {Firm: f, Job: a, Seq: 2},
		{Firm: f, Job: a, Room: kitchen, Seq: 3}, {Firm: f, Job: b, Seq: 3}})
	want := []Change{{f, a, id.Room{}, 2}, {f, a, kitchen, 3}, {f, b, id.Room{}, 3}}
	if d := cmp.Diff(want, got); d != "" {
		t.Error(d)
	}
	if got := Changes(nil); got != nil {
		t.Errorf("nothing came to %v", got)
	}
}
