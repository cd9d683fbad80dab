// Package hosting puts the server together and runs it: `lathmark serve` for a real firm,
// cmd/demo for an invented one.
package hosting

import (
	"cmp"
	"context"
	"log/slog"
	"net/http"
	"net/netip"
	"sync"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/photo"
	"lathmark/domain/programme"
	"lathmark/persistence"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/oidc"
	"lathmark/server/page/kit"
)

// Listen makes the hub of the open pages: it hears of whatever changes in the
// database, through this server or another, until hush is called. Meanwhile programmes are
// worked out again after what changes.
func Listen(ctx context.Context, db *persistence.DB, all persistence.Services, log *slog.Logger) (hub *live.Hub,
	hush func()) {
	hub = live.NewHub()
	turns := programme.NewTurns(all.Planner, db.Firms, log)
	db.Announce(log)
	ctx, stop := context.WithCancel(ctx)
	var running sync.WaitGroup
	running.Go(func() { db.Listen(ctx, log, ears{hub, turns}) })
	running.Go(func() { turns.Run(ctx) })
	return hub, func() { stop(); running.Wait() }
}

// ears are several that are told the same.
type ears []persistence.Ear

// Tell implements persistence.Ear.
func (all ears) Tell(c diary.Change) {
	for _, e := range all {
		e.Tell(c)
	}
}

// Gap implements persistence.Ear.
func (all ears) Gap() {
	for _, e := range all {
		e.Gap()
	}
}

// Handler puts the server together. open reports whether it still takes work.
func Handler(db *persistence.DB, all persistence.Services, hub *live.Hub, log *slog.Logger, address string,
	proxies []netip.Prefix, providers *oidc.Providers, open func() error, way auth.SignIn) http.Handler {
	records := readiness{look: db.Ready, try: func(ctx context.Context) error {
		return cmp.Or(db.TryWriting(ctx), photo.Writable(ctx, db.Pictures))
	}}
	return server.New(server.Deps{
		Services: kit.Services{Firm: all.Firm, Job: all.Job, Desk: all.Desk, Book: all.Book,
			Diary: all.Diary,
			Photo: all.Photo, Held: all.Held, Programme: all.Programme, Now: time.Now},
		SignIn: way, Providers: providers, BaseURL: address, Live: hub, Log: log,
		Proxies: proxies, Rates: server.UsualRates,
		Ready: func(ctx context.Context) error {
			if err := open(); err != nil {
				return err
			}
			return records.check(ctx)
		},
	})
}
