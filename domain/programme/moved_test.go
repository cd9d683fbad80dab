package programme

import (
	"testing"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Says of a stage's move, "" where it did not.
func saysOf(p *Programme, of id.Room, s words.Stage) string {
	for _, m := range p.Moved {
		if m.Room == of && m.Stage == s {
			return m.Says
		}
	}
	return ""
}

// The chain of the package's own example: a patch dries, and the electrician is elsewhere.
func TestWhatMovedSaysWhy(t *testing.T) {
	h := byHand(t)
	h.Now = time.Date(2026, 12, 7, 8, 0, 0, 0, time.UTC)
	ola := h.crew(words.Electrician, "Ola", 1)
	a, b := nth[id.Job](h), nth[id.Job](h)
	kitchen := h.room(a, "Dale House", "Kitchen", words.SecondFix, 8)
	bedroom := h.room(b, "Mill Loft", "Bedroom 1", words.FirstFix, 16)
	h.Pins = []Pin{{Piece: Piece{kitchen.ID, words.SecondFix, words.Electrician}, On: on(8)}}
	before := h.make()
	h.Before = before

	h.Pins = []Pin{{Piece: Piece{bedroom.ID, words.FirstFix, words.Electrician}, On: on(9)}}
	kitchen.Openings = []room.Opening{{ID: nth[id.Opening](h), Position: kitchen.Positions[5].ID, Outcome: words.NotFound,
		At: monday}}
	kitchen.Patches = []room.Patch{{Opening: kitchen.Openings[0].ID, OwedAt: monday, FilledAt: h.Now,
		DryAt: on(10)}}
	h.stand(kitchen)
	p := h.make()
	want := "Second fix in the kitchen from Tuesday 8 to Thursday 10 December: the patch at D6 dries until Wednesday, " +
		"and Ola is at Mill Loft until then."
	if got := saysOf(p, kitchen.ID, words.SecondFix); got != want {
		t.Errorf("%q\nwant %q", got, want)
	}
	if p.Moved[0].Job != a && p.Moved[0].Job != b {
		t.Errorf("%+v", p.Moved[0])
	}

	h.Before, h.Pins = before, nil
	h.Away = []Away{{Crew: ola, From: on(7), To: on(11), Why: "ill"}}
	kitchen.Openings, kitchen.Patches = nil, nil
	h.stand(kitchen)
	p = h.make()
	want = "Second fix in the kitchen from Tuesday 8 to Monday 14 December: Ola is away until Friday."
	if got := saysOf(p, kitchen.ID, words.SecondFix); got != want {
		t.Errorf("%q\nwant %q", got, want)
	}
}

// What is the same moves nothing; what moved names how it is bound to what moved first.
func TestAMoveNamesItsChain(t *testing.T) {
	h := byHand(t)
	c := h.crew(words.DryLiner, "Tom", 1)
	r := h.room(nth[id.Job](h), "Mill Loft", "Kitchen", words.FirstFix, 12)
	h.Before = h.make()
	if p := h.make(); len(p.Moved) > 0 {
		t.Errorf("nothing changed and %+v", p.Moved)
	}
	h.Away = []Away{{Crew: c, From: on(1), To: on(3)}}
	p := h.make()
	for s, want := range map[words.Stage]string{
		words.FirstFix: "",
		words.Boarding: "Boarding in the kitchen from Tuesday 1 to Friday 4 December: Tom is away until Thursday.",
		words.Plaster: "Plaster in the kitchen from Wednesday 2 to Monday 7 December: boarding is not done before Friday, " +
			"as Tom is away until Thursday.",
	} {
		if got := saysOf(p, r.ID, s); got != want {
			t.Errorf("%s: %q\nwant %q", s, got, want)
		}
	}
}
