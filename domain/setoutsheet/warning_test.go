package setoutsheet

import (
	"strings"
	"testing"

	"lathmark/domain/roomsheet"
)

// small returns a ceiling of 2400 by 1200 with bare walls, one timber across the
// middle and one position, and the readings given.
func small(readings ...roomsheet.Measurement) *roomsheet.Room {
	s := roomsheet.Surface{ID: "ceiling", Kind: "ceiling",
		Datums: []roomsheet.Datum{
			{ID: "south", Kind: "face", Line: &roomsheet.Line{{0, 0}, {2400, 0}}},
			{ID: "east", Kind: "face", Line: &roomsheet.Line{{2400, 0}, {2400, 1200}},
				Layers: []roomsheet.Layer{{ID: "board", Thickness: 12.5}}},
			{ID: "north", Kind: "face", Line: &roomsheet.Line{{2400, 1200}, {0, 1200}}},
			{ID: "west", Kind: "face", Line: &roomsheet.Line{{0, 1200}, {0, 0}}},
			{ID: "pipe", Kind: "point", Point: &roomsheet.Point{300, 300}},
		},
		Timbers:   []roomsheet.Timber{{ID: "J1", Line: roomsheet.Line{{1200, 0}, {1200, 1200}}, Width: 47}},
		Positions: []roomsheet.Position{{ID: "D1", Kind: "downlight", Cutout: 76}, {ID: "D2", Kind: "downlight", Cutout: 76}},
	}
	s.Measurements = []roomsheet.Measurement{
		{ID: "a1", Kind: "offset", Of: "D2", From: "south", Value: 600},
		{ID: "a2", Kind: "offset", Of: "D2", From: "north", Value: 600},
		{ID: "a3", Kind: "offset", Of: "D2", From: "west", Value: 500},
		{ID: "a4", Kind: "offset", Of: "D2", From: "east", State: "bare", Value: 1900},
	}
	for i, m := range readings {
		m.ID = "m" + string(rune('1'+i))
		s.Measurements = append(s.Measurements, m)
	}
	return &roomsheet.Room{Format: roomsheet.Format, Room: "Box", Surfaces: []roomsheet.Surface{s}}
}

func offset(from string, value float64) roomsheet.Measurement {
	return roomsheet.Measurement{Kind: "offset", Of: "D1", From: from, Value: value}
}

func TestWhatAPositionNeeds(t *testing.T) {
	type taped = []roomsheet.Measurement
	far := roomsheet.Measurement{Kind: "offset", Of: "D1", From: "east", State: "bare", Value: 1500}
	for _, c := range []struct {
		want     string
		readings taped
	}{
		{"D1 has no measurement that counts. Measure it from two walls that meet.", nil},
		{"D1 is measured from south only. Measure it from a second wall, one that meets the first.",
			taped{offset("south", 400), offset("south", 401)}},
		{"D1 is measured from south and north, which run too much the same way.",
			taped{offset("south", 400), offset("north", 800)}},
		{"D1 is measured from other positions only, and that does not fix it.",
			taped{{Kind: "distance", Of: "D1", To: "D2", Value: 400}}},
		{"D1 fits two places: about 300 or about 900 from south. Measure it from south.",
			taped{offset("west", 900), {Kind: "distance", Of: "D1", To: "D2", Value: 500}}},
		{"m1 (D1 from east) does not say what east had on it when it was taped, so it is left out.",
			taped{offset("east", 900)}},
		{"D1 has no measurement that counts.", taped{offset("east", 900)}},
		{"m1 (east to west) does not say what a wall at one end had on it",
			taped{{Kind: "span", From: "east", To: "west", Value: 2400}}},
		{"m1 (build-up on east) does not say what east had on it",
			taped{{Kind: "thickness", From: "east", Value: 12}}},
		{"D1 is not checked: a misread tape would not show. It rests on m1 and m2. Measure it a second way.",
			taped{offset("south", 400), offset("west", 900)}},
		{"D2 is not checked: a misread tape would not show. It rests on a1, a2, a3 and a4. Measure the span from south to " +
			"north " +
			"and east to west.", nil},
		{"towards the west wall to clear J1.",
			taped{offset("south", 400), offset("west", 1190)}},
		{"m4 (D1 from west) does not fit: taped 1000, the rest says about 900. Measure it again.",
			taped{offset("south", 400), offset("north", 800), far, offset("west", 1000),
				{Kind: "offset", Of: "D1", From: "west", Value: 900, By: "laser"}}},
		{"m3 (D1 from pipe) does not fit", taped{offset("south", 400), offset("west", 900),
			{Kind: "offset", Of: "D1", From: "pipe", Value: 700}, offset("north", 800), far}},
	} {
		got := strings.Join(strings.Fields(printed(t, small(c.readings...))), " ")
		if !strings.Contains(got, c.want) {
			t.Errorf("want %q in\n%s", c.want, got)
		}
	}
}

// A hole that nothing clears is not to be opened: the top of the sheet says so,
// and the position.
func TestNothingClears(t *testing.T) {
	room := small(offset("south", 600), offset("north", 600), offset("west", 1200))
	s := &room.Surfaces[0]
	s.Positions[0].Cutout = 400
	for i, u := range []float64{800, 1600} {
		s.Timbers = append(s.Timbers, roomsheet.Timber{ID: "K" + string(rune('1'+i)), Line: roomsheet.Line{{u, 0}, {u, 1200}},
			Width: 47})
	}
	got := strings.Join(strings.Fields(printed(t, room)), " ")
	for _, want := range []string{"! D1: Stop: the tail is behind timber J1 or too close to it",
		"! Stop: the tail is behind timber J1 or too close to it, and no hole within the tail's reach clears."} {
		if !strings.Contains(got, want) {
			t.Errorf("want %q in\n%s", want, got)
		}
	}
}

// A bare face says so, and a surface without recorded timbers says that.
func TestNoTimberRecorded(t *testing.T) {
	room := small(offset("south", 400), offset("west", 900))
	room.Surfaces[0].Timbers = nil
	got := strings.Join(strings.Fields(printed(t, room)), " ")
	for _, want := range []string{"CEILING, bare", "No timber is recorded here. Feel for timber before you cut.",
		"from south wall, bare"} {
		if !strings.Contains(got, want) {
			t.Errorf("want %q in\n%s", want, got)
		}
	}
}

// A surface without positions has nothing to mark.
func TestEmptySurface(t *testing.T) {
	room := &roomsheet.Room{Format: roomsheet.Format, Room: "Hall",
		Surfaces: []roomsheet.Surface{{ID: "floor", Kind: "floor"}}}
	if got := printed(t, room); !strings.Contains(got, "Nothing to mark here.") || !strings.Contains(got, "No warnings.") {
		t.Error(got)
	}
}

// A position that depends on a reading that does not fit says so where it is
// marked, gives no odds, and is not named as the one to open first without a
// word.
func TestDoubtStandsWhereItIsMarked(t *testing.T) {
	room := small(offset("south", 400), offset("north", 800), offset("west", 900),
		roomsheet.Measurement{Kind: "offset", Of: "D1", From: "west", Value: 900, By: "laser"}, offset("west", 1000))
	room.Surfaces[0].Positions = room.Surfaces[0].Positions[:1]
	room.Surfaces[0].Measurements = room.Surfaces[0].Measurements[4:]
	got := strings.Join(strings.Fields(printed(t, room)), " ")
	for _, want := range []string{"! Not sure until m5 (D1 from west) is corrected: it does not fit. Do not cut yet."} {
		if !strings.Contains(got, want) {
			t.Errorf("want %q in\n%s", want, got)
		}
	}
	if strings.Contains(got, "Chance of") {
		t.Errorf("odds that rest on a bad reading:\n%s", got)
	}
}
