package main

import (
	"context"
	"log/slog"
	"net/http/httptest"
	"sync"
	"testing"

	"github.com/chromedp/chromedp"

	"lathmark/domain/firm"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/page/kit"
)

// building is a site with a server before it, and the Chromium that people's phones are
// windows of.
type building struct {
	*dbtest.Site
	hub     *live.Hub
	url     string
	browser context.Context
}

// build starts all of that for one test, which runs beside others.
func build(t *testing.T) *building {
	t.Helper()
	t.Parallel()
	b := &building{Site: dbtest.New(t), hub: live.NewHub()}
	b.url = serving(t, b.hub, kit.Services{Firm: b.Firm, Job: b.Job, Desk: b.Desk, Book: b.Book,
		Diary: b.Diary,
		Photo: b.Photo, Held: b.Held, Programme: b.Programme, Now: b.Clock.Now},
		auth.Demo{Firms: b.Firm, Firm: b.Owner.Firm})
	b.browser = chromium(t)
	return b
}

// serving serves people's pages and returns the address.
func serving(t *testing.T, hub *live.Hub, s kit.Services, way auth.SignIn) string {
	t.Helper()
	// The server has to know its address before it has one; links alone need it.
	at := httptest.NewUnstartedServer(nil)
	url := "http://" + at.Listener.Addr().String()
	at.Config.Handler = server.New(server.Deps{Services: s, SignIn: way, BaseURL: url, Live: hub,
		Log:   slog.New(slog.DiscardHandler),
		Ready: func(context.Context) error { return nil }})
	at.Start()
	t.Cleanup(func() { hub.Close(); at.Close() })
	return url
}

// running is the Chromium that the package's tests share, and what ends it.
var running struct {
	once sync.Once
	ctx  context.Context
	stop context.CancelFunc
	err  error
}

func TestMain(m *testing.M) {
	pgtest.Main(m)
	if running.stop != nil {
		running.stop()
	}
}

// chromium returns the package's Chromium. People's phones are windows of it that share
// nothing.
func chromium(t *testing.T) context.Context {
	t.Helper()
	running.once.Do(func() {
		running.ctx, running.stop = chromedp.NewContext(context.Background())
		running.err = chromedp.Do(running.ctx)
	})
	if running.err != nil {
		t.Fatalf("a browser is needed, make setup installs one: %v", running.err)
	}
	return running.ctx
}

// as returns the phone of somebody who has come in by the page of people.
func (b *building) as(t *testing.T, who firm.Person) *phone {
	t.Helper()
	p := newPhone(t, b.browser, b.url)
	p.open("/sign-in")
	p.press("Sign in as " + who.Name)
	return p
}
