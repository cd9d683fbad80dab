package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"
)

// host answers on a listener until ctx is done, then lets what is under way end.
type host struct {
	log   *slog.Logger
	drain time.Duration // how long that may take
	// stopping, if there is one, ends what would not end of itself.
	stopping func()
}

// errDraining is why a server that was told to stop is not ready.
var errDraining = errors.New("stopping")

// serve returns nil once every request has been answered. handler gets a function that tells
// whether the host still takes work.
func (h host) serve(ctx context.Context, at net.Listener, handler func(open func() error) http.Handler) error {
	open := func() error {
		if ctx.Err() != nil {
			return errDraining
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
		ErrorLog:          slog.NewLogLogger(h.log.Handler(), slog.LevelWarn),
	}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(at) }()
	select {
	case err := <-ended:
		return fmt.Errorf("listening on %s: %w", at.Addr(), err)
	case <-ctx.Done():
	}
	h.log.Info("stopping", "drain", h.drain.String())
	if h.stopping != nil {
		h.stopping()
	}
	late, cancel := context.WithTimeout(context.WithoutCancel(ctx), h.drain)
	defer cancel()
	if err := s.Shutdown(late); err != nil {
		return fmt.Errorf("some requests were cut off: %w", errors.Join(err, s.Close()))
	}
	return nil
}
