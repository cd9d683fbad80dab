package hosting

import (
	"context"
	"errors"
	"testing"
	"testing/synctest"
	"time"
)

// Probes that come hard are one try; what failed is tried again sooner, and what hangs
// holds nobody up.
func TestReadiness(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		tries, came := 0, error(nil)
		r := readiness{look: func(context.Context) error { return nil },
			try: func(context.Context) error { tries++; return came }}
		probe := func(want error, wantTries int) {
			t.Helper()
			for range 100 {
				if err := r.check(t.Context()); !errors.Is(err, want) {
					t.Fatalf("it says %v, want %v", err, want)
				}
			}
			if tries != wantTries {
				t.Errorf("%d tries, want %d", tries, wantTries)
			}
		}
		probe(nil, 1)
		broken := errors.New("full")
		came = broken
		probe(nil, 1)
		time.Sleep(readyFor)
		probe(broken, 2)
		came = nil
		time.Sleep(failedFor)
		probe(nil, 3)
		r.try = func(ctx context.Context) error { tries++; time.Sleep(time.Hour); return ctx.Err() }
		time.Sleep(readyFor)
		before := time.Now()
		for range 3 {
			if err := r.check(t.Context()); !errors.Is(err, errSlow) {
				t.Errorf("what hangs: %v", err)
			}
		}
		if took := time.Since(before); took > 3*readyWithin || tries != 4 {
			t.Errorf("it took %v and %d tries", took, tries)
		}
		time.Sleep(2 * time.Hour)
		r.look = func(context.Context) error { return broken }
		probe(broken, 4)
	})
}
