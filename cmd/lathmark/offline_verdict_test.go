package main

import (
	"strings"
	"testing"

	"lathmark/domain/id"
	"lathmark/web"
)

// gaveFigures are the big figures of what a reading gave, with their words.
const gaveFigures = `[...document.querySelectorAll("#gave .big")]
	.map(e => e.textContent.replace(/\s+/g, " ").trim()).join("; ")`

// Without signal the phone says what a reading gave as the server's page does
// once it is sent, and asks about a slip at once.
func TestOfflineVerdict(t *testing.T) {
	if web.Sums.Path == "" {
		t.Fatal("the sums for a phone are not built in: run make sums (make test does)")
	}
	b := build(t)
	at := b.bareRoom(t, 2)
	kit, signal := b.takesItAlong(t)
	kit.without(signal)
	kit.open(at + "/measure")
	read := func(position, datum, value string) {
		t.Helper()
		kit.pad(position)
		kit.pad(datum)
		kit.fill("Reading", value, "")
		kit.keeps("Save")
		kit.awaitsWords(value + " from " + strings.TrimSuffix(datum, ", bare") + ", bare, by tape. Worked out on this phone.")
	}
	read("D1", "south wall, bare", "1000")
	kit.sees("no place yet")
	read("D1", "west wall, bare", "1100")
	phones := eval[string](kit, gaveFigures)
	if !strings.Contains(phones, "from south wall") || !strings.Contains(phones, "from west wall") ||
		!strings.Contains(phones, "not checked") {
		t.Fatalf("the phone says %q", phones)
	}

	// With signal both go, and the server's own page of the last says the same.
	kit.with(signal)
	kit.comesTo(`!document.querySelector("main").textContent.includes("not yet sent")`)
	of, err := id.Parse[id.Room](strings.TrimPrefix(at, "/rooms/"))
	if err != nil {
		t.Fatal(err)
	}
	all := b.read(t, of).Record.Measurements
	if len(all) != 2 {
		t.Fatalf("%d readings came", len(all))
	}
	kit.open(at + "/measure?last=" + all[1].ID.String())
	kit.comesTo(`document.getElementById("gave") !== null`)
	if servers := eval[string](kit, gaveFigures); servers != phones {
		t.Errorf("the phone said %q, the server says %q", phones, servers)
	}
	kit.takesAlong()
	kit.without(signal)
	kit.open(at + "/measure")
	read("D1", "north wall, bare", "1612") // 2400 less 1000, and 212 off
	kit.awaitsWords("Is that right?")
	kit.sees("1612 from the north wall would be 212 mm from where the other two put it.")
}
