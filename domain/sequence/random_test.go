package sequence

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// anyProject returns a project with a little of everything: crews that are away, a
// calendar with weekends, waits, pins, promises, moments.
func anyProject(rng *rand.Rand) *Project {
	p := &Project{Schedules: 1 + rng.IntN(60), Seed: rng.Uint64()}
	for c := range rng.IntN(4) {
		crew := Crew{ID: fmt.Sprintf("crew %d", c), Size: 1 + rng.IntN(4)}
		for range rng.IntN(3) {
			from := rng.IntN(25)
			crew.Away = append(crew.Away, Away{from, from + rng.IntN(6), rng.IntN(crew.Size + 1)})
		}
		p.Crews = append(p.Crews, crew)
	}
	if rng.IntN(2) == 0 {
		for day := range rng.IntN(40) {
			p.Calendar = append(p.Calendar, 3+day+2*(day/5))
		}
	}
	for i := range rng.IntN(25) {
		p.Work = append(p.Work, anyWork(rng, p, i))
	}
	rng.Shuffle(len(p.Work), func(i, j int) { p.Work[i], p.Work[j] = p.Work[j], p.Work[i] })
	return p
}

// anyWork returns a piece of work that comes after some of those with lower numbers.
func anyWork(rng *rand.Rand, p *Project, i int) Work {
	w := Work{ID: fmt.Sprintf("work %d", i), Days: rng.IntN(5)}
	for _, c := range p.Crews {
		if rng.IntN(2) == 0 {
			w.Needs = append(w.Needs, Need{c.ID, rng.IntN(c.Size + 1)})
		}
	}
	for k := range i {
		if rng.IntN(6) == 0 {
			w.After = append(w.After, After{Work: fmt.Sprintf("work %d", k), Lag: rng.IntN(2) * rng.IntN(4),
				Dry: rng.IntN(2) * rng.IntN(9)})
		}
	}
	if rng.IntN(8) == 0 {
		w.NotBefore = rng.IntN(20)
	}
	if rng.IntN(6) == 0 {
		pin := rng.IntN(30)
		w.Pinned = &pin
	}
	if rng.IntN(5) == 0 {
		w.Due = &Due{rng.IntN(30), rng.IntN(5)}
	}
	return w
}

// Whatever the project, its plan keeps what comes after what, the waits, the drying
// and the crews, and is the same when it is asked for again.
func TestEveryPlanKeepsItsProject(t *testing.T) {
	seed := rand.Uint64()
	rng := rand.New(rand.NewPCG(seed, 1))
	for round := range 1500 {
		p := anyProject(rng)
		a, err := Plan(t.Context(), p)
		if err != nil {
			t.Fatalf("seed %d, round %d: %v", seed, round, err)
		}
		again, _ := Plan(t.Context(), p)
		if fmt.Sprint(a) != fmt.Sprint(again) {
			t.Errorf("another plan the second time")
		}
		if keeps(t, p, a); t.Failed() {
			t.Fatalf("seed %d, round %d: %+v\n%+v", seed, round, p, a)
		}
	}
}
