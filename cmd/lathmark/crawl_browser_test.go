package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"net/url"
	"os"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// tallest is how high a page may be on a phone of 390 px, in px: four screens.
const tallest = 4 * 844

// inWeb is the folder of the web package, whose tests have axe-core and the script
// that finds what a thumb would miss.
const inWeb = "../../web/"

// lights are the ways in which a page is looked at. What the dark changes is
// colours alone, and they are those of a phone on a screen, too: unless the crawl is
// whole, only their rule is asked there, and on a phone.
var lights = []struct {
	name  string
	width int64
	dark  bool
}{{"390", 390, false}, {"390, dark", 390, true}, {"1400", 1400, false}, {"1400, dark", 1400, true}}

// looker is the browser that looks at the demo's pages.
type looker struct {
	*phone
	t          *testing.T
	axe, touch string
	url        string
	who        string
	jars       map[string]http.CookieJar
}

// TestTheDemoCanBeUsed: on the pages of the running demo, as each kind of person,
// axe-core finds no violation of WCAG 2.2 AA in light or dark, on a phone or a
// screen; on a phone no page is higher than four screens or scrolls sideways, and
// what is touched is 48 px at least.
func TestTheDemoCanBeUsed(t *testing.T) {
	at, pages, jars := demoPages(t)
	l := &looker{t: t, phone: newPhone(t, chromium(t), at), url: at, jars: jars,
		axe:   textOfFile(t, inWeb+"node_modules/axe-core/axe.min.js"),
		touch: strings.Replace(textOfFile(t, inWeb+"testdata/touch.js"), "TEXT", "100%", 1)}
	chosen := toLookAt(pages)
	t.Logf("%d pages found, %d looked at", len(pages), len(chosen))
	t.Run("by hand", func(t *testing.T) { l.in(t).byHand(chosen) })
	t.Run("by axe", func(t *testing.T) { l.in(t).byAxe(chosen) })
}

// in reports to t from now on.
func (l *looker) in(t *testing.T) *looker { l.t, l.phone.t = t, t; return l }

// byHand looks at pages on a phone: how high they are, and what a thumb or an eye
// would miss.
func (l *looker) byHand(pages []*crawled) {
	l.t.Helper()
	heights := map[string]int64{}
	l.do(scheme(false))
	for _, p := range pages {
		l.shows(p)
		high := eval[int64](l.phone, "document.documentElement.scrollHeight")
		heights[p.kind] = max(high, heights[p.kind])
		if high > tallest && allowedToBeTall[p.kind] == "" {
			l.t.Errorf("%s is %d px high at 390, %.1f screens", p, high, float64(high)/844)
		}
		for _, fault := range eval[[]string](l.phone, l.touch) {
			l.t.Errorf("%s: %s", p, fault)
		}
	}
	for kind, reason := range allowedToBeTall {
		if high, seen := heights[kind]; seen && high <= tallest {
			l.t.Errorf("%s is %d px high at most: it needs no leave to be higher (%s)", kind, high, reason)
		}
	}
}

// byAxe has axe-core look at pages in each light. The window is as high as the page,
// so that nothing lies under the bar at its foot.
func (l *looker) byAxe(pages []*crawled) {
	l.t.Helper()
	for _, p := range pages {
		l.do(scheme(false))
		l.shows(p)
		eval[bool](l.phone, l.axe+"\n;true")
		high := eval[int64](l.phone, "document.documentElement.scrollHeight")
		for _, as := range lights {
			if as.dark && as.width > 390 && !wholeCrawl {
				continue
			}
			l.do(chromedp.EmulateViewport(as.width, max(844, high)))
			l.do(scheme(as.dark))
			if wide := eval[int64](l.phone, "document.documentElement.scrollWidth"); wide > as.width {
				l.t.Errorf("%s is %d wide at %s", p, wide, as.name)
			}
			for _, says := range l.violations(as.dark && !wholeCrawl) {
				l.t.Errorf("%s at %s: %s", p, as.name, says)
			}
		}
	}
}

// shows shows a page on a phone, to the person that it is for.
func (l *looker) shows(p *crawled) {
	l.t.Helper()
	l.becomes(p.who)
	l.do(chromedp.EmulateViewport(390, 844))
	l.open(p.path)
}

// allowedToBeTall are the kinds of pages that may be higher than four screens,
// each with its reason.
var allowedToBeTall = map[string]string{
	"/rooms/:id/holes":         "one leaf a hole, turned one by one where a script runs",
	"/rooms/:id/schedule":      "the list of positions, and four ways to add to it",
	"/rooms/:id/schedule/copy": "as the schedule",
	"/rooms/:id/set-out":       "each hole to cut has its figures, its advice and its cautions in sight",
}

func textOfFile(t *testing.T, path string) string {
	t.Helper()
	text, err := os.ReadFile(path)
	if err != nil {
		t.Fatalf("%v: make script installs what is missing", err)
	}
	return string(text)
}

// violations returns what axe-core finds on the page that is shown. It is loaded
// by the developer tools, which the page's policy does not bind.
func (l *looker) violations(coloursOnly bool) (out []string) {
	l.t.Helper()
	rules := `{type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}`
	if coloursOnly {
		rules = `{type: "rule", values: ["color-contrast"]}`
	}
	ctx, cancel := context.WithTimeout(l.ctx, patienceOfAThumb)
	defer cancel()
	found, err := chromedp.Run(ctx, chromedp.Evaluate[[]struct {
		ID, Help string
		Nodes    []struct{ Target []json.RawMessage }
	}](`axe.run(document, {runOnly: `+rules+`, resultTypes: ["violations"]}).then(r => r.violations)`,
		chromedp.EvalAwaitPromise))
	if err != nil {
		l.t.Fatalf("%s: %v", l.at(), err)
	}
	for _, v := range found {
		for _, n := range v.Nodes {
			out = append(out, fmt.Sprintf("%s (%s) at %s", v.ID, v.Help, n.Target))
		}
	}
	return out
}

// becomes puts the cookies of who into the browser.
func (l *looker) becomes(who string) {
	l.t.Helper()
	if l.who == who {
		return
	}
	l.who = who
	at, err := url.Parse(l.url)
	if err != nil {
		l.t.Fatal(err)
	}
	l.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		if _, err := cdp.Call(ctx, t, network.ClearBrowserCookies, cdp.Empty{}); err != nil {
			return err
		}
		for _, c := range l.jars[who].Cookies(at) {
			if _, err := cdp.Call(ctx, t, network.SetCookie,
				network.SetCookieParams{Name: c.Name, Value: c.Value, URL: l.url}); err != nil {
				return err
			}
		}
		return nil
	}))
}

// scheme sets whether the browser asks for dark pages.
func scheme(dark bool) chromedp.Action[chromedp.Void] {
	value := "light"
	if dark {
		value = "dark"
	}
	return chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: value}}})
		return err
	})
}
