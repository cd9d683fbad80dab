package main

import (
	"context"
	"fmt"
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
)

// line is what lies between phones and a server: it can be cut, and it can
// lose the answers on their way back.
type line struct {
	to   string // the server's address
	at   net.Listener
	mu   sync.Mutex
	cut  bool
	deaf bool // what is asked arrives, what is answered does not
	open map[net.Conn]bool
}

// newLine lays a line to a server and returns the address that phones see.
func newLine(t *testing.T, url string) (*line, string) {
	t.Helper()
	at, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	l := &line{to: strings.TrimPrefix(url, "http://"), at: at, open: map[net.Conn]bool{}}
	go func() {
		for {
			phone, err := at.Accept()
			if err != nil {
				return
			}
			go l.carry(phone)
		}
	}()
	t.Cleanup(func() { _ = at.Close(); l.set(true, false) })
	return l, "http://" + at.Addr().String()
}

// leadsTo lays the line to another server.
func (l *line) leadsTo(at string) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.to = at
}

// carry carries one connection both ways until one end closes it.
func (l *line) carry(phone net.Conn) {
	l.mu.Lock()
	to := l.to
	l.mu.Unlock()
	server, err := net.Dial("tcp", to)
	if err != nil || !l.keep(phone, server) {
		_ = phone.Close()
		return
	}
	done := make(chan struct{}, 2)
	pass := func(from, to net.Conn, answers bool) {
		defer func() { done <- struct{}{} }()
		b := make([]byte, 32<<10)
		for {
			n, err := from.Read(b)
			if answers && l.isDeaf() {
				return
			}
			if n > 0 {
				if _, err := to.Write(b[:n]); err != nil {
					return
				}
			}
			if err != nil {
				return
			}
		}
	}
	go pass(phone, server, false)
	go pass(server, phone, true)
	<-done
	_, _ = phone.Close(), server.Close()
	<-done
	l.mu.Lock()
	defer l.mu.Unlock()
	delete(l.open, phone)
	delete(l.open, server)
}

func (l *line) isDeaf() bool { l.mu.Lock(); defer l.mu.Unlock(); return l.deaf }

func (l *line) keep(conns ...net.Conn) bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	for _, c := range conns {
		if l.cut {
			_ = c.Close()
		} else {
			l.open[c] = true
		}
	}
	return !l.cut
}

func (l *line) set(cut, deaf bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.cut, l.deaf = cut, deaf
	if cut {
		for c := range l.open {
			_ = c.Close()
		}
	}
}

// without takes the signal away from a phone: nothing gets through, and the
// browser knows it.
func (p *phone) without(l *line) { p.t.Helper(); l.set(true, false); p.told(true) }

// with returns it back.
func (p *phone) with(l *line) { p.t.Helper(); l.set(false, false); p.told(false) }

// told tells the browser how the network is; pages hear it at once.
func (p *phone) told(offline bool) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, network.OverrideNetworkState, network.OverrideNetworkStateParams{Offline: offline,
			DownloadThroughput: -1, UploadThroughput: -1})
		return err
	}))
}

// comesTo waits until something is so on the page. It may come by a page that
// is drawn meanwhile.
func (p *phone) comesTo(what string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patienceOfAThumb)
	defer cancel()
	for {
		so, err := chromedp.Run(ctx, chromedp.Evaluate[bool](`new Promise((yes, no) => {
			const look = () => { try { (`+what+`) ? yes(true) : setTimeout(look, 20) } catch (e) { no(e) } };
			look() })`, chromedp.EvalAwaitPromise))
		if so {
			return
		}
		if ctx.Err() != nil {
			p.t.Fatalf("%s: it does not come to %s: %v: %.1500s", p.at(), what, err, p.text())
		}
	}
}

// awaitsWords waits until the page says something.
func (p *phone) awaitsWords(words string) {
	p.t.Helper()
	p.comesTo("document.body && document.body.textContent.replace(/\\s+/g, ' ').includes(" + quoted(words) + ")")
}

// mends presses a button whose form comes back on the same page, with what is
// to be mended.
func (p *phone) mends(words string) {
	p.t.Helper()
	p.must("button", words, "")
	p.do(p.touch(1))
	p.comesTo(`document.querySelector(".faults") !== null && !document.querySelector("[data-busy]")`)
}

// takesAlong opens My visits and waits until every room of it is on the phone.
func (p *phone) takesAlong() {
	p.t.Helper()
	p.open("/visits")
	p.comesTo(`[...document.querySelectorAll("[data-kept]")].length > 0 &&
		[...document.querySelectorAll("[data-kept]")].every(e => e.textContent.startsWith("as of"))`)
	p.comesTo(`navigator.serviceWorker.controller !== null`)
}

// leave signs out.
func (p *phone) leave() {
	p.t.Helper()
	p.turns(chromedp.Evaluate[chromedp.Void](`document.querySelector(".strip form").requestSubmit()`))
}

// takesItAlong returns the electrician's phone with a copy of the rooms, and the line that it
// has its signal by, as all phones from now on.
func (b *building) takesItAlong(t *testing.T) (kit *phone, signal *line) {
	t.Helper()
	signal, b.url = newLine(t, b.url)
	kit = b.as(t, b.Electrician)
	kit.takesAlong()
	return kit, signal
}

// keeps presses a button whose record stays on the phone for now.
func (p *phone) keeps(words string) {
	p.t.Helper()
	before := eval[int](p, `document.querySelectorAll(".waits").length`)
	p.must("button", words, "")
	p.do(p.touch(1))
	p.comesTo(fmt.Sprintf(`document.querySelectorAll(".waits").length > %d && !document.querySelector("[data-busy]")`,
		before))
}

// tab closes the phone's tab and returns another one of the same browser, with
// the same cookies and what is kept there.
func (p *phone) tab() *phone {
	p.t.Helper()
	next, stop := chromedp.NewContext(p.ctx)
	p.t.Cleanup(stop)
	q := newPhoneIn(p.t, next, p.url)
	p.do(chromedp.Evaluate[chromedp.Void]("window.close()"))
	return q
}

// forgets ends the phone's session, as time does, and returns the signal back.
func (p *phone) forgets(l *line) {
	p.t.Helper()
	p.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, network.ClearBrowserCookies, cdp.Empty{})
		return err
	}))
	p.with(l)
}

// comes waits until something is so on the server, looking each time that a
// page could have brought it.
func (b *building) comes(t *testing.T, so func() bool) {
	t.Helper()
	tick := time.NewTicker(20 * time.Millisecond)
	defer tick.Stop()
	for range int(patienceOfAThumb / (20 * time.Millisecond)) {
		if so() {
			return
		}
		<-tick.C
	}
	t.Fatal("it does not come")
}
