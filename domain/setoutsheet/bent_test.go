package setoutsheet

import (
	"bytes"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"lathmark/domain/roomsheet"
)

// Whatever people leave out or get wrong, the sheet is still a sheet: lines
// that fit, a word on every position, and no NaN.
func TestBentRoomsStillPrint(t *testing.T) {
	whole := map[string]string{}
	for _, name := range rooms {
		var b bytes.Buffer
		if err := site(t, name).Write(&b); err != nil {
			t.Fatal(err)
		}
		whole[name] = b.String()
	}
	rapid.Check(t, func(t *rapid.T) {
		room, err := roomsheet.Read(strings.NewReader(whole[rapid.SampledFrom(rooms).Draw(t, "room")]))
		if err != nil {
			t.Fatal(err)
		}
		for i := range room.Surfaces {
			bend(t, &room.Surfaces[i])
		}
		var b bytes.Buffer
		if err := Print(&b, room, room.Solve()); err != nil {
			t.Fatal(err)
		}
		for _, l := range strings.Split(b.String(), "\n") {
			if width(l) > columns || strings.Contains(l, "NaN") || strings.Contains(strings.ReplaceAll(l, "Information", ""),
				"Inf") || strings.Contains(l, "--") &&
				strings.Trim(l, "-") != "" {
				t.Fatalf("%q in\n%s", l, b.String())
			}
		}
		for _, s := range room.Surfaces {
			for _, p := range s.Positions {
				if !strings.Contains(b.String(), "\n"+p.ID+" ") {
					t.Fatalf("%s is not on the sheet:\n%s", p.ID, b.String())
				}
			}
		}
	})
}

// bend leaves readings out, misreads some, forgets states, and sizes holes.
func bend(t *rapid.T, s *roomsheet.Surface) {
	keep := s.Measurements[:0]
	for _, m := range s.Measurements {
		switch rapid.IntRange(0, 9).Draw(t, "slip") {
		case 0, 1, 2:
			continue
		case 3:
			m.Value = rapid.SampledFrom([]float64{0, 1, m.Value + 100, 100_000}).Draw(t, "value")
		case 4:
			m.State, m.ToState = "", ""
		}
		keep = append(keep, m)
	}
	s.Measurements = keep
	for i := range s.Positions {
		if rapid.IntRange(0, 4).Draw(t, "size") == 0 {
			s.Positions[i].Cutout = rapid.SampledFrom([]float64{0, 1, 300, 1000}).Draw(t, "cutout")
		}
	}
	if rapid.IntRange(0, 4).Draw(t, "timbers") == 0 {
		s.Timbers = nil
	}
}
