// Package turn has expensive work take turns: firm by firm, and person by person within
// a firm. Who asks for much waits for themselves, and others hardly notice.
//
// A turn is counted by what it costs: the time for which it ran. Work that takes long
// pauses every few milliseconds, and goes on when nobody is in line whose firm had less.
// What it holds of the memory it holds until it ends, so that is what it has to fit into
// before it begins.
package turn

import (
	"context"
	"errors"
	"runtime"
	"slices"
	"sync"
	"time"

	"lathmark/domain/fault"
)

var (
	// ErrFull is the error where somebody has too much in line already, or waited too long.
	ErrFull = errors.New("too much is in line already")
	// ErrLong is the error of work that ran for as long as it may.
	ErrLong error = &fault.Error{Kind: fault.Down, Msg: "This takes longer to work out than it may."}
)

const (
	slice      = 5 * time.Millisecond // for which work runs before it looks who waits
	mostPassed = 8                    // how many may pass work that needs more memory than is left
)

// Turns says whose turn it is. It is safe for concurrent use.
type Turns struct {
	// Slots is how much work runs at once. One firm leaves a slot to the others, if
	// there is more than one.
	Slots int
	// Room is how many bytes the work that has begun may hold together.
	Room int64
	// Line is how many of one person may be in line.
	Line int
	// Patience is how long somebody waits for a turn to begin.
	Patience time.Duration
	Now      func() time.Time
	// In is for what work is done with.
	In Intake

	mu      sync.Mutex
	firms   parties
	line    []*Turn // who came first stands first
	running int
	held    int64
}

// New returns the turns of a server: half as much at once as there are processors, the others
// are for pages, and with 144 MB, the largest picture and an ordinary one beside it.
func New(now func() time.Time) *Turns {
	return &Turns{Slots: max(1, runtime.GOMAXPROCS(0)/2), Room: 144_000_000, Line: 32, Patience: 45 * time.Second,
		Now: now,
		In:  Intake{Most: 32 << 20}}
}

// Work is what somebody wants done.
type Work struct {
	Firm, Who string        // all strangers are one firm, without a name
	Bytes     int64         // held until it ends
	Most      time.Duration // for which it may run
}

// Usual returns work of the usual size: 8 MB, and 30 s at most.
func Usual(firm, who string) Work {
	return Work{Firm: firm, Who: who, Bytes: 8 << 20, Most: 30 * time.Second}
}

// Turn is work whose turn it is. One goroutine uses it.
type Turn struct {
	Work
	turns       *Turns
	firm, who   *party
	run         chan struct{} // gets one whenever the turn begins or goes on
	begun, runs bool
	passed      int       // how often others began first, for want of memory
	since       time.Time // when it began or went on
	ran         time.Duration
}

// Begin waits until it is the work's turn. The error is ErrFull, or that of ctx.
func (t *Turns) Begin(ctx context.Context, work Work) (*Turn, error) {
	t.mu.Lock()
	firm := t.firms.come(work.Firm)
	w := &Turn{Work: work, turns: t, firm: firm, who: firm.people.come(work.Who), run: make(chan struct{}, 1)}
	full := w.who.in > t.Line || work.Bytes > t.Room
	t.mu.Unlock()
	waiting, stop := context.WithTimeoutCause(ctx, t.Patience, ErrFull)
	defer stop()
	var err error = ErrFull
	if !full {
		err = w.wait(waiting)
	}
	if err != nil {
		w.End()
		return nil, err
	}
	return w, nil
}

// Do has work done in its turn; it calls pause as Pause is called.
func (t *Turns) Do(ctx context.Context, work Work, do func(pause func() error) error) error {
	w, err := t.Begin(ctx, work)
	if err != nil {
		return err
	}
	defer w.End()
	return do(func() error { return w.Pause(ctx) })
}

// Pause lets others go first where theirs had less. Work calls it as often as it can and
// ends with its error: that of ctx, or ErrLong.
func (w *Turn) Pause(ctx context.Context) error {
	t := w.turns
	ran := t.Now().Sub(w.since)
	switch {
	case ctx.Err() != nil:
		return ctx.Err()
	case w.ran+ran > w.Most:
		return ErrLong
	case ran < slice:
		return nil
	}
	t.mu.Lock()
	w.stop()
	next := t.pick()
	if next == nil || !next.before(w) {
		w.start()
		t.mu.Unlock()
		return nil
	}
	t.mu.Unlock()
	return w.wait(ctx)
}

// End ends a turn, and the next one begins.
func (w *Turn) End() {
	t := w.turns
	t.mu.Lock()
	defer t.mu.Unlock()
	if w.runs {
		w.stop()
	}
	if w.begun {
		t.held -= w.Bytes
	}
	w.firm.in, w.who.in = w.firm.in-1, w.who.in-1
	t.next()
}

// wait stands in line until the turn begins or goes on.
func (w *Turn) wait(ctx context.Context) error {
	t := w.turns
	t.mu.Lock()
	t.line = append(t.line, w)
	t.next()
	t.mu.Unlock()
	select {
	case <-w.run:
		return nil
	case <-ctx.Done():
	}
	t.mu.Lock()
	defer t.mu.Unlock()
	if w.runs { // it began at this very moment
		w.stop()
	}
	t.line = slices.DeleteFunc(t.line, func(one *Turn) bool { return one == w })
	return context.Cause(ctx)
}
