package main

import (
	"context"
	"io"
	"net"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"

	"lathmark/web"
)

// A slow line, and a slow phone: common names for them, no standard.
const (
	slowBytes  = 400_000 / 8            // a second, each way
	slowAnswer = 400 * time.Millisecond // there and back
	slowerBy   = 4                      // times, the processor
)

// lane is one way of a slow line, which all connections share.
type lane struct {
	mu   sync.Mutex
	free time.Time
	sum  int
}

// arrives says when n bytes that are sent now are there.
func (l *lane) arrives(n int) time.Time {
	l.mu.Lock()
	defer l.mu.Unlock()
	if now := time.Now(); l.free.Before(now) {
		l.free = now
	}
	l.free = l.free.Add(time.Duration(n) * time.Second / slowBytes)
	l.sum += n
	return l.free.Add(slowAnswer / 2)
}

func (l *lane) took() int { l.mu.Lock(); defer l.mu.Unlock(); n := l.sum; l.sum = 0; return n }

// pass carries what comes, in order, as slowly as the lane is.
func (l *lane) pass(from io.Reader, to net.Conn) {
	type part struct {
		b  []byte
		at time.Time
	}
	parts := make(chan part, 1024)
	go func() {
		defer close(parts)
		for {
			b := make([]byte, 1400)
			n, err := from.Read(b)
			if n > 0 {
				parts <- part{b[:n], l.arrives(n)}
			}
			if err != nil {
				return
			}
		}
	}()
	for p := range parts {
		<-time.After(time.Until(p.at))
		_, _ = to.Write(p.b)
	}
	_ = to.Close()
}

// slowLine lays a slow line to a server: it is slow for pages and for the
// service worker alike, which the browser's own brake does not promise.
func slowLine(t *testing.T, url string) (string, *lane) {
	t.Helper()
	at, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = at.Close() })
	up, down := &lane{}, &lane{}
	go func() {
		for {
			phone, err := at.Accept()
			if err != nil {
				return
			}
			server, err := net.Dial("tcp", strings.TrimPrefix(url, "http://"))
			if err != nil {
				_ = phone.Close()
				continue
			}
			go up.pass(phone, server)
			go down.pass(server, phone)
		}
	}()
	return "http://" + at.Addr().String(), down
}

// How soon the task list shows something on a slow line and a slow phone, with
// its parts kept there; and what comes down the line for the trade's pages.
// The figures are logged, for a machine's load is in them.
func TestOfflineSlow(t *testing.T) {
	b := build(t)
	_, r := b.measured(t)
	url, down := slowLine(t, b.url)
	b.url = url
	kit := b.as(t, b.Electrician)
	kit.takesAlong()
	kit.do(chromedp.Func(func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: slowerBy})
		return err
	}))
	const first = `performance.getEntriesByType("paint").find(e => e.name === "first-contentful-paint")`
	var took []float64
	for range 5 {
		kit.open(web.TasksPath)
		kit.comesTo(first + " !== undefined")
		took = append(took, eval[float64](kit, first+".startTime"))
	}
	slices.Sort(took)
	t.Logf("%s, warm, 400 kbit/s each way, 400 ms there and back, processor %d times slower: first content after %.0f "+
		"ms (median of %.0f)", web.TasksPath, slowerBy, took[2], took)
	place := web.Place{Room: r.Record.ID.String()}
	for _, path := range []string{web.TasksPath, place.Measure(), place.SetOut()} {
		down.took()
		kit.open(path)
		if kit.status != 200 {
			t.Errorf("%s answers %d", path, kit.status)
		}
		asked := eval[int](kit, `1 + performance.getEntriesByType("resource")
			.filter(e => e.transferSize > 0 && e.workerStart === 0).length`)
		t.Logf("%s, warm: %d bytes down the line, %d asked for by the page itself past the worker", path, down.took(), asked)
	}
}
