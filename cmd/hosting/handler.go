// Package hosting puts the server together and runs it: `lathmark serve` for a real firm,
// cmd/demo for an invented one.
package hosting

import (
	"cmp"
	"context"
	"log/slog"
	"net/http"
	"net/netip"
	"time"

	"lathmark/domain/photo"
	"lathmark/persistence"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/oidc"
	"lathmark/server/page/kit"
)

// Listen makes the hub of the open pages: it hears of whatever changes in the
// database, through this server or another, until hush is called.
func Listen(ctx context.Context, db *persistence.DB, log *slog.Logger) (hub *live.Hub, hush func()) {
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

// Handler puts the server together. open reports whether it still takes work.
func Handler(db *persistence.DB, hub *live.Hub, log *slog.Logger, address string, proxies []netip.Prefix,
	providers *oidc.Providers, open func() error, way func(persistence.Services) auth.SignIn) http.Handler {
	all := persistence.NewServices(db, time.Now)
	records := readiness{look: db.Ready, try: func(ctx context.Context) error {
		return cmp.Or(db.TryWriting(ctx), photo.Writable(ctx, db.Pictures))
	}}
	return server.New(server.Deps{
		Services: kit.Services{Firm: all.Firm, Job: all.Job, Desk: all.Desk, Book: all.Book,
			Diary: all.Diary,
			Photo: all.Photo, Held: all.Held, Programme: all.Programme, Now: time.Now},
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
