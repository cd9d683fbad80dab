package web

import (
	"bytes"
	"context"
	"net/http"
	"net/http/httptest"
	"os/exec"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// browser starts a Chromium of its own for one test.
func browser(t *testing.T) context.Context {
	t.Helper()
	if _, err := exec.LookPath("chromium"); err != nil {
		t.Fatal("Chromium is not installed: run make setup")
	}
	ctx, stop := chromedp.NewContext(context.Background())
	t.Cleanup(stop)
	if err := chromedp.Do(ctx, chromedp.Navigate("about:blank")); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(ctx, 9*time.Minute)
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

// TestNoPageScrollsSideways: in a real browser, under the policy, the
// stylesheet is applied and no page is wider than a phone or a screen.
func TestNoPageScrollsSideways(t *testing.T) {
	ctx, server := browser(t), shelf(t)
	for _, s := range samples() {
		if err := chromedp.Do(ctx, chromedp.Navigate(server.URL+"/"+s.name)); err != nil {
			t.Fatalf("%s: %v", s.name, err)
		}
		for _, width := range []int64{390, 1400} {
			if err := chromedp.Do(ctx, chromedp.EmulateViewport(width, 900)); err != nil {
				t.Fatal(err)
			}
			page, err := chromedp.Run(ctx, chromedp.Evaluate[look](looking))
			if err != nil {
				t.Fatalf("%s: %v", s.name, err)
			}
			if page.Wide > width {
				t.Errorf("%s is %d wide at %d", s.name, page.Wide, width)
			}
			if page.Paper == "rgba(0, 0, 0, 0)" {
				t.Errorf("%s has no paper: the stylesheet was refused", s.name)
			}
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
	for _, c := range []struct{ touch, leads string }{
		{"#plan-ceiling-position-D1 .touch", "#row-ceiling-position-D1"},
		{"#row-ceiling-position-D1 th a", "#plan-ceiling-position-D1"},
		{"#row-ceiling-timber-J2 th a", "#plan-ceiling-timber-J2"},
	} {
		if err := chromedp.Do(ctx, chromedp.Click(chromedp.CSS(c.touch))); err != nil {
			t.Fatalf("%s: %v", c.touch, err)
		}
		got, err := chromedp.Run(ctx, chromedp.Evaluate[string](`"#" + document.querySelector(":target").id`))
		if err != nil || got != c.leads {
			t.Errorf("touching %s leads to %q (%v), want %s", c.touch, got, err, c.leads)
		}
	}
}
