package programme

import (
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// A crew that does two rooms of a job one after the other comes once; the visit keeps its
// key when it moves, and when its first piece is done.
func TestAVisitKeepsItsKey(t *testing.T) {
	h := byHand(t)
	ola := h.crew(words.Electrician, "Ola", 1)
	job := nth[id.Job](h)
	h.room(job, "Mill Loft", "Kitchen", words.SecondFix, 8)
	h.room(job, "Mill Loft", "Hall", words.SecondFix, 8)
	of := func(p *Programme) (out []Visit) {
		for _, v := range p.Visits {
			if v.Crew == ola {
				out = append(out, v)
			}
		}
		return out
	}
	h.Before = h.make()
	first := of(h.Before)
	if len(first) != 1 || len(first[0].Pieces) != 2 || first[0].Slots != 4 || !first[0].From.Equal(on(30)) ||
		!first[0].To.Equal(on(30)) || first[0].Name != "Ola" || first[0].Pieces[0].Amount != "8 holes" {
		t.Fatalf("%+v", first)
	}
	h.Away = []Away{{Crew: ola, From: on(30), To: on(1)}}
	h.Before = h.make()
	if moved := of(h.Before); len(moved) != 1 || moved[0].Key != first[0].Key || !moved[0].From.Equal(on(2)) {
		t.Errorf("it moved: %+v", moved)
	}
	for i, j := range h.Rooms {
		if j.Record.ID == first[0].Pieces[0].Room {
			h.Rooms = append(h.Rooms[:i:i], h.Rooms[i+1:]...)
			break
		}
	}
	if left := of(h.make()); len(left) != 1 || left[0].Key != first[0].Key || len(left[0].Pieces) != 1 {
		t.Errorf("its first piece is done: %+v", left)
	}
	// Put on a week later, the other room is a visit of its own.
	h.Before, h.Away = nil, nil
	h.Pins = []Pin{{Piece: Piece{h.Rooms[0].Record.ID, words.SecondFix, words.Electrician}, On: on(7)}}
	if late := of(h.make()); len(late) != 1 || !late[0].Pinned || !late[0].From.Equal(on(7)) {
		t.Errorf("put on Monday 7: %+v", late)
	}
}

// The day with the share that is nearest counts, each of its draws for the whole of it.
func TestDaysOfSharesOfDraws(t *testing.T) {
	_, c := christmas(&Given{})
	var drawn []int32
	for slot := range int32(100) { // ends 1 to 100: four to a day, days 0 to 24
		drawn = append(drawn, slot+1)
	}
	in := c.percentiles(drawn)
	for k, day := range []int{12, 19, 23} { // 52, 80 and 96 have ended; 48 would be as near as 52, and came first
		if k == 0 {
			day = 11
		}
		if got := (in[k] - 1) / SlotsADay; got != day {
			t.Errorf("%v of the draws have ended by day %d, want %d", shares[k], got, day)
		}
	}
}
