package programme

import (
	"context"
	"errors"
	"io"
	"log/slog"
	"slices"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// turns returns turns over a function, which run until the test ends, and tells every firm
// that is worked on.
func turns(t *testing.T, all []id.Firm, work func(id.Firm) (Outcome, time.Duration, error)) (*Turns, func() []id.Firm) {
	t.Helper()
	var mu sync.Mutex
	var had []id.Firm
	out := NewTurns(&Worker{}, func(context.Context) ([]id.Firm, error) { return all, nil },
		slog.New(slog.NewTextHandler(io.Discard, nil)))
	out.work = func(_ context.Context, of id.Firm) (Outcome, time.Duration, error) {
		mu.Lock()
		had = append(had, of)
		mu.Unlock()
		return work(of)
	}
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() { out.Run(ctx); close(ended) }()
	t.Cleanup(func() { stop(); <-ended })
	return out, func() []id.Firm {
		mu.Lock()
		defer mu.Unlock()
		return slices.Clone(had)
	}
}

// Every firm is looked at once at the start, and again when its day has ended.
func TestEveryFirmHasItsTurn(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		all := []id.Firm{id.New[id.Firm](), id.New[id.Firm](), id.New[id.Firm]()}
		of, had := turns(t, all, func(id.Firm) (Outcome, time.Duration, error) { return Made, 10 * time.Hour, nil })
		of.Gap()
		synctest.Wait()
		if len(had()) != 3 {
			t.Fatalf("%d turns at the start", len(had()))
		}
		time.Sleep(10*time.Hour + time.Second)
		synctest.Wait()
		if len(had()) != 6 {
			t.Errorf("%d turns after the day", len(had()))
		}
	})
}

// A firm that never stops changing has its turn now and then, and another at once.
func TestABusyFirmIsInNobodysWay(t *testing.T) {
	synctest.Test(t, func(t *testing.T) {
		busy, quiet := id.New[id.Firm](), id.New[id.Firm]()
		var of *Turns
		of, had := turns(t, nil, func(f id.Firm) (Outcome, time.Duration, error) {
			time.Sleep(300 * time.Millisecond)
			of.Tell(diary.Change{Firm: busy})
			return Made, time.Hour, nil
		})
		of.Tell(diary.Change{Firm: busy})
		time.Sleep(time.Minute)
		before := len(had())
		if before < 20 || before > 31 {
			t.Errorf("%d turns in a minute", before)
		}
		of.Tell(diary.Change{Firm: quiet})
		time.Sleep(time.Second)
		seen := 0
		for _, f := range had()[before:] {
			if f == quiet {
				seen++
			}
		}
		if seen != 1 {
			t.Errorf("the quiet firm had %d turns within a second", seen)
		}
	})
}

// What fails, panics or is another's is tried again later, and never at once.
func TestWhatFailsIsNotLooped(t *testing.T) {
	down := &fault.Error{Kind: fault.Down, Msg: "The records cannot be reached just now."}
	for what, c := range map[string]struct {
		work func() (Outcome, time.Duration, error)
		want int // turns in an hour and a half
	}{
		"an error":  {func() (Outcome, time.Duration, error) { return 0, 0, errors.New("broken") }, 2},
		"a panic":   {func() (Outcome, time.Duration, error) { panic("broken") }, 2},
		"another's": {func() (Outcome, time.Duration, error) { return Taken, time.Hour, nil }, 1080},
		"down":      {func() (Outcome, time.Duration, error) { return 0, 0, down }, 1080},
		"gone":      {func() (Outcome, time.Duration, error) { return 0, 0, &fault.Error{Kind: fault.NotFound} }, 1},
	} {
		synctest.Test(t, func(t *testing.T) {
			var n atomic.Int32
			of, _ := turns(t, nil, func(id.Firm) (Outcome, time.Duration, error) { n.Add(1); return c.work() })
			of.Tell(diary.Change{Firm: id.New[id.Firm]()})
			time.Sleep(90 * time.Minute)
			if got := int(n.Load()); got < c.want || got > c.want+1 {
				t.Errorf("%s: %d turns, want %d", what, got, c.want)
			}
		})
	}
}
