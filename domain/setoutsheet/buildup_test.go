package setoutsheet

import (
	"fmt"
	"strings"
	"testing"

	"lathmark/domain/roomsheet"
)

// walled returns a room 4000 by 3000 with n positions, each taped from all four
// walls without error, the spans too; state says in which state of the south
// wall (dabs 18 ± 4, board) a position's offset from it is noted; all are taped
// from the bare wall.
func walled(n int, state func(i int) string) *roomsheet.Room {
	s := roomsheet.Surface{ID: "ceiling", Kind: "ceiling", Datums: []roomsheet.Datum{
		{ID: "south", Kind: "face", Line: &roomsheet.Line{{0, 0}, {4000, 0}}, Layers: []roomsheet.Layer{
			{ID: "dabs", Thickness: 18, Sigma: 4}, {ID: "board", Thickness: 12.5, Sigma: 0.5}}},
		{ID: "east", Kind: "face", Line: &roomsheet.Line{{4000, 0}, {4000, 3000}}},
		{ID: "north", Kind: "face", Line: &roomsheet.Line{{4000, 3000}, {0, 3000}}},
		{ID: "west", Kind: "face", Line: &roomsheet.Line{{0, 3000}, {0, 0}}},
	}}
	add := func(m roomsheet.Measurement) {
		m.ID = fmt.Sprintf("m%d", len(s.Measurements)+1)
		s.Measurements = append(s.Measurements, m)
	}
	for i := range n {
		p := fmt.Sprintf("D%d", i+1)
		s.Positions = append(s.Positions, roomsheet.Position{ID: p})
		u, v := 600+float64(i%8)*400, 500+float64(i%9)*200
		add(roomsheet.Measurement{Kind: "offset", Of: p, From: "south", State: state(i), Value: v})
		add(roomsheet.Measurement{Kind: "offset", Of: p, From: "north", Value: 3000 - v})
		add(roomsheet.Measurement{Kind: "offset", Of: p, From: "west", Value: u})
		add(roomsheet.Measurement{Kind: "offset", Of: p, From: "east", Value: 4000 - u})
	}
	add(roomsheet.Measurement{Kind: "span", From: "south", State: "bare", To: "north", Value: 3000})
	add(roomsheet.Measurement{Kind: "span", From: "west", To: "east", Value: 4000})
	return &roomsheet.Room{Format: roomsheet.Format, Room: "Box", Surfaces: []roomsheet.Surface{s}}
}

func TestBuildUpUnlikeThePlan(t *testing.T) {
	for want, room := range map[string]*roomsheet.Room{
		"": walled(8, func(int) string { return "bare" }),
		"planned 18. m21, m25 and m29 may be noted in a wrong state. Ask who taped, or measure the build-up.": walled(8,
			func(i int) string {
				if i >= 5 {
					return "dabs"
				}
				return "bare"
			}),
		"m1, m5, m9, m13, m17 and 3 more may be noted in a wrong state": walled(17, func(i int) string {
			if i < 8 {
				return "dabs"
			}
			return "bare"
		}),
	} {
		got := strings.Join(strings.Fields(printed(t, room)), " ")
		if want == "" {
			if strings.Contains(got, "The readings make") || strings.Contains(got, "go together") {
				t.Errorf("a warning where nothing is wrong:\n%s", got)
			}
			continue
		}
		if !strings.Contains(got, "The readings make the dabs on south") || !strings.Contains(got, want) {
			t.Errorf("want %q in\n%s", want, got)
		}
	}
}

// TestReadingsThatDoNotGoTogether: many readings that are each off by a little
// more than they should be.
func TestReadingsThatDoNotGoTogether(t *testing.T) {
	room := walled(8, func(int) string { return "bare" })
	s := &room.Surfaces[0]
	for i := range s.Measurements {
		if i%4 == 0 && s.Measurements[i].Kind == "offset" {
			s.Measurements[i].Value += [4]float64{7, -7, 7, -7}[i/4%4]
		}
	}
	got := strings.Join(strings.Fields(printed(t, room)), " ")
	if !strings.Contains(got, "The readings do not go together, and none stands out.") {
		t.Error(got)
	}
}
