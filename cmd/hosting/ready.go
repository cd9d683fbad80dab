package hosting

import (
	"context"
	"errors"
	"sync"
	"time"
)

const (
	// readyFor is how long what came of a try is good for: probes may come as often as
	// they like. One that failed is tried again sooner.
	readyFor, failedFor = 5 * time.Second, time.Second
	// readyWithin is how long whoever asks may have to wait.
	readyWithin = 2 * time.Second
)

// errSlow is why records that do not answer are not ready.
var errSlow = errors.New("the records have not answered in time")

// readiness reports whether the records can be written. It looks each time, and tries
// now and then. It is safe for concurrent use: who asks meanwhile waits for the try that
// is under way.
type readiness struct {
	look, try func(context.Context) error

	mu    sync.Mutex
	until time.Time     // what came is good for so long
	came  error         // of the last try
	under chan struct{} // closed when the try under way has ended; nil: none is
}

// check returns why nothing can be written; nil: it can.
func (r *readiness) check(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, readyWithin)
	defer cancel()
	if err := r.look(ctx); err != nil {
		return err
	}
	select {
	case <-r.tried():
		r.mu.Lock()
		defer r.mu.Unlock()
		return r.came
	case <-ctx.Done():
		return errSlow
	}
}

// tried returns what is closed as soon as it is known what came of a try.
func (r *readiness) tried() <-chan struct{} {
	r.mu.Lock()
	defer r.mu.Unlock()
	ended := r.under
	switch {
	case ended != nil:
	case time.Now().Before(r.until):
		ended = make(chan struct{})
		close(ended)
	default:
		ended = make(chan struct{})
		r.under = ended
		go r.run()
	}
	return ended
}

// run tries. Whoever asked first may leave: the answer is everybody's.
func (r *readiness) run() {
	ctx, cancel := context.WithTimeout(context.Background(), readyWithin)
	defer cancel()
	came, good := r.try(ctx), readyFor
	if came != nil {
		good = failedFor
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	close(r.under)
	r.until, r.came, r.under = time.Now().Add(good), came, nil
}
