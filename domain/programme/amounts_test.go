package programme

import (
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/room/roomtest"
	"lathmark/domain/words"
)

// saysOfAmounts are a room's amounts as people read them.
func saysOfAmounts(h *house, r *room.Record) map[Piece]string {
	out := map[Piece]string{}
	for _, a := range amounts(h.stand(r)) {
		a.Room = id.Room{}
		out[a.Piece] = a.says
	}
	return out
}

// The room is 4 m by 3 m and 2.5 m high: a ceiling of 12 m², walls of 14 m × 2.5 = 35 m².
func TestWhatIsLeftToDo(t *testing.T) {
	h := newHouse(t)
	r := h.room(nth[id.Job](h), "Mill Loft", "Kitchen", words.FirstFix, 3)
	r.Positions = append(r.Positions, room.Position{ID: nth[id.Position](h), Surface: r.Surfaces[0].ID, Name: "W1",
		Kind: "waste", AddedAt: monday})
	r.Positions[0].OmittedAt = monday
	of := func(s words.Stage, t words.Trade) Piece { return Piece{Stage: s, Trade: t} }
	want := map[Piece]string{of(words.FirstFix, words.Electrician): "2 positions",
		of(words.FirstFix, words.Plumber): "1 position", of(words.Boarding, words.DryLiner): "12 m² of boards",
		of(words.Plaster, words.Plasterer): "12 m² of skim", of(words.SecondFix, words.Electrician): "2 holes",
		of(words.SecondFix, words.Plumber): "1 hole", of(words.Decoration, words.Decorator): "47 m² of paint"}
	same := func(what string) {
		t.Helper()
		got := saysOfAmounts(h, r)
		for p, w := range want {
			if got[p] != w {
				t.Errorf("%s: %s by the %s: %q, want %q", what, p.Stage, p.Trade, got[p], w)
			}
			delete(got, p)
		}
		if len(got) > 0 {
			t.Errorf("%s: and %v", what, got)
		}
	}
	same("at first")

	// The west wall, 3 m × 2.5, is tiled; it is drawn twice and counts once.
	wall := room.Surface{ID: nth[id.Surface](h), Name: "west", Kind: "wall", Wall: 4, Outline: room.Rectangle(3000, 2500),
		Place: 2}
	face := room.Datum{ID: nth[id.Datum](h), Surface: r.Surfaces[0].ID, Name: "west", Kind: words.Face, Wall: 4, Place: 1,
		A: room4x3[3], B: room4x3[0]}
	r.Surfaces, r.Datums = append(r.Surfaces, wall), append(r.Datums, face)
	for _, l := range []room.Layer{{Surface: wall.ID}, {Surface: r.Surfaces[0].ID, Datum: face.ID}} {
		l.ID, l.Place, l.Name, l.Thickness, l.Stage = nth[id.Layer](h), 1, "tiles", 8, words.Plaster
		r.Layers = append(r.Layers, l)
	}
	want[of(words.Plaster, words.Tiler)] = "8 m² of tiles"
	want[of(words.Decoration, words.Decorator)] = "40 m² of paint"
	same("tiled")

	r.Gates[words.FirstFix].State, r.Gates[words.Boarding].State = words.SignedOff, words.InHand
	r.Built = []room.AsBuilt{{Layer: r.Layers[0].ID, Stage: words.Boarding, PutOn: on(1)},
		{Layer: r.Layers[2].ID, Stage: words.Plaster, PutOn: on(1)}}
	delete(want, of(words.FirstFix, words.Electrician))
	delete(want, of(words.FirstFix, words.Plumber))
	delete(want, of(words.Boarding, words.DryLiner))
	delete(want, of(words.Plaster, words.Tiler))
	same("boarded")

	r.Gates[words.Boarding].State, r.Gates[words.Plaster].State = words.SignedOff, words.SignedOff
	r.Gates[words.SecondFix].State = words.InHand
	r.Openings = []room.Opening{{ID: nth[id.Opening](h), Position: r.Positions[1].ID, Outcome: words.Found, At: monday}}
	r.Snags = []room.Snag{{ID: nth[id.Snag](h), Says: "The waste leaks.", Trade: words.Plumber, NotedAt: monday}}
	delete(want, of(words.Plaster, words.Plasterer))
	want[of(words.SecondFix, words.Electrician)] = "1 hole"
	want[of(words.Decoration, words.Plumber)] = "1 snag"
	same("at second fix")

	r.Gates[words.SecondFix].State = words.Offered
	delete(want, of(words.SecondFix, words.Electrician))
	delete(want, of(words.SecondFix, words.Plumber))
	same("offered")
}

func TestARoomWithoutABuildUpIsBoardedAllRound(t *testing.T) {
	h := newHouse(t)
	r := h.room(nth[id.Job](h), "Mill Loft", "Kitchen", words.Boarding, 0)
	r.Layers = nil
	got := saysOfAmounts(h, r)
	if want := "47 m² of boards, as no build-up is planned"; got[Piece{Stage: words.Boarding,
		Trade: words.DryLiner}] != want ||
		len(got) != 3 {
		t.Errorf("%v", got)
	}
}

// A measured position is done at first fix; what the invented site's sheets plan is found.
func TestAmountsOfARealSheet(t *testing.T) {
	h := newHouse(t)
	r := roomtest.Record(t, roomtest.Sheet(t, "../..", "kitchen"))
	h.Rooms = append(h.Rooms, h.stand(r))
	for p, says := range saysOfAmounts(h, r) {
		if p.Stage == words.FirstFix {
			t.Errorf("everything is measured, and %s is left", says)
		}
	}
}
