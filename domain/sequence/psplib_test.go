package sequence

import (
	"encoding/json"
	"fmt"
	"os"
	"strconv"
	"testing"
)

// instance is one of the published projects, as its file has it.
type instance struct {
	Name       string  `json:"name"`
	Optimum    int     `json:"optimum"`
	Capacity   []int   `json:"capacity"`
	Duration   []int   `json:"duration"`
	Need       [][]int `json:"need"`
	Successors [][]int `json:"successors"`
}

// published returns the 240 instances of set j30 whose last figure is odd.
func published(t testing.TB) []instance {
	t.Helper()
	raw, err := os.ReadFile("../../testdata/reference/psplib/j30-odd.json")
	if err != nil {
		t.Fatal(err)
	}
	var out []instance
	if err := json.Unmarshal(raw, &out); err != nil || len(out) != 240 {
		t.Fatalf("%d instances: %v", len(out), err)
	}
	return out
}

func (in *instance) project(schedules int, seed uint64) *Project {
	p := &Project{Schedules: schedules, Seed: seed}
	for r, size := range in.Capacity {
		p.Crews = append(p.Crews, Crew{ID: fmt.Sprintf("R%d", r+1), Size: size})
	}
	for i, days := range in.Duration {
		w := Work{ID: fmt.Sprint(i), Days: days}
		for r, count := range in.Need[i] {
			if count > 0 {
				w.Needs = append(w.Needs, Need{p.Crews[r].ID, count})
			}
		}
		p.Work = append(p.Work, w)
	}
	for i, list := range in.Successors {
		for _, j := range list {
			p.Work[j].After = append(p.Work[j].After, After{Work: fmt.Sprint(i)})
		}
	}
	return p
}

// deviation returns the mean deviation from the optimum in per cent over all
// instances, whose every answer must keep what it has to.
func deviation(t testing.TB, schedules int, seed uint64) float64 {
	t.Helper()
	sum, all := 0.0, published(t)
	for k := range all {
		p := all[k].project(schedules, seed)
		a, err := Plan(t.Context(), p)
		if err != nil {
			t.Fatal(err)
		}
		keeps(t, p, a)
		if a.Days < all[k].Optimum || a.Schedules > schedules {
			t.Errorf("%s: %d days after %d schedules; the optimum is %d", all[k].Name, a.Days, a.Schedules, all[k].Optimum)
		}
		sum += 100 * float64(a.Days-all[k].Optimum) / float64(all[k].Optimum)
	}
	return sum / float64(len(all))
}

// The published optima, with the schedules that the literature counts by: each pass
// over the work is one. LATHMARK_SCHEDULES=5000 tries the longer run, LATHMARK_SEED
// another seed.
func TestPublishedOptima(t *testing.T) {
	schedules, seed := set(t, "LATHMARK_SCHEDULES", 1000), set(t, "LATHMARK_SEED", 1)
	most := map[bool]float64{false: 0.30, true: 0.10}[schedules >= 5000]
	d := deviation(t, schedules, uint64(seed))
	if t.Logf("%d schedules, seed %d: a mean deviation of %.3f %%", schedules, seed, d); d > most {
		t.Errorf("more than %.2f %%", most)
	}
}

// set returns what a variable of the environment is set to.
func set(t testing.TB, name string, usual int) int {
	t.Helper()
	text := os.Getenv(name)
	if text == "" {
		return usual
	}
	n, err := strconv.Atoi(text)
	if err != nil {
		t.Fatal(err)
	}
	return n
}
