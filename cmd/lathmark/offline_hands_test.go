package main

import (
	"testing"

	"lathmark/domain/firm"
	"lathmark/domain/words"
)

// A phone goes from one person to the next, who comes by a code. Nothing of the one before
// is shown: not their pages, not by going Back, and not once the next has signed out.
func TestOfflineHands(t *testing.T) {
	b := build(t)
	at, r := b.measured(t)
	signal, url := newLine(t, b.url)
	b.url = url
	kit := b.as(t, b.Electrician)
	kit.takesAlong()
	kit.open(at)
	kit.sees(r.Record.Name)
	_, code, err := b.Firm.Invite(t.Context(), b.Foreman, firm.Invitation{Role: firm.Trade, Trade: words.Tiler,
		EveryJob: true})
	if err != nil {
		t.Fatal(err)
	}
	kit.open("/invited/" + code)
	kit.fill("Your name", "Zoe Marl", "")
	kit.press("Sign in as somebody else")
	kit.sees("Zoe Marl, tiler")
	kit.lacks(b.Electrician.Name)
	kit.comesTo(`caches.keys().then(all => !all.includes("copy ` + b.Electrician.ID.String() + `"))`)
	kit.without(signal)
	kit.open(at)
	kit.lacks(r.Record.Name, b.Electrician.Name)
	kit.with(signal)
	kit.open("/tasks")
	kit.leave()
	kit.sees("Who are you?")
	kit.back()
	kit.lacks("Zoe Marl, tiler", r.Record.Name)
}
