package typed_test

import (
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
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
	one, two := id.New[id.Measurement](), id.New[id.Measurement]()
	made := func(n int) id.Measurement { return []id.Measurement{{}, one, two}[n] }
	f, wrong := form("off_a", "581", "from_a", wall.String(), "side_a", "+", "state_a", "skim",
		"off_b", "240", "from_b", steel.String(), "side_b", "-", "state_b", "skim")
	want := []stage.TailAt{{ID: one, From: wall, State: "skim", Value: 581, By: "tape"},
		{ID: two, From: steel, Value: -240, By: "tape"}}
	got := f.Tails(j, q, made)
	if len(got) != 2 || got[0] != want[0] || got[1] != want[1] || len(*wrong) > 0 {
		t.Errorf("%+v, want %+v; %v", got, want, *wrong)
	}
	f, wrong = form("off_a", "581")
	if f.Tails(j, q, made); len(*wrong) != 1 || (*wrong)[0].Path != "off_a" {
		t.Errorf("from nowhere: %v", *wrong)
	}
}
