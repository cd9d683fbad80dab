package sequence

import (
	"encoding/json"
	"os"
	"slices"
	"testing"
)

// The worked examples of textbooks: earliest start and end, latest start and end, and
// slack of each piece of work, and the length of the whole.
func TestCriticalPathOfTheWorkedExamples(t *testing.T) {
	raw, err := os.ReadFile("../../testdata/reference/cpm_examples.json")
	if err != nil {
		t.Fatal(err)
	}
	var examples map[string]struct {
		Durations    map[string]int      `json:"durations"`
		Predecessors map[string][]string `json:"predecessors"`
		Length       int                 `json:"length"`
		Table        map[string][]int    `json:"table"` // ES, EF, LS, LF, slack
	}
	if err := json.Unmarshal(raw, &examples); err != nil || len(examples) != 3 {
		t.Fatalf("%d examples: %v", len(examples), err)
	}
	for name, x := range examples {
		p := &Project{}
		for id, days := range x.Durations {
			w := Work{ID: id, Days: days}
			for _, k := range x.Predecessors[id] {
				w.After = append(w.After, After{Work: k})
			}
			p.Work = append(p.Work, w)
		}
		paths, days, err := CriticalPath(p)
		if err != nil || days != x.Length {
			t.Errorf("%s: %d days, want %d (%v)", name, days, x.Length, err)
		}
		for _, c := range paths {
			if got := []int{c.EarliestStart, c.EarliestEnd, c.LatestStart, c.LatestEnd, c.Slack}; !slices.Equal(got,
				x.Table[c.ID]) {
				t.Errorf("%s: %s is %v, want %v", name, c.ID, got, x.Table[c.ID])
			}
		}
	}
}
