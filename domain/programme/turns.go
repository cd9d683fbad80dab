package programme

import (
	"context"
	"fmt"
	"log/slog"
	"runtime/debug"
	"sync"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/id"
)

const (
	// rest is how long a firm's programme rests after it was worked out: what changes
	// meanwhile goes together, and another firm has its turn.
	rest = 2 * time.Second
	// again is when a firm is looked at once more that another process works on, or whose
	// records cannot be reached.
	again = 5 * time.Second
	// failed is when one is looked at whose programme cannot be worked out, unless something
	// changes before.
	failed = time.Hour
)

// Turns works programmes out in the background, one firm after the other: whoever has waited
// longest is next, so that a firm that keeps changing is in nobody's way. It is told of
// changes (Tell, Gap), which never wait for it.
type Turns struct {
	work  func(context.Context, id.Firm) (Outcome, time.Duration, error)
	firms func(context.Context) ([]id.Firm, error)
	log   *slog.Logger
	wake  chan struct{}

	mu  sync.Mutex
	due map[id.Firm]time.Time // when each is looked at next
	had map[id.Firm]time.Time // when each had its turn
	all time.Time             // when every firm is looked for; zero: not again
}

// NewTurns returns turns that nobody takes yet: see Run. firms returns every firm there is.
func NewTurns(w *Worker, firms func(context.Context) ([]id.Firm, error), log *slog.Logger) *Turns {
	return &Turns{work: w.Work, firms: firms, log: log, wake: make(chan struct{}, 1), due: map[id.Firm]time.Time{},
		had: map[id.Firm]time.Time{}}
}

// Tell notes that something of a firm has changed.
func (t *Turns) Tell(c diary.Change) {
	t.mu.Lock()
	at := time.Now()
	if rested := t.had[c.Firm].Add(rest); rested.After(at) {
		at = rested
	}
	t.sooner(c.Firm, at)
	t.mu.Unlock()
	t.rouse()
}

// Gap notes that anything may have changed: every firm is looked at.
func (t *Turns) Gap() {
	t.mu.Lock()
	t.all = time.Now()
	t.mu.Unlock()
	t.rouse()
}

func (t *Turns) rouse() {
	select {
	case t.wake <- struct{}{}:
	default: // it will look anyway
	}
}

// sooner has a firm looked at by a time, or before.
func (t *Turns) sooner(of id.Firm, at time.Time) {
	if old, there := t.due[of]; !there || at.Before(old) {
		t.due[of] = at
	}
}

// Run takes turns until ctx ends. At most one runs at a time.
func (t *Turns) Run(ctx context.Context) {
	for ctx.Err() == nil {
		of, wait := t.next(time.Now())
		switch {
		case wait > 0:
			timer := time.NewTimer(wait)
			select {
			case <-ctx.Done():
			case <-t.wake:
			case <-timer.C:
			}
			timer.Stop()
		case of.IsZero():
			t.list(ctx)
		default:
			t.turn(ctx, of)
		}
	}
}

// longest is how long nothing is looked at where nothing is due.
const longest = time.Hour

// next returns the firm that has waited longest and takes it off the list; none: every firm
// is to be looked for. Where nothing is due yet, it says how long that is.
func (t *Turns) next(now time.Time) (of id.Firm, wait time.Duration) {
	t.mu.Lock()
	defer t.mu.Unlock()
	if !t.all.IsZero() && !t.all.After(now) {
		t.all = time.Time{}
		return of, 0
	}
	first := now.Add(longest)
	if !t.all.IsZero() {
		first = t.all
	}
	for one, at := range t.due {
		if at.Before(first) {
			of, first = one, at
		}
	}
	if wait = first.Sub(now); wait <= 0 {
		delete(t.due, of)
	}
	return of, wait
}

// list has every firm looked at.
func (t *Turns) list(ctx context.Context) {
	all, err := t.firms(ctx)
	now := time.Now()
	t.mu.Lock()
	defer t.mu.Unlock()
	if err != nil {
		t.all = now.Add(again)
		t.say(ctx, "the firms cannot be listed", err)
	}
	for _, of := range all {
		t.sooner(of, now)
	}
}

// turn looks at one firm, and notes when it is looked at next.
func (t *Turns) turn(ctx context.Context, of id.Firm) {
	out, wait, err := t.safely(ctx, of)
	switch {
	case fault.KindOf(err) == fault.NotFound:
		t.mu.Lock()
		delete(t.had, of)
		t.mu.Unlock()
		return
	case fault.KindOf(err) == fault.Down || err == nil && out == Taken:
		wait = again
	case err != nil:
		wait = failed
	}
	if err != nil {
		t.say(ctx, "a programme was not worked out", err, "firm", of.String(), "again in", wait.String())
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	now := time.Now()
	t.had[of] = now
	if at, told := t.due[of]; told && at.Before(now.Add(rest)) { // of what changed meanwhile
		t.due[of] = now.Add(rest)
	}
	t.sooner(of, now.Add(wait))
}

// safely is work for what would end the whole process.
func (t *Turns) safely(ctx context.Context, of id.Firm) (out Outcome, wait time.Duration, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("panic: %v\n%s", p, debug.Stack())
		}
	}()
	return t.work(ctx, of)
}

func (t *Turns) say(ctx context.Context, what string, err error, more ...any) {
	if ctx.Err() == nil {
		t.log.WarnContext(ctx, what, append([]any{"cause", err}, more...)...)
	}
}
