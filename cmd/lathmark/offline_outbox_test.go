package main

import (
	"strings"
	"testing"

	"lathmark/web"
)

// What is done without signal is kept by the phone, shown where it belongs,
// outlives the tab, and goes on record once, in order, when there is signal;
// also where the answers are lost on their way.
func TestOfflineOutbox(t *testing.T) {
	b := build(t)
	at, r := b.measured(t)
	room := func() int { return len(b.read(t, r.Record.ID).Record.Measurements) }
	snags := func() (says []string) {
		for _, s := range b.read(t, r.Record.ID).Record.Snags {
			says = append(says, s.Says)
		}
		return says
	}
	before := room()
	kit, signal := b.takesItAlong(t)
	kit.without(signal)
	kit.open(at + "/measure")
	kit.pad("D1")
	kit.pad("north wall, bare")
	kit.pad("Keep both as a check")
	kit.fill("Reading", "1402", "")
	kit.keeps("Save")
	kit.awaitsWords("1 not yet sent.")
	kit.sees("D1: 1402 mm, from north wall, bare not yet sent")
	if left := kit.typed("Reading"); left != "" {
		t.Errorf("the form is not ready for the next: %q", left)
	}
	kit.pad("Keep both as a check")
	kit.fill("Reading", "1403", "")
	kit.keeps("Save")
	kit.open(at + "/snags")
	for _, what := range []string{"Scratch on the sill", "Box not flush"} {
		kit.fill("What", what, "")
		kit.keeps("Save it")
	}
	kit.awaitsWords("4 not yet sent.")
	kit.sees("Scratch on the sill not yet sent", "Box not flush not yet sent")

	// The tab is closed, and another one is opened.
	kit = kit.tab()
	kit.without(signal)
	kit.open(web.VisitsPath)
	kit.awaitsWords("4 not yet sent.")
	kit.sees("On this phone, not yet sent", "D1: 1402 mm", "D1: 1403 mm", "Scratch on the sill", "Box not flush")
	if room() != before {
		t.Fatal("something came without signal")
	}

	// There is a line, but no answer gets through: nothing is taken for sent.
	signal.set(false, true)
	kit.comesTo(`(document.querySelector(".phone button").click(), true)`)
	b.comes(t, func() bool { return len(snags()) == 2 })
	kit.sees("4 not yet sent.")
	signal.set(true, false)
	kit.with(signal)
	kit.comesTo(`!document.querySelector("main").textContent.includes("not yet sent.")`)
	if got := room(); got != before+2 {
		t.Errorf("%d readings came", got-before)
	}
	if got := strings.Join(snags(), "; "); !strings.Contains(got, "Scratch on the sill") || !strings.Contains(got,
		"Box not flush") || len(snags()) != 2 {
		t.Errorf("the snags are %s", got)
	}
	kit.open(at + "/snags")
	kit.awaitsWords("Scratch on the sill")
	kit.awaitsWords("Box not flush")
	kit.lacks("not yet sent")
}

// Another person on the same phone sees neither what waits there nor the
// copies, and sends nothing of it; once the first is back, it goes.
func TestOfflineOutboxIsOnesOwn(t *testing.T) {
	b := build(t)
	at, r := b.measured(t)
	kit, signal := b.takesItAlong(t)
	kit.without(signal)
	kit.open(at + "/snags")
	kit.fill("What", "Scratch on the sill", "")
	kit.keeps("Save it")
	// The session ends meanwhile: one has to sign in before anything goes.
	kit.forgets(signal)
	kit.awaitsWords("You are no longer signed in here")
	kit.open("/sign-in")
	kit.awaitsWords("1 record of " + b.Electrician.Name + "’s waits here; only " + b.Electrician.Name + " can send it.")

	kit.press("Sign in as " + b.DryLiner.Name)
	kit.open(at + "/snags")
	kit.awaitsWords("1 record of " + b.Electrician.Name)
	kit.lacks("Scratch on the sill")
	kit.open(web.VisitsPath)
	kit.awaitsWords("Nothing is waiting on this phone")
	kit.lacks("Scratch on the sill")
	kit.leave()
	if got := b.read(t, r.Record.ID).Record.Snags; len(got) != 0 {
		t.Errorf("somebody else sent %v", got)
	}

	kit.open("/sign-in")
	kit.press("Sign in as " + b.Electrician.Name)
	b.comes(t, func() bool { return len(b.read(t, r.Record.ID).Record.Snags) == 1 })
	if got := b.read(t, r.Record.ID).Record.Snags[0]; got.Says != "Scratch on the sill" {
		t.Errorf("what came is %+v", got)
	}
}

// What the server cannot take stays on the phone with the reason until the
// person has dealt with it, and does not hold up the rest.
func TestOfflineRefused(t *testing.T) {
	b := build(t)
	at, r := b.measured(t)
	kit, signal := b.takesItAlong(t)
	kit.without(signal)
	kit.told(false) // it does not know that nobody answers, and so asks no sums of its own
	kit.open(at + "/measure")
	kit.pad("D1")
	kit.pad("north wall, bare")
	kit.pad("Keep both as a check")
	kit.fill("Reading", "14o2", "")
	kit.keeps("Save")
	kit.open(at + "/snags")
	kit.fill("What", "Scratch on the sill", "")
	kit.keeps("Save it")
	kit.open(web.VisitsPath)
	kit.with(signal)
	kit.awaitsWords("1 not taken: it waits for you.")
	if got := b.read(t, r.Record.ID).Record.Snags; len(got) != 1 {
		t.Errorf("what came after the refusal: %v", got)
	}
	before := len(b.read(t, r.Record.ID).Record.Measurements)

	// It is mended on its own form.
	kit.open(web.VisitsPath)
	kit.awaitsWords("Correct it")
	kit.follow("Correct it")
	kit.comesTo(`document.querySelector("[name=value]").value === "14o2"`)
	kit.sees("was read as")
	kit.fill("Reading", "1402", "")
	kit.saves("Save")
	if got := len(b.read(t, r.Record.ID).Record.Measurements); got != before+1 {
		t.Errorf("the mended one made %d readings", got-before)
	}
	kit.open(web.VisitsPath)
	kit.awaitsWords("Nothing is waiting on this phone")

	// Another one is taken off, which is asked once.
	kit.without(signal)
	kit.told(false)
	kit.open(at + "/measure")
	kit.pad("D1")
	kit.pad("north wall, bare")
	kit.pad("Keep both as a check")
	kit.fill("Reading", "1x", "")
	kit.keeps("Save")
	kit.open(web.VisitsPath)
	kit.with(signal)
	kit.awaitsWords("1 not taken: it waits for you.")
	kit.awaitsWords("Remove it…")
	kit.must("button", "Remove it…", "")
	kit.do(kit.touch(1))
	kit.awaitsWords("This deletes it for good: D1: 1x mm")
	kit.must("button", "Remove it", "")
	kit.do(kit.touch(1))
	kit.awaitsWords("Nothing is waiting on this phone")
}
