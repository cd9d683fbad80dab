package forms_test

import (
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// A form kept for a day means the datums, sides and states that stood on it,
// also where the hole cannot be marked from anything by now.
func TestTailsMeanWhatStoodOnTheForm(t *testing.T) {
	wall, steel := id.New[id.Datum](), id.New[id.Datum]()
	j := &standing.Standing{Record: &room.Record{Datums: []room.Datum{{ID: wall, Kind: words.Face},
		{ID: steel, Kind: words.Line}}}}
	q := &room.Position{ID: id.New[id.Position]()}
	f := form("off_a", "581", "from_a", wall.String(), "side_a", "+", "state_a", "skim",
		"off_b", "240", "from_b", steel.String(), "side_b", "-", "state_b", "skim")
	want := []deed.TailAt{{ID: f.ReadingID(1), From: wall, State: "skim", Value: 581, By: "tape"},
		{ID: f.ReadingID(2), From: steel, Value: -240, By: "tape"}}
	got := f.Tails(j, q)
	if len(got) != 2 || got[0] != want[0] || got[1] != want[1] || len(f.Wrong) > 0 {
		t.Errorf("%+v, want %+v; %v", got, want, f.Wrong)
	}
	f = form("off_a", "581")
	if f.Tails(j, q); len(f.Wrong) != 1 || f.Wrong[0].Path != "off_a" {
		t.Errorf("from nowhere: %v", f.Wrong)
	}
}
