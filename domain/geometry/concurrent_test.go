package geometry

import (
	"fmt"
	"math/rand/v2"
	"sync"
	"testing"

	"github.com/google/go-cmp/cmp"
)

// TestSameInSameOutConcurrent: to the last bit, from many goroutines at once, and the
// surface is left as it was.
func TestSameInSameOutConcurrent(t *testing.T) {
	sim := simulate(rand.New(rand.NewPCG(1, 2)), shapes["all kinds"])
	before := fmt.Sprintf("%#v", *sim.Surface)
	want := Solve(sim.Surface)
	var wait sync.WaitGroup
	for range 16 {
		wait.Go(func() {
			if diff := cmp.Diff(want, Solve(sim.Surface)); diff != "" {
				t.Error(diff)
			}
		})
	}
	wait.Wait()
	if after := fmt.Sprintf("%#v", *sim.Surface); after != before {
		t.Errorf("the surface was changed:\n%s\n%s", before, after)
	}
}
