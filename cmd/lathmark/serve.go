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
	"net/netip"
	"net/url"
	"os"
	"time"

	"lathmark/domain/photo"
	"lathmark/persistence"
	"lathmark/persistence/schema"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/oidc"
	"lathmark/server/page/kit"
)

const serveUsage = "Usage: lathmark serve\n\nRuns the server until it is told to stop.\n\n"

// runServe answers until it is told to stop.
func runServe(ctx context.Context, s streams, args []string) error {
	if len(args) > 0 {
		return usageError("")
	}
	c, err := readConfig(s.env)
	if err != nil {
		return err
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
	log.Info("listening", "on", at.Addr().String(), "address", c.Address)
	hub, hush := listen(ctx, db, log)
	defer hush()
	return host{log: log, drain: c.Drain, stopping: hub.Close}.serve(ctx, at, func(open func() error) http.Handler {
		return handler(db, hub, log, c.Address, proxies, oidc.New(providers, c.Address, log, time.Now), open,
			func(persistence.Services) auth.SignIn { return auth.Links{} })
	})
}

// listen makes the hub of the open pages: it hears of whatever changes in the
// database, through this server or another, until hush is called.
func listen(ctx context.Context, db *persistence.DB, log *slog.Logger) (hub *live.Hub, hush func()) {
	hub = live.NewHub()
	db.Announce(log)
	ctx, stop := context.WithCancel(ctx)
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		db.Listen(ctx, log, hub)
	}()
	return hub, func() { stop(); <-ended }
}

// handler puts the server together. open reports whether it still takes work.
func handler(db *persistence.DB, hub *live.Hub, log *slog.Logger, address string, proxies []netip.Prefix,
	providers *oidc.Providers, open func() error, way func(persistence.Services) auth.SignIn) http.Handler {
	all := persistence.NewServices(db, time.Now)
	records := readiness{look: db.Ready, try: func(ctx context.Context) error {
		return cmp.Or(db.TryWriting(ctx), photo.Writable(ctx, db.Pictures))
	}}
	return server.New(server.Deps{
		Services: kit.Services{Firm: all.Firm, Job: all.Job, Desk: all.Desk, Book: all.Book,
			Diary: all.Diary,
			Photo: all.Photo, Held: all.Held, Now: time.Now},
		SignIn: way(all), Providers: providers, BaseURL: address, Live: hub, Log: log,
		Proxies: proxies, Rates: server.UsualRates,
		Ready: func(ctx context.Context) error {
			if err := open(); err != nil {
				return err
			}
			return records.check(ctx)
		},
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
			return nil, errors.New("LATHMARK_MIGRATE is true and LATHMARK_OWNER_DATABASE is not set: only that role can change the schema")
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
