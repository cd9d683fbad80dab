package hosting

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"
)

// Host answers on a listener until it is told to stop, then lets what is under way end.
type Host struct {
	Log   *slog.Logger
	Drain time.Duration // how long that may take
	// Stopping, if there is one, ends what would not end of itself.
	Stopping func()
}

// ErrDraining is why a server that was told to stop is not ready.
var ErrDraining = errors.New("stopping")

// Serve answers on at until ctx is done, and returns nil once every request has been
// answered. handler gets a function that returns nil while the host takes work, else ErrDraining.
func (h Host) Serve(ctx context.Context, at net.Listener, handler func(open func() error) http.Handler) error {
	open := func() error {
		if ctx.Err() != nil {
			return ErrDraining
		}
		return nil
	}
	s := &http.Server{
		Handler:           handler(open),
		ReadHeaderTimeout: 10 * time.Second,
		ReadTimeout:       60 * time.Second,
		WriteTimeout:      60 * time.Second,
		IdleTimeout:       120 * time.Second,
		MaxHeaderBytes:    64 << 10,
		ErrorLog:          slog.NewLogLogger(h.Log.Handler(), slog.LevelWarn),
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(at) }()
	select {
	case err := <-ended:
		return fmt.Errorf("listening on %s: %w", at.Addr(), err)
	case <-ctx.Done():
	}
	h.Log.Info("stopping", "drain", h.Drain.String())
	if h.Stopping != nil {
		h.Stopping()
	}
	late, cancel := context.WithTimeout(context.WithoutCancel(ctx), h.Drain)
	defer cancel()
	if err := s.Shutdown(late); err != nil {
		return fmt.Errorf("some requests were cut off: %w", errors.Join(err, s.Close()))
	}
	return nil
}
