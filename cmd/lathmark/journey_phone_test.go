package main

import (
	"context"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
)

// phone is what one person looks at: 390 wide, with cookies of its own. Its methods do
// what a thumb does, and end the test where that cannot be done.
type phone struct {
	t      *testing.T
	ctx    context.Context
	url    string
	status int64 // of the page that is shown
	pages  int   // turned so far
	taps   int   // every touch so far: of links, buttons, boxes, fields; typing is none
	moved  chan struct{}
}

// patienceOfAThumb is how long a page, or a word of the program, may take: much longer than
// it does, for a machine that has other things to do.
const patienceOfAThumb = 3 * time.Minute

func newPhone(t *testing.T, browser context.Context, url string) *phone {
	t.Helper()
	ctx, stop := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	t.Cleanup(stop)
	return newPhoneIn(t, ctx, url)
}

// newPhoneIn returns a tab as somebody's phone.
func newPhoneIn(t *testing.T, ctx context.Context, url string) *phone {
	t.Helper()
	if err := chromedp.Do(ctx, chromedp.EmulateViewport(390, 844)); err != nil {
		t.Fatal(err)
	}
	p := &phone{t: t, ctx: ctx, url: url, moved: make(chan struct{}, 1)}
	err := chromedp.Listen(ctx, func(ev any) {
		switch fmt.Sprintf("%T", ev) {
		case "*page.EventFrameNavigated", "*page.EventLoadEventFired":
			select {
			case p.moved <- struct{}{}:
			default: // it is told already
			}
		}
	})
	if err != nil {
		t.Fatal(err)
	}
	return p
}

// turns does something that leads to another page, and waits until that is there. It may
// be one that the browser has kept, for which nothing is asked of the server; one that leads
// on by itself is not the page.
func (p *phone) turns(do chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patienceOfAThumb)
	defer cancel()
	p.pages++
	eval[int](p, fmt.Sprintf("window.seen = %d", p.pages))
	if err := chromedp.Do(ctx, do); err != nil {
		p.t.Fatalf("%v\n%s", err, p.text())
	}
	for {
		status, err := chromedp.Run(ctx, chromedp.Evaluate[int64](fmt.Sprintf(
			`window.seen === %d || document.readyState !== "complete" ||
				document.body.textContent.includes("If nothing happens by itself") ? 0
				: performance.getEntriesByType("navigation")[0].responseStatus`, p.pages)))
		if p.status = status; err == nil && status > 0 {
			break
		}
		select {
		case <-p.moved:
		case <-ctx.Done():
			p.t.Fatalf("no other page came: %s: %.1200s", p.at(), p.text())
		}
	}
	if wide := eval[int64](p, "document.documentElement.scrollWidth"); wide > 390 {
		p.t.Errorf("%s is %d wide", p.at(), wide)
	}
}

// open goes to an address of the server.
func (p *phone) open(path string) { p.t.Helper(); p.turns(chromedp.Navigate(p.url + path)) }

// back is the browser's own.
func (p *phone) back() {
	p.t.Helper()
	p.turns(chromedp.Evaluate[chromedp.Void]("history.back()"))
}

// touch puts a thumb on what find has marked, n times. A thumb waits until the
// page stands still: lines that come above would move it to another button.
func (p *phone) touch(n int) chromedp.Action[chromedp.Void] {
	p.t.Helper()
	p.taps += n
	ctx, cancel := context.WithTimeout(p.ctx, patienceOfAThumb)
	defer cancel()
	at, err := chromedp.Run(ctx, chromedp.Evaluate[[]float64](`new Promise(yes => {
		const e = document.querySelector("[data-thumb]");
		let was, still = 0;
		const look = () => {
			e.scrollIntoView({block: "center"});
			const r = e.getClientRects()[0]; // of its first line
			const is = [r.x + r.width/2, r.y + r.height/2];
			still = String(was) === String(is) ? still + 1 : 0;
			was = is;
			still > 4 ? yes(is) : setTimeout(look, 20);
		};
		look()})`, chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%s: what is to be touched does not stand still: %v", p.at(), err)
	}
	return chromedp.MouseClickXY(at[0], at[1], chromedp.ClickCount(n))
}

// at returns the address shown, without the server's.
func (p *phone) at() string { return strings.TrimPrefix(eval[string](p, "location.href"), p.url) }

// text returns all that the page says, with single blanks.
func (p *phone) text() string {
	return strings.Join(strings.Fields(eval[string](p, "document.body ? document.body.textContent : ''")), " ")
}

func eval[T any](p *phone, script string) T {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patienceOfAThumb)
	defer cancel()
	got, err := chromedp.Run(ctx, chromedp.Evaluate[T](script))
	if err != nil {
		p.t.Fatalf("%s: %v", script, err)
	}
	return got
}

// sees waits until every one of the texts is on the page: a script may draw it a
// moment after the page is there.
func (p *phone) sees(texts ...string) {
	p.t.Helper()
	for _, want := range texts {
		p.awaitsWords(want)
	}
}

// lacks wants none of the texts on the page.
func (p *phone) lacks(texts ...string) {
	p.t.Helper()
	page := p.text()
	for _, not := range texts {
		if strings.Contains(page, not) {
			p.t.Errorf("%s says %q: %.1200s", p.at(), not, page)
		}
	}
}
