package main

import (
	"context"
	"fmt"
	"log/slog"
	"math"
	"slices"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// listens has a building's open pages hear of what changes.
func (b *building) listens(t *testing.T) {
	t.Helper()
	db := b.DB
	quiet := slog.New(slog.DiscardHandler)
	db.Announce(quiet)
	ctx, stop := context.WithCancel(t.Context())
	ended := make(chan struct{})
	go func() {
		defer close(ended)
		db.Listen(ctx, quiet, b.hub)
	}()
	t.Cleanup(func() { stop(); <-ended })
}

// awaits waits for something to become true of the page, without asking for it
// again and again, and returns the time at which it did, ms since 1970.
func (p *phone) awaits(what string) float64 {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, patienceOfAThumb)
	defer cancel()
	got, err := chromedp.Run(ctx, chromedp.Evaluate[float64](fmt.Sprintf(`new Promise((done) => {
		const look = () => { if (%s) { watch.disconnect(); done(performance.timeOrigin + performance.now()); } };
		const watch = new MutationObserver(look);
		watch.observe(document, {subtree: true, childList: true, attributes: true, characterData: true});
		look(); })`, what), chromedp.EvalAwaitPromise))
	if err != nil {
		p.t.Fatalf("%s never came: %v: %.1200s", what, err, p.text())
	}
	return got
}

func shows(words string) string {
	return fmt.Sprintf("document.querySelector('main').textContent.includes(%q)", words)
}

// What one records by a plain form comes onto the other's open page. Whoever is
// typing keeps what is typed, the caret and the focus, and the field stays where
// it is; what could not be shown is shown when they ask for it.
func TestWhatOneDoesShowsOnTheOthersPage(t *testing.T) {
	b := build(t)
	b.listens(t)
	r := b.Utility(t, "D1")
	at := "/rooms/" + r.Record.ID.String()
	decorator, foreman, electrician := b.as(t, b.Decorator), b.as(t, b.Foreman), b.as(t, b.Electrician)
	for _, p := range []*phone{foreman, decorator} {
		p.open(at + "/snags")
	}
	electrician.open(at + "/snags")
	foreman.fill("What", "Scuff by the switch", "")
	eval[bool](foreman, `document.activeElement.setSelectionRange(5, 5); true`)
	const standing = `(() => { const e = document.activeElement; return [e.name, e.value, e.selectionStart].join("|") })()`
	// Its height on the glass, which a browser rounds to a pixel either way.
	const height = `document.activeElement.getBoundingClientRect().top`
	stood := eval[float64](foreman, height)
	before := eval[string](foreman, standing)
	for _, p := range []*phone{foreman, electrician} {
		p.awaits(`document.documentElement.dataset.listening === "yes"`)
	}

	decorator.fill("What", "Scratch on the sill", "")
	decorator.fill("Where", "by the window", "")
	decorator.press("Save it")
	electrician.awaits(shows("Scratch on the sill"))
	foreman.awaits(shows("Scratch on the sill") + " || " + shows("Something changed in this room"))
	if after := eval[string](foreman, standing); after != before {
		t.Errorf("where somebody types, %q became %q", before, after)
	}
	if now := eval[float64](foreman, height); math.Abs(now-stood) > 1.5 {
		t.Errorf("where somebody types moved from %g to %g", stood, now)
	}

	// A region that somebody is at stays; leaving it is not enough while
	// something is typed, asking is.
	foreman.open(at + "/tails")
	foreman.fill("In a few words", "On Bram's", "")
	foreman.awaits(`document.documentElement.dataset.listening === "yes"`)
	if _, err := b.Photo.Take(t.Context(), b.Electrician, r.Record.ID,
		photo.Draft{TakePhoto: deed.TakePhoto{ID: id.New[id.Photo](), Surface: r.Record.Surfaces[0].ID,
			Says: "On Ines's phone, folder 14"}}); err != nil {
		t.Fatal(err)
	}
	foreman.awaits(shows("Something changed in this room"))
	foreman.lacks("folder 14")
	foreman.must("button", "Show it", "")
	foreman.do(foreman.touch(1))
	foreman.awaits(shows("folder 14"))
	foreman.lacks("Something changed")
	if got := eval[string](foreman, `document.querySelector("[name=says]").value`); got != "On Bram's" {
		t.Errorf("what was typed is now %q", got)
	}
}

// How long it takes from the commit until another page shows it.
func TestHowSoonOthersSeeIt(t *testing.T) {
	b := build(t)
	b.listens(t)
	r := b.Utility(t, "D1")
	p := b.as(t, b.Electrician)
	p.open("/rooms/" + r.Record.ID.String() + "/snags")
	p.awaits(`document.documentElement.dataset.listening === "yes"`)
	var took []time.Duration
	for i := range 9 {
		says := fmt.Sprintf("Scratch %d", i)
		if _, err := b.Desk.Do(t.Context(), b.Foreman, r.Record.ID,
			deed.NoteSnag{Snag: room.Snag{ID: id.New[id.Snag](), Says: says,
				Trade: words.Decorator}}); err != nil {
			t.Fatal(err)
		}
		committed := time.Now()
		at := p.awaits(shows(says))
		took = append(took, time.UnixMicro(int64(at*1000)).Sub(committed))
	}
	slices.Sort(took)
	t.Logf("from the commit to the other's page: median %v, longest %v", took[len(took)/2].Round(time.Millisecond),
		took[len(took)-1].Round(time.Millisecond))
}
