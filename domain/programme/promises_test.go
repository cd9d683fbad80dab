package programme

import (
	"strings"
	"testing"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// By hand. The kitchen of TestOneRoomByHand is likely done on Monday 14 December. The
// bedroom at Mill Loft is as it, but for its second fix: on its own it is done a day and a
// half sooner. Both have the same decorator.
func TestPromisesAndWaysToKeepThem(t *testing.T) {
	h := byHand(t)
	job, other := nth[id.Job](h), nth[id.Job](h)
	h.crew(words.Decorator, "Pat", 1)
	kitchen := h.room(job, "Dale House", "Kitchen", words.Decoration, 4)
	h.room(other, "Mill Loft", "Bedroom 1", words.Decoration, 4)
	h.Pins = []Pin{{Piece: Piece{h.Rooms[1].Record.ID, words.Decoration, words.Decorator}, On: on(30)}}
	h.Promises = []Promise{
		{ID: nth[id.Promise](h), Job: job, Room: kitchen.ID, To: words.Client, Stage: words.Decoration, On: on(2)},
		{ID: nth[id.Promise](h), Job: other, To: words.Client, Stage: words.Decoration, On: on(18)},
		{ID: nth[id.Promise](h), Job: job, Room: kitchen.ID, To: words.Decorator, Stage: words.Decoration, On: on(2)},
	}
	p := h.make()
	// Mill Loft takes 9 slots, to Wednesday; the kitchen from slot 9 on, Wednesday 2, to 18.
	k := p.Promises[0]
	if k.ID != h.Promises[0].ID || k.Odds != 0 || !k.Likely.Equal(on(4)) ||
		k.Says != "Decoration in the kitchen at Dale House is promised to the client for Wednesday 2 December." {
		t.Errorf("%+v", k)
	}
	for _, k := range p.Promises[1:] {
		if k.Odds != 1 || len(k.Ways) > 0 {
			t.Errorf("%+v", k)
		}
	}
	if want := "The decorator is promised to begin decoration in the kitchen at Dale House on Wednesday 2 December."; p.
		Promises[1].Says != want && p.Promises[2].Says != want {
		t.Errorf("%q", p.Promises[1].Says)
	}
	if !p.Rooms[0].Stages[words.Decoration].BehindPromise || p.Rooms[1].Stages[words.Decoration].BehindPromise {
		t.Error("what is behind its promise is not marked")
	}
	// One more pair of hands: 4 slots each (9.4 / 2 = 4.7, 5), 10 in all, to Wednesday 2.
	if ways := strings.Join(k.Ways, " "); !strings.Contains(ways,
		"One more pair of hands with Pat: kept in 100 of 100.") ||
		strings.Contains(ways, "Saturday") {
		t.Errorf("%q", ways)
	}
	h.Pins = nil
	if p := h.make(); p.Promises[0].Odds != 1 { // the promise is why the kitchen is first
		t.Errorf("%+v", p.Promises[0])
	}
	h.Promises[0].Instead, h.Promises[0].On = h.Promises[1].ID, on(1)
	if p := h.make(); len(p.Promises) != 2 {
		t.Errorf("a promise that was given up is still asked for: %+v", p.Promises)
	}
}

// By hand: 9 slots from Thursday 3 December end on Monday 7; with the Saturday worked, four
// on Thursday, four on Friday and one on Saturday 5.
func TestASaturdayKeepsAPromise(t *testing.T) {
	h := byHand(t)
	h.Now = on(3).Add(8 * time.Hour)
	h.crew(words.Decorator, "Pat", 1)
	job := nth[id.Job](h)
	h.room(job, "Dale House", "Kitchen", words.Decoration, 4)
	h.Promises = []Promise{{ID: nth[id.Promise](h), Job: job, To: words.Client, Stage: words.Decoration, On: on(5)}}
	p := h.make()
	k := p.Promises[0]
	if k.Odds != 0 || !k.Likely.Equal(on(7)) || !p.Jobs[0].BehindPromise || len(k.Ways) == 0 ||
		k.Ways[0] != "Pat works on Saturday 5 December: kept in 100 of 100." {
		t.Errorf("%+v", k)
	}
}
