package web

import (
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// running is the Chromium that the package's tests share, and what ends it.
var running struct {
	once sync.Once
	ctx  context.Context
	stop context.CancelFunc
	err  error
}

func TestMain(m *testing.M) {
	m.Run() // TestMain's caller knows the result
	if running.stop != nil {
		running.stop()
	}
}

// browser returns a window of the package's Chromium, which has no cookies and
// nothing kept and is closed when t is over.
func browser(t *testing.T) context.Context {
	t.Helper()
	running.once.Do(func() {
		running.ctx, running.stop = chromedp.NewContext(context.Background())
		running.err = chromedp.Do(running.ctx, chromedp.Navigate("about:blank"))
	})
	if running.err != nil {
		t.Fatalf("a browser is needed, make setup installs one: %v", running.err)
	}
	ctx, closed := chromedp.NewContext(running.ctx, chromedp.WithNewBrowserContext())
	t.Cleanup(closed)
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(ctx, 20*time.Minute)
	t.Cleanup(cancel)
	return ctx
}

// shelf serves the canned pages under the policy that they are written for.
func shelf(t *testing.T) *httptest.Server {
	t.Helper()
	mux := http.NewServeMux()
	for _, a := range Assets {
		mux.HandleFunc(a.Path, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", a.Type)
			_, _ = bytes.NewReader(a.Data).WriteTo(w)
		})
	}
	for _, s := range samples() {
		page := s.html(t)
		mux.HandleFunc("/"+s.name, func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Type", "text/html; charset=utf-8")
			w.Header().Set("Content-Security-Policy", ContentSecurityPolicy)
			_, _ = bytes.NewReader(page).WriteTo(w)
		})
	}
	mux.HandleFunc("/random-rooms", randomRooms)
	server := httptest.NewServer(mux)
	t.Cleanup(server.Close)
	return server
}

// look is what the browser reports about one page.
type look struct {
	Wide  int64
	Paper string
}

const looking = `({Wide: document.documentElement.scrollWidth, Paper: ` +
	`getComputedStyle(document.querySelector("main")).backgroundColor})`

// TestEveryPage loads every canned page once in a real browser, under its
// policy, and looks at it in all the ways of this package, at two pages at a time.
func TestEveryPage(t *testing.T) {
	server, script := shelf(t), axe(t)
	windows := make(chan context.Context, 2)
	for range cap(windows) {
		windows <- browser(t)
	}
	for _, s := range samples() {
		t.Run(s.name, func(t *testing.T) {
			t.Parallel()
			ctx := <-windows
			defer func() { windows <- ctx }()
			if err := chromedp.Do(ctx, chromedp.EmulateViewport(390, 844), night(false),
				chromedp.Navigate(server.URL+"/"+s.name)); err != nil {
				t.Fatal(err)
			}
			doesNotScrollSideways(t, ctx)
			labelsAreApart(t, ctx)
			axeFindsNothing(t, ctx, script)
			isMadeForTheHand(t, ctx) // last, for it changes the text's size
		})
	}
}

// doesNotScrollSideways: the stylesheet is applied, and the page is wider
// neither than a phone nor than a screen.
func doesNotScrollSideways(t *testing.T, ctx context.Context) {
	t.Helper()
	for _, width := range []int64{1400, 390} {
		if err := chromedp.Do(ctx, chromedp.EmulateViewport(width, 844)); err != nil {
			t.Fatal(err)
		}
		page, err := chromedp.Run(ctx, chromedp.Evaluate[look](looking))
		if err != nil {
			t.Fatal(err)
		}
		if page.Wide > width {
			t.Errorf("it is %d wide at %d", page.Wide, width)
		}
		if page.Paper == "rgba(0, 0, 0, 0)" {
			t.Error("it has no paper: the stylesheet was refused")
		}
	}
}

// TestTouchingAPositionLeadsToItsLine and back, in a real browser without our
// scripts.
func TestTouchingAPositionLeadsToItsLine(t *testing.T) {
	ctx, server := browser(t), shelf(t)
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(390, 900), chromedp.Navigate(server.URL+"/room")); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(ctx, time.Minute) // what is not there is waited for
	defer cancel()
	for _, c := range []struct{ touch, leads string }{
		{"#plan-ceiling-position-D1 .touch", "#row-ceiling-position-D1"},
		{"#row-ceiling-position-D1 summary", ""},
		{"#row-ceiling-position-D1 a[href^='#plan']", "#plan-ceiling-position-D1"},
		{"details:has(#row-ceiling-timber-J2) > summary", ""},
		{"#row-ceiling-timber-J2 th a", "#plan-ceiling-timber-J2"},
	} {
		if err := chromedp.Do(ctx, chromedp.Click(chromedp.CSS(c.touch))); err != nil {
			t.Fatalf("%s: %v", c.touch, err)
		}
		if c.leads == "" {
			continue // it is opened
		}
		got, err := chromedp.Run(ctx, chromedp.Evaluate[string](`"#" + document.querySelector(":target").id`))
		if err != nil || got != c.leads {
			t.Errorf("touching %s leads to %q (%v), want %s", c.touch, got, err, c.leads)
		}
	}
}
