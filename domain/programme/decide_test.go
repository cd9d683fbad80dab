package programme

import (
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// byHand is a house with the rates of TestOneRoomByHand.
func byHand(t testing.TB) *house {
	h := newHouse(t)
	h.exact(words.Electrician, words.FirstFix, 0.25)
	h.exact(words.DryLiner, words.Boarding, 0.25)
	h.exact(words.Plasterer, words.Plaster, 1./6)
	h.exact(words.Electrician, words.SecondFix, 0.25)
	h.exact(words.Decorator, words.Decoration, 0.2)
	return h
}

// By hand. The kitchen is that of TestOneRoomByHand: it is painted from slot 34 to 43,
// Monday 14. The hall has 4 holes, 1 slot, and 9 slots of paint by the same decorator.
// Cut on Tuesday 8, slot 24, it is painted from 26 to 35 and the kitchen from 35 to 44,
// still Monday 14. Cut on Wednesday 9, slot 28, it is painted to 39 and the kitchen to 48,
// Tuesday 15. Cut a week after Tuesday 8, on Tuesday 15, slot 44, it is painted from 46 to
// 55: Thursday 17.
func TestTheLastDayOnWhichAnAnswerCostsNothing(t *testing.T) {
	h := byHand(t)
	job := nth[id.Job](h)
	h.room(job, "Mill Loft", "Kitchen", words.FirstFix, 12)
	hall := h.room(job, "Mill Loft", "Hall", words.SecondFix, 4)
	hall.Positions[1].Held, hall.Positions[1].HeldWhy = true, "The fitting is not chosen."
	h.stand(hall)
	p := h.make()
	if len(p.Decide) != 1 {
		t.Fatalf("%d things are owed", len(p.Decide))
	}
	d := p.Decide[0]
	if !d.Latest.Equal(on(8)) || d.Days != 3 || d.What != "D2" || d.Position != hall.Positions[1].ID ||
		d.By != words.Client {
		t.Errorf("%+v", d)
	}
	if want := "A week later, Mill Loft is done on Thursday 17 December, 3 days later."; d.Cost != want {
		t.Errorf("%q, want %q", d.Cost, want)
	}
	if !p.Rooms[1].Stages[words.SecondFix].WaitsForHeld || p.Rooms[0].Stages[words.SecondFix].WaitsForHeld {
		t.Error("who waits for what is held is not said")
	}
}

// A towel rail that takes 14 days, ordered today, comes on Monday 14 December: second fix
// of a room that could have it today waits, so the order is late already.
func TestWhatIsLateAlreadyHasNoLastDay(t *testing.T) {
	h := byHand(t)
	r := h.room(nth[id.Job](h), "Mill Loft", "Bathroom", words.SecondFix, 4)
	h.Owed = []Owed{{ID: nth[id.Owed](h), Room: r.ID, For: words.SecondFix, What: "the towel rail", Lead: 14,
		By: words.Foreman}}
	p := h.make()
	if d := p.Decide[0]; !d.Latest.IsZero() || d.Days != 7 || d.By != words.Foreman {
		t.Errorf("%+v", d)
	}
	second := p.Rooms[0].Stages[words.SecondFix]
	if !second.Begins.Equal(on(14)) || second.Waits != "The towel rail comes on Monday 14 December." ||
		!second.WaitsForOwed {
		t.Errorf("%+v", second)
	}
	h.Owed[0].Since = on(30).AddDate(0, 0, -4) // ordered last Thursday
	if p = h.make(); len(p.Decide) > 0 || !p.Rooms[0].Stages[words.SecondFix].Begins.Equal(on(10)) {
		t.Errorf("once it is ordered: %v, from %v", p.Decide, p.Rooms[0].Stages[words.SecondFix].Begins)
	}
}
