package programme

import (
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// By hand. Four slots a day from Monday 30 November. First fix 12 × 1/4 = 3 slots, to 3;
// a slot for the sign-off; boards 12 m² × 1/4 = 3, Tuesday 4 to 7; skim 12 m² × 1/6 = 2,
// Wednesday 8 to 10. It dries 7 days as usual: Wednesday 9 December at noon, working day
// 7, slot 30. Second fix 3 slots, to 33, Thursday 10; paint 47 m² (12 + 35) × 1/5 = 9, from
// 34 to 43: working day 10, Monday 14. At the earliest it dries 3 days, to Saturday: from
// Monday 7, slot 20, second fix to 23, paint from 24 to 33, Thursday 10.
func TestOneRoomByHand(t *testing.T) {
	h := newHouse(t)
	h.room(nth[id.Job](h), "Mill Loft", "Kitchen", words.FirstFix, 12)
	h.exact(words.Electrician, words.FirstFix, 0.25)
	h.exact(words.DryLiner, words.Boarding, 0.25)
	h.exact(words.Plasterer, words.Plaster, 1./6)
	h.exact(words.Electrician, words.SecondFix, 0.25)
	h.exact(words.Decorator, words.Decoration, 0.2)
	p := h.make()
	for _, c := range []struct {
		stage                    words.Stage
		begins, likely, earliest int
	}{
		{words.FirstFix, 30, 30, 30}, {words.Boarding, 1, 1, 1}, {words.Plaster, 2, 2, 2},
		{words.SecondFix, 9, 10, 7}, {words.Decoration, 10, 14, 10},
	} {
		got := &p.Rooms[0].Stages[c.stage]
		if !got.Begins.Equal(on(c.begins)) || !got.Likely.Equal(on(c.likely)) || !got.Earliest.Equal(on(c.earliest)) {
			t.Errorf("%s from %s to %s, at the earliest %s", c.stage, words.ShortDay(got.Begins),
				words.ShortDay(got.Likely), words.ShortDay(got.Earliest))
		}
	}
	if got := p.Rooms[0].Stages[words.Plaster].Dries; !got.Equal(on(5)) {
		t.Errorf("the plaster is dry on %s", got)
	}
	if got, want := p.Rooms[0].Stages[words.SecondFix].Waits, "The plaster dries until Tuesday 8 December."; got != want {
		t.Errorf("second fix: %q, want %q", got, want)
	}
	if got := p.Jobs[0]; !got.Likely.Equal(on(14)) || got.AssumedRates {
		t.Errorf("the job: %+v", got)
	}
}
