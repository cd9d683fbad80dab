package main

import (
	"context"
	"encoding/json"
	"fmt"
	"log/slog"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"lathmark/domain/firm"
	"lathmark/persistence/dbtest"
	"lathmark/server"
	"lathmark/server/auth"
	"lathmark/server/page"
)

// building is a site with a server before it, and a Chromium that people's phones are
// windows of.
type building struct {
	*dbtest.Site
	url     string
	browser context.Context
}

// build starts all of that for one test.
func build(t *testing.T) *building {
	t.Helper()
	b := &building{Site: dbtest.New(t)}
	b.url = serving(t, page.Services{Firm: b.Firm, Job: b.Job, Room: b.Room, Stage: b.Stage, Diary: b.Diary, Now: b.Clock.Now},
		auth.Demo{Firms: b.Firm, Firm: b.Owner.Firm})
	b.browser = chromium(t)
	return b
}

// serving serves people's pages and gives the address.
func serving(t *testing.T, s page.Services, way auth.SignIn) string {
	t.Helper()
	// The server has to know its address before it has one; links alone need it.
	var at *httptest.Server
	at = httptest.NewUnstartedServer(nil)
	url := "http://" + at.Listener.Addr().String()
	at.Config.Handler = server.New(server.Deps{Services: s, SignIn: way, BaseURL: url, Log: slog.New(slog.DiscardHandler),
		Ready: func(context.Context) error { return nil }})
	at.Start()
	t.Cleanup(at.Close)
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

// phone is what one person looks at: 390 wide, with cookies of its own. Its methods do
// what a thumb does, and end the test where that cannot be done.
type phone struct {
	t      *testing.T
	ctx    context.Context
	url    string
	status int64 // of the page that is shown
	pages  int   // turned so far
	moved  chan struct{}
}

// patienceOfAThumb is how long a page may take.
const patienceOfAThumb = time.Minute

func newPhone(t *testing.T, browser context.Context, url string) *phone {
	t.Helper()
	ctx, stop := chromedp.NewContext(browser, chromedp.WithNewBrowserContext())
	t.Cleanup(stop)
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

// as gives the phone of somebody who has come in by the page of people.
func (b *building) as(t *testing.T, who firm.Person) *phone {
	t.Helper()
	p := newPhone(t, b.browser, b.url)
	p.open("/sign-in")
	p.press("Go in as " + who.Name)
	return p
}

// turns does something that leads to another page, and waits until that is there. It may
// be one that the browser has kept, for which nothing is asked of the server.
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
			`window.seen === %d || document.readyState !== "complete" ? 0 : performance.getEntriesByType("navigation")[0].responseStatus`, p.pages)))
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

// touch puts a thumb on what find has marked, n times.
func (p *phone) touch(n int) chromedp.Action[chromedp.Void] {
	p.t.Helper()
	at := eval[[]float64](p, `(() => {
		const e = document.querySelector("[data-thumb]");
		e.scrollIntoView({block: "center"});
		const r = e.getClientRects()[0]; // of its first line
		return [r.x + r.width/2, r.y + r.height/2]})()`)
	return chromedp.MouseClickXY(at[0], at[1], chromedp.ClickCount(n))
}

// at is the address shown, without the server's.
func (p *phone) at() string { return strings.TrimPrefix(eval[string](p, "location.href"), p.url) }

// text is all that the page says, with single blanks.
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

// sees wants every one of the texts on the page.
func (p *phone) sees(texts ...string) {
	p.t.Helper()
	page := p.text()
	for _, want := range texts {
		if !strings.Contains(page, want) {
			p.t.Errorf("%s does not say %q: %.1200s", p.at(), want, page)
		}
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

// nth marks the n-th element that a selector gives.
func (p *phone) nth(selector string, n int) {
	p.t.Helper()
	eval[bool](p, fmt.Sprintf(`(() => {
		document.querySelectorAll("[data-thumb]").forEach(e => e.removeAttribute("data-thumb"));
		document.querySelectorAll(%q)[%d].setAttribute("data-thumb", "");
		return true})()`, selector, n))
}

// finder finds what can be seen and said: of several that fit, one whose words are just
// those. It marks what it finds, so that it can be touched.
const finder = `(selector, words, within) => {
	const said = e => (e.textContent || "").replace(/\s+/g, " ").trim();
	const shown = e => e.getClientRects().length > 0;
	let root = document.querySelector("main");
	if (within) {
		const head = [...root.querySelectorAll("h2, legend, caption")].find(h => said(h).startsWith(within));
		root = head && head.closest("section, fieldset, table");
	}
	document.querySelectorAll("[data-thumb]").forEach(e => e.removeAttribute("data-thumb"));
	if (!root) return "";
	const all = [...root.querySelectorAll(selector)].filter(e => shown(e) && said(e).includes(words));
	const found = all.find(e => said(e) === words) || all.find(e => said(e).startsWith(words)) || all[0];
	if (!found) return "";
	const control = found.control || found.parentElement.querySelector("[id='" + (found.htmlFor || "") + "']") || found;
	control.setAttribute("data-thumb", "");
	return control.tagName + " " + (control.type || "");
}`

// find marks what fits and gives its tag and type; "" for nothing.
func (p *phone) find(selector, words, within string) string {
	p.t.Helper()
	args := make([]string, 3)
	for i, a := range []string{selector, words, within} {
		quoted, err := json.Marshal(a)
		if err != nil {
			p.t.Fatal(err)
		}
		args[i] = string(quoted)
	}
	return eval[string](p, "("+finder+")("+strings.Join(args, ", ")+")")
}

// must is find for what has to be there.
func (p *phone) must(selector, words, within string) string {
	p.t.Helper()
	got := p.find(selector, words, within)
	if got == "" {
		p.t.Fatalf("%s has no %s %q %s: %.1200s", p.at(), selector, words, within, p.text())
	}
	return got
}

// press touches a button and waits for the page that it leads to.
func (p *phone) press(words string) {
	p.t.Helper()
	p.must("button", words, "")
	p.turns(p.touch(1))
}

// follow touches a link.
func (p *phone) follow(words string) {
	p.t.Helper()
	p.must("a", words, "")
	p.turns(p.touch(1))
}

// offers tells whether there is such a button.
func (p *phone) offers(words string) bool { return p.find("button", words, "") != "" }

// fill gives the field with a label its value: typed, chosen or ticked. within names the
// part of the page by its heading; "" is the whole page.
func (p *phone) fill(label, value, within string) {
	p.t.Helper()
	switch kind := p.must("label", label, within); {
	case strings.HasPrefix(kind, "SELECT"):
		if !eval[bool](p, fmt.Sprintf(`(() => {
			const e = document.querySelector("[data-thumb]");
			const o = [...e.options].find(o => o.textContent.trim().startsWith(%q));
			if (o) { e.value = o.value; e.dispatchEvent(new Event("change", {bubbles: true})); }
			return !!o})()`, value)) {
			p.t.Fatalf("%s: %q does not offer %q: %s", p.at(), label, value,
				eval[string](p, `[...document.querySelector("[data-thumb]").options].map(o => o.textContent.trim()).join("; ")`))
		}
	case strings.HasSuffix(kind, "radio"), strings.HasSuffix(kind, "checkbox"):
		p.do(p.touch(1))
	case strings.HasSuffix(kind, "date"):
		eval[bool](p, fmt.Sprintf(`(document.querySelector("[data-thumb]").value = %q) !== ""`, value))
	default:
		p.write(value)
	}
}

func (p *phone) do(act chromedp.Action[chromedp.Void]) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patienceOfAThumb)
	defer cancel()
	if err := chromedp.Do(ctx, act); err != nil {
		p.t.Fatalf("%s: %v", p.at(), err)
	}
}

// choose touches a radio button or a box by its own words.
func (p *phone) choose(words string) { p.t.Helper(); p.fill(words, "", "") }

// typed is what stands in the field with a label.
func (p *phone) typed(label string) string {
	p.t.Helper()
	p.must("label", label, "")
	return eval[string](p, `document.querySelector("[data-thumb]").value`)
}

// write types text into the field that find has marked, in place of what is there.
func (p *phone) write(text string) {
	p.t.Helper()
	eval[bool](p, `(() => { const e = document.querySelector("[data-thumb]"); e.focus(); e.value = ""; return true })()`)
	p.do(chromedp.KeyEvent(text))
}

// paste puts text into the field that find has marked.
func (p *phone) paste(text string) {
	p.t.Helper()
	quoted, err := json.Marshal(text)
	if err != nil {
		p.t.Fatal(err)
	}
	eval[bool](p, `(document.querySelector("[data-thumb]").value = `+string(quoted)+`) !== ""`)
}

// twice touches a button twice, as fast as the browser lets it.
func (p *phone) twice(words string) {
	p.t.Helper()
	p.must("button", words, "")
	p.turns(chromedp.Steps(p.touch(1), p.touch(2)))
}
