package programme

import (
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// By hand: the bedroom is boarded by slot 7, Tuesday, as in TestOneRoomByHand; the hall,
// which is ready to be painted, waits a slot more: Wednesday 2.
func TestBoardsGoThroughTheHallBeforeItIsPainted(t *testing.T) {
	h := byHand(t)
	job := nth[id.Job](h)
	bedroom := h.room(job, "Mill Loft", "Bedroom", words.FirstFix, 12)
	hall := h.room(job, "Mill Loft", "Hall", words.Decoration, 4)
	h.Through = []Through{{Room: bedroom.ID, By: hall.ID}, {Room: nth[id.Room](h), By: hall.ID}}
	got := h.make().Rooms[1].Stages[words.Decoration]
	if !got.Begins.Equal(on(2)) || got.Waits != "The boards for the bedroom go through it until Tuesday 1 December." {
		t.Errorf("from %s: %s", got.Begins, got.Waits)
	}
}

// By hand: 12 m² of boards on the ceiling, dabs and boards on 7.5 m² of wall, 27 × 1/4 = 7
// slots, to Tuesday's third quarter. Tiles wait 10 days: Friday 11 December.
func TestTilesWaitForTheDabs(t *testing.T) {
	h := byHand(t)
	h.exact(words.Tiler, words.Plaster, 0.4)
	r := h.room(nth[id.Job](h), "Mill Loft", "Bathroom", words.Boarding, 0)
	wall := room.Surface{ID: nth[id.Surface](h), Name: "west", Kind: "wall", Wall: 4, Outline: room.Rectangle(3000, 2500),
		Place: 2}
	r.Surfaces = append(r.Surfaces, wall)
	for i, name := range []string{"dabs", "boards", "tiles"} {
		r.Layers = append(r.Layers, room.Layer{ID: nth[id.Layer](h), Surface: wall.ID, Place: i + 1, Name: name,
			Thickness: 10, Stage: []words.Stage{words.Boarding, words.Boarding, words.Plaster}[i]})
	}
	h.stand(r)
	find := func() Placed {
		t.Helper()
		for _, v := range h.make().Visits {
			if v.Trade == words.Tiler {
				return v.Pieces[0]
			}
		}
		t.Fatal("no tiler comes")
		return Placed{}
	}
	if got := find(); !got.From.Equal(on(11)) || got.Amount != "8 m² of tiles" || got.Slots != 3 {
		t.Errorf("%+v", got)
	}
	r.Gates[words.Boarding].State, r.Gates[words.Plaster].State = words.SignedOff, words.InHand
	for _, l := range r.Layers {
		if l.Stage == words.Boarding {
			r.Built = append(r.Built, room.AsBuilt{Layer: l.ID, Stage: l.Stage, PutOn: on(30).AddDate(0, 0, -3)})
		}
	}
	h.stand(r)
	if got := find(); !got.From.Equal(on(7)) {
		t.Errorf("the dabs went on on Friday 27 November: tiles on Monday 7 December, not on %s", got.From)
	}
}

// Two crews of a trade share two jobs; a crew of two halves the slots.
func TestCrewsShareTheJobs(t *testing.T) {
	h := byHand(t)
	one, two := h.crew(words.Decorator, "Pat", 1), h.crew(words.Decorator, "Kim", 2)
	h.room(nth[id.Job](h), "Mill Loft", "Kitchen", words.Decoration, 0)
	h.room(nth[id.Job](h), "Dale House", "Kitchen", words.Decoration, 0)
	who := map[id.Crew]int{}
	for _, v := range h.make().Visits {
		who[v.Crew] = v.Slots
	}
	if len(who) != 2 || who[one] != 9 || who[two] != 5 {
		t.Errorf("%v", who)
	}
}

// Rooms whose floors are tiled as they are boarded, each the way into the other, wait for
// each other.
func TestRoomsThatWaitForEachOther(t *testing.T) {
	h := byHand(t)
	job := nth[id.Job](h)
	var all []*room.Record
	for _, name := range []string{"Hall", "Kitchen"} {
		r := h.room(job, "Mill Loft", name, words.Boarding, 0)
		floor := room.Surface{ID: nth[id.Surface](h), Name: "floor", Kind: "floor", Outline: room4x3, Place: 2}
		r.Surfaces = append(r.Surfaces, floor)
		r.Layers = append(r.Layers, room.Layer{ID: nth[id.Layer](h), Surface: floor.ID, Place: 1, Name: "tiles", Thickness: 8,
			Stage: words.Boarding})
		h.stand(r)
		all = append(all, r)
	}
	h.Through = []Through{{Room: all[0].ID, By: all[1].ID}, {Room: all[1].ID, By: all[0].ID}}
	if _, err := Make(h.Input); fault.KindOf(err) != fault.BadInput {
		t.Errorf("%v", err)
	}
}

// A firm without rooms has an empty programme.
func TestNothingToPlan(t *testing.T) {
	if p := newHouse(t).make(); len(p.Visits)+len(p.Rooms)+len(p.Jobs) > 0 || !p.Today.Equal(on(30)) {
		t.Errorf("%+v", p)
	}
}
