package main

import (
	"bytes"
	"math"
	"os"
	"strings"
	"testing"

	"lathmark/domain/geometry"
	"lathmark/domain/job"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// The set-out sheet shows the offsets that the geometry returns for a room sheet as the
// walls are then: bare, boarded, skimmed.
func TestJourneyCorrectedOffsets(t *testing.T) {
	text, err := os.ReadFile("../../testdata/rooms/kitchen.json")
	if err != nil {
		t.Fatal(err)
	}
	b := build(t)
	j, err := b.Job.Create(t.Context(), b.Foreman, job.Job{Name: "Ferry House"})
	if err != nil {
		t.Fatal(err)
	}
	foreman := b.as(t, b.Foreman)
	marks := map[string][]marked{}
	for _, state := range []struct{ layer, says string }{{"bare", "bare"}, {"board", "boarded"}, {"skim", "skimmed"}} {
		sheet, err := roomsheet.Read(bytes.NewReader(text))
		if err != nil {
			t.Fatal(err)
		}
		sheet.Room = "Kitchen, " + state.says
		for i := range sheet.Surfaces {
			sheet.Surfaces[i].Now = state.layer
			for k := range sheet.Surfaces[i].Datums {
				if len(sheet.Surfaces[i].Datums[k].Layers) > 0 {
					sheet.Surfaces[i].Datums[k].Now = state.layer
				}
			}
		}
		var pasted bytes.Buffer
		if err := sheet.Write(&pasted); err != nil {
			t.Fatal(err)
		}
		foreman.open("/jobs/" + j.ID.String() + "/rooms/import")
		foreman.must("label", "The room sheet", "")
		foreman.paste(pasted.String())
		foreman.press("Import the room")
		foreman.sees("Kitchen, " + state.says)
		at, _, _ := strings.Cut(foreman.at(), "?")
		foreman.open(at + "/set-out")
		rows := eval[[]string](foreman,
			`[...document.querySelectorAll(".hole")].map(e => e.textContent.replace(/\s+/g, " ").trim())`)

		solved := sheet.Solve()[0]
		holes := 0
		for i, p := range solved.Answer.Positions {
			name := sheet.Surfaces[0].Positions[i].ID
			if p.Mark == nil {
				continue
			}
			holes++
			row := ""
			for _, r := range rows {
				if strings.HasPrefix(r, name) && strings.HasPrefix(strings.TrimLeft(r[len(name):], "0123456789"), r[len(name):]) ||
					strings.HasPrefix(r, "Open "+name+" first") {
					row = r
				}
			}
			for k, datum := range p.Mark.From {
				d := sheet.Surfaces[0].Datums[datum]
				// The steel runs from west to east: what is left of it lies to the north.
				want := words.MM(math.Abs(p.Plan.Offsets[k])) + " from " + d.ID
				switch {
				case d.Kind == "face":
					want += " wall, " + state.says
				case p.Plan.Offsets[k] < 0:
					want += " towards the south wall"
				default:
					want += " towards the north wall"
				}
				if !strings.Contains(row, want) {
					t.Errorf("%s, %s: the page does not say %q: %s", state.says, name, want, row)
				}
				if d.Kind == "face" && p.Plan.Move == (geometry.Vec{}) {
					mark := name + " from the " + d.ID + " wall"
					marks[mark] = append(marks[mark], marked{state.layer, p.Plan.Offsets[k], d.Layers})
				}
			}
		}
		if holes < 10 || len(rows) != holes {
			t.Errorf("%s: %d holes on the page, the geometry has %d", state.says, len(rows), holes)
		}
	}
	// Where a hole is marked from the same wall in two states, the offset shrinks by what came
	// on between them: as planned, to within what the readings teach of it.
	compared := 0
	for mark, in := range marks {
		for _, later := range in[1:] {
			want := later.planned() - in[0].planned()
			compared++
			if got := in[0].offset - later.offset; math.Abs(got-want) > 12 {
				t.Errorf("%s: from %s to %s the offset shrinks by %.1f, %.1f mm are planned", mark, in[0].state, later.state, got,
					want)
			}
		}
	}
	if compared < 5 {
		t.Errorf("%d holes only are marked from the same wall in two states", compared)
	}
}

// marked is an offset that a hole is marked by, with the wall's state and its layers.
type marked struct {
	state  string
	offset float64
	layers []roomsheet.Layer
}

// planned returns the thickness that is planned up to the state, mm.
func (m marked) planned() float64 {
	sum := 0.0
	for _, l := range m.layers {
		if m.state == roomsheet.Bare {
			break
		}
		sum += l.Thickness
		if l.ID == m.state {
			break
		}
	}
	return sum
}
