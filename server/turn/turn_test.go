package turn_test

import (
	"context"
	"errors"
	"io"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"lathmark/server/turn"
)

// clock is a time that passes only when work is done.
type clock struct {
	mu sync.Mutex
	at time.Time
}

func (c *clock) now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.at
}

func (c *clock) work(d time.Duration) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.at = c.at.Add(d)
}

func turns(slots int) (*turn.Turns, *clock) {
	c := &clock{at: time.Unix(0, 0)}
	return &turn.Turns{Slots: slots, Room: 100, Line: 1000, Patience: time.Minute, Now: c.now}, c
}

func work(firm, who string, bytes int64) turn.Work {
	return turn.Work{Firm: firm, Who: who, Bytes: bytes, Most: time.Hour}
}

// queue has works begin one after another behind the first's firm, which has had all slots
// for ten seconds, and returns the order in which their slices ran, of 10 ms.
func queue(t *testing.T, on *turn.Turns, c *clock, pieces int, works ...turn.Work) (order []string) {
	t.Helper()
	first, err := on.Begin(t.Context(), work(works[0].Firm, "first", 0))
	if err != nil {
		t.Fatal(err)
	}
	for range 1000 {
		c.work(10 * time.Millisecond)
		if err := first.Pause(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	var all sync.WaitGroup
	for n, w := range works {
		all.Go(func() {
			mine, err := on.Begin(t.Context(), w)
			if err != nil {
				t.Error(err)
				return
			}
			defer mine.End()
			for range pieces {
				order = append(order, w.Firm+w.Who) // one slot: one at a time
				c.work(10 * time.Millisecond)
				if err := mine.Pause(t.Context()); err != nil {
					t.Error(err)
				}
			}
		})
		on.AwaitLine(n + 1)
	}
	first.End()
	all.Wait()
	return order
}

// A firm that comes behind another's hundred pieces of work has its own done before the
// next of them begins. What takes longer than its credit of 2 s has every other turn then.
func TestAFirmDoesNotWaitForAnothersFlood(t *testing.T) {
	flood := slices.Repeat([]turn.Work{work("flood", "", 1)}, 100)
	for pieces, want := range map[int]int{1: 0, 100: 0, 200: 0, 400: 200} {
		on, c := turns(1)
		order := queue(t, on, c, pieces, append(slices.Clone(flood), work("other", "", 1))...)
		last := len(order) - 1
		for order[last] != "other" {
			last--
		}
		if got := last + 1 - pieces; got < want-5 || got > want+5 {
			t.Errorf("%d slices of the flood ran before the other's %d were done, want %d", got, pieces, want)
		}
	}
}

// Within a firm people take turns, and what has begun ends before more begins.
func TestPeopleOfAFirmTakeTurns(t *testing.T) {
	on, c := turns(1)
	order := strings.Join(queue(t, on, c, 2, work("A", "1", 1), work("A", "1", 1), work("A", "1", 1),
		work("A", "2", 1)), " ")
	if order != "A1 A1 A2 A2 A1 A1 A1 A1" {
		t.Error(order)
	}
}

// One firm leaves a slot to the others.
func TestASlotIsLeft(t *testing.T) {
	on, _ := turns(2)
	first, err := on.Begin(t.Context(), work("A", "1", 0))
	if err != nil {
		t.Fatal(err)
	}
	defer first.End()
	go func() {
		if second, err := on.Begin(t.Context(), work("A", "2", 0)); err == nil {
			second.End()
		}
	}()
	on.AwaitLine(1)
	other, err := on.Begin(t.Context(), work("B", "1", 0))
	if err != nil {
		t.Fatal(err)
	}
	other.End()
}

// What does not fit into the memory waits, what does passes it, but not for ever; and what
// was held is free again at the end.
func TestWorkFitsIntoTheMemory(t *testing.T) {
	on, c := turns(3)
	first, err := on.Begin(t.Context(), work("A", "", 60))
	if err != nil {
		t.Fatal(err)
	}
	large := make(chan error)
	go func() {
		w, err := on.Begin(t.Context(), work("B", "", 60))
		large <- err
		w.End()
	}()
	on.AwaitLine(1)
	passed := 0
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	for ; ; passed++ {
		begun := make(chan *turn.Turn)
		go func() {
			w, _ := on.Begin(ctx, work("C", "", 30))
			begun <- w
		}()
		if passed == 8 {
			on.AwaitLine(2)
			stop()
		}
		w := <-begun
		if w == nil {
			break
		}
		c.work(time.Millisecond)
		w.End()
	}
	if passed != 8 {
		t.Errorf("%d passed", passed)
	}
	first.End()
	if err := <-large; err != nil {
		t.Error(err)
	}
	if _, err := on.Begin(t.Context(), work("A", "", 101)); !errors.Is(err, turn.ErrFull) {
		t.Errorf("more than there is: %v", err)
	}
	last, err := on.Begin(t.Context(), work("A", "", 100))
	if err != nil {
		t.Fatal(err)
	}
	last.End()
}

// Work ends with whoever asked, and with its time; a line that is full is said to be.
func TestWorkEnds(t *testing.T) {
	on, c := turns(1)
	on.Line = 2
	ctx, stop := context.WithCancel(t.Context())
	w, err := on.Begin(ctx, turn.Work{Firm: "A", Most: time.Second})
	if err != nil {
		t.Fatal(err)
	}
	waits := make(chan error)
	go func() {
		_, err := on.Begin(ctx, work("A", "", 0))
		waits <- err
	}()
	on.AwaitLine(1)
	if _, err := on.Begin(t.Context(), work("A", "", 0)); !errors.Is(err, turn.ErrFull) {
		t.Errorf("the third in line: %v", err)
	}
	c.work(2 * time.Second)
	if err := w.Pause(ctx); !errors.Is(err, turn.ErrLong) {
		t.Errorf("after its time: %v", err)
	}
	stop()
	if err := w.Pause(ctx); !errors.Is(err, context.Canceled) {
		t.Errorf("after its asker has gone: %v", err)
	}
	if err := <-waits; !errors.Is(err, context.Canceled) {
		t.Errorf("in line, after its asker has gone: %v", err)
	}
	w.End()
	on.Patience = 0
	first, err := on.Begin(t.Context(), work("A", "", 0))
	if err == nil {
		_, err = on.Begin(t.Context(), work("B", "", 0))
		first.End()
	}
	if !errors.Is(err, turn.ErrFull) {
		t.Errorf("without patience: %v", err)
	}
}

// Whatever one firm sends, another can still send as much as is left.
func TestOneFirmsBodiesLeaveRoom(t *testing.T) {
	in := turn.Intake{Most: 100}
	reads := func(firm string, n int) (func(), error) {
		body, done, err := in.Take(firm, io.NopCloser(strings.NewReader(strings.Repeat("x", n))), -1, 30)
		if err == nil {
			_, err = io.ReadAll(body)
		}
		return done, err
	}
	if done, err := reads("large", 300); err != nil {
		t.Errorf("what is not held counts: %v", err)
	} else {
		done()
	}
	var ends []func()
	for range 10 {
		done, _ := reads("flood", 10)
		ends = append(ends, done)
	}
	done, err := reads("other", 25)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := reads("flood", 10); !errors.Is(err, turn.ErrFull) {
		t.Errorf("the flood goes on: %v", err)
	}
	if _, _, err := in.Take("flood", nil, 10, 30); !errors.Is(err, turn.ErrFull) {
		t.Errorf("it says that it goes on: %v", err)
	}
	for _, end := range append(ends, done) {
		end()
	}
	if _, err := reads("other", 50); err != nil {
		t.Errorf("after all of it: %v", err)
	}
}
