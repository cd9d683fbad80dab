package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"net/http"
	"net/url"
	"os"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"lathmark/cmd/hosting"
	"lathmark/persistence"
	"lathmark/persistence/schema"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/oidc"
)

const serveUsage = "Usage: lathmark serve\n\nRuns the server until it is told to stop.\n\n"

// memory is what the server takes, with what is not yet swept up: the pictures that it works
// on, what waits for its turn, and 32 MB besides. Without it the sweeper would let twice as much
// lie about. GOMEMLIMIT in the environment goes before it.
const memory = 208 << 20

// runServe answers until it is told to stop.
func runServe(ctx context.Context, s streams, args []string) error {
	if len(args) > 0 {
		return usageError("")
	}
	c, err := readConfig(s.env)
	if err != nil {
		return err
	}
	if !slices.ContainsFunc(s.env, func(pair string) bool { return strings.HasPrefix(pair, "GOMEMLIMIT=") }) {
		debug.SetMemoryLimit(memory)
	}
	log, err := logger(s.err, c.Log)
	if err != nil {
		return err
	}
	if c.Address, err = address(c); err != nil {
		return err
	}
	proxies, err := server.Proxies(c.Proxies)
	if err != nil {
		return fmt.Errorf("LATHMARK_PROXIES is %q: it has to be like 10.0.0.5,fd00::/8: %w", c.Proxies, err)
	}
	providers, err := oidc.ReadConfig(c.OIDC, os.ReadFile)
	if err != nil {
		return fmt.Errorf("LATHMARK_OIDC: %w", err)
	}
	db, err := openDatabase(ctx, c)
	if err != nil {
		return err
	}
	defer db.Close()
	if db.Pictures, err = pictures(c); err != nil {
		return err
	}
	at, err := (&net.ListenConfig{}).Listen(ctx, "tcp", c.Listen)
	if err != nil {
		return err
	}
	log.Info("listening", "on", at.Addr().String(), "address", c.Address, "trusted proxies", cmp.Or(c.Proxies, "none"))
	all := persistence.NewServices(db, time.Now)
	hub, hush := hosting.Listen(ctx, db, all, log)
	defer hush()
	return hosting.Host{Log: log, Drain: c.Drain, Stopping: hub.Close}.Serve(ctx, at,
		func(open func() error) http.Handler {
			return hosting.Handler(db, all, hub, log, c.Address, proxies, oidc.New(providers, c.Address, log, time.Now), open,
				auth.Links{})
		})
}

// openDatabase opens the pool and makes sure of what the server relies on: the newest
// schema, and a role that the rules between firms bind.
func openDatabase(ctx context.Context, c config) (*persistence.DB, error) {
	if c.Database == "" {
		return nil, errors.New("LATHMARK_DATABASE is not set: the server needs its database")
	}
	if c.Migrate {
		if c.Owner == "" {
			return nil, errors.New("LATHMARK_MIGRATE is true and LATHMARK_OWNER_DATABASE is not set: only that role can " +
				"change the schema")
		}
		if err := schema.Up(ctx, c.Owner); err != nil {
			return nil, err
		}
	}
	db, err := persistence.Open(ctx, c.Database)
	if err != nil {
		return nil, err
	}
	v, err := db.Schema(ctx)
	if err == nil {
		err = v.Check()
	}
	if err == nil {
		err = schema.Bound(ctx, c.Database)
	}
	if err != nil {
		db.Close()
		return nil, err
	}
	return db, nil
}

// address returns how people reach the server.
func address(c config) (string, error) {
	at, err := url.Parse(cmp.Or(c.Address, "http://"+c.Listen))
	if err != nil || at.Host == "" || at.Scheme != "http" && at.Scheme != "https" || at.Path != "" && at.Path != "/" ||
		at.RawQuery != "" {
		return "", fmt.Errorf("LATHMARK_ADDRESS is %q: it has to be like https://lathmark.example", c.Address)
	}
	return at.Scheme + "://" + at.Host, nil
}

// logger writes the log to w.
func logger(w io.Writer, kind string) (*slog.Logger, error) {
	switch kind {
	case "json":
		return slog.New(slog.NewJSONHandler(w, nil)), nil
	case "text":
		return slog.New(slog.NewTextHandler(w, nil)), nil
	}
	return nil, fmt.Errorf("LATHMARK_LOG is %q: it has to be json or text", kind)
}

func allSettings() (names []string) {
	for _, s := range settings {
		names = append(names, s.name)
	}
	return names
}
