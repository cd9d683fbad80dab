package main

import (
	"context"
	"log/slog"
	"net/http/httptest"
	"testing"

	"github.com/chromedp/chromedp"

	"lathmark/domain/firm"
	"lathmark/persistence/dbtest"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/live"
	"lathmark/server/page"
)

// building is a site with a server before it, and a Chromium that people's phones are
// windows of.
type building struct {
	*dbtest.Site
	hub     *live.Hub
	url     string
	browser context.Context
}

// build starts all of that for one test.
func build(t *testing.T) *building {
	t.Helper()
	b := &building{Site: dbtest.New(t), hub: live.NewHub()}
	b.url = serving(t, b.hub, page.Services{Firm: b.Firm, Job: b.Job, Room: b.Room, Stage: b.Stage, Book: b.Book,
		Diary: b.Diary,
		Visit: b.Visit, Photo: b.Photo, Held: b.Held, Now: b.Clock.Now},
		auth.Demo{Firms: b.Firm, Firm: b.Owner.Firm})
	b.browser = chromium(t)
	return b
}

// serving serves people's pages and returns the address.
func serving(t *testing.T, hub *live.Hub, s page.Services, way auth.SignIn) string {
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

// chromium starts a browser, which ends with t.
func chromium(t *testing.T) context.Context {
	t.Helper()
	ctx, stop := chromedp.NewContext(context.Background())
	t.Cleanup(stop)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("a browser is needed, make setup installs one: %v", err)
	}
	return ctx
}

// as returns the phone of somebody who has come in by the page of people.
func (b *building) as(t *testing.T, who firm.Person) *phone {
	t.Helper()
	p := newPhone(t, b.browser, b.url)
	p.open("/sign-in")
	p.press("Go in as " + who.Name)
	return p
}
