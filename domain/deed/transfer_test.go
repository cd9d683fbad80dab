package deed_test

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// A room that is read in from a sheet returns the set-out that the sheet returns.
func TestImportedRoomsSetOutAsTheirSheets(t *testing.T) {
	s := dbtest.New(t)
	defer s.Holds(t)
	job := s.Utility(t).Record.Job
	files, err := filepath.Glob("../../testdata/rooms/*.json")
	if err != nil || len(files) < 5 {
		t.Fatalf("%d rooms, %v", len(files), err)
	}
	for _, file := range files {
		in, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := roomsheet.Read(in)
		in.Close()
		if err != nil {
			t.Fatal(err)
		}
		j, err := s.Desk.Import(t.Context(), s.Foreman, job, id.Room{}, sheet)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		want, got := roomsheet.SetOut(sheet), j.SetOut()
		if len(want.Surfaces) != len(got.Surfaces) {
			t.Fatalf("%s has %d surfaces, came back with %d", file, len(want.Surfaces), len(got.Surfaces))
		}
		for i := range want.Surfaces {
			same(t, file, &want.Surfaces[i], &got.Surfaces[i])
		}
		twice, err := s.Desk.Import(t.Context(), s.Foreman, job, j.Record.ID, sheet)
		if err != nil || twice.Record.Revision != j.Record.Revision ||
			len(twice.Record.Measurements) != len(j.Record.Measurements) {
			t.Errorf("%s, sent twice: %v", file, err)
		}
		other := renamed(t, sheet)
		other.Surfaces[0].Positions = append(other.Surfaces[0].Positions, roomsheet.Position{ID: "another"})
		if _, err := s.Desk.Import(t.Context(), s.Foreman, job, j.Record.ID, other); fault.KindOf(err) != fault.Conflict {
			t.Errorf("%s, another sheet under its id: %v", file, err)
		}
		again, err := s.Desk.Import(t.Context(), s.Foreman, job, id.Room{}, renamed(t, j.Sheet))
		if err != nil {
			t.Errorf("%s, a second time round: %v", file, err)
			continue
		}
		for i := range want.Surfaces {
			again := again.SetOut()
			same(t, file+" again", &want.Surfaces[i], &again.Surfaces[i])
		}
	}
}

// A thickness that does not say up to which layer is refused by name, from a sheet and by hand.
func TestAThicknessSaysUpToWhichLayer(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t)
	in, err := os.Open("../../testdata/rooms/socket-wall.json")
	if err != nil {
		t.Fatal(err)
	}
	defer in.Close()
	sheet, err := roomsheet.Read(in)
	if err != nil {
		t.Fatal(err)
	}
	on := &sheet.Surfaces[0]
	face := slices.IndexFunc(on.Datums, func(d roomsheet.Datum) bool { return len(d.Layers) > 0 })
	if face < 0 {
		t.Fatal("no face of the sheet has layers")
	}
	on.Measurements = append(on.Measurements,
		roomsheet.Measurement{ID: "thick", Kind: "thickness", From: on.Datums[face].ID, Value: 30})
	refused := func(err error, at string) {
		t.Helper()
		if f := (*fault.Error)(nil); !errors.As(err, &f) || f.Kind != fault.BadInput || len(f.Fields) != 1 ||
			f.Fields[0].Path != at {
			t.Errorf("%v, want one fault at %s", err, at)
		}
	}
	_, err = s.Desk.Import(t.Context(), s.Foreman, r.Record.Job, id.Room{}, sheet)
	refused(err, fmt.Sprintf("$.surfaces[0].measurements[%d].state", len(on.Measurements)-1))
	for _, state := range []string{"", roomsheet.Bare} {
		_, err = r.Record.Measured(room.Reading{Kind: words.Thickness, From: r.Record.Datums[0].ID, FromState: "board",
			State: state, Value: 30})
		refused(err, "state")
	}
}

// renamed is a sheet as another room.
func renamed(t *testing.T, sheet *roomsheet.Room) *roomsheet.Room {
	t.Helper()
	text, err := json.Marshal(sheet)
	if err != nil {
		t.Fatal(err)
	}
	var out roomsheet.Room
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	out.Room += " 2"
	return &out
}

// same compares two answers of one surface to a thousandth of a millimetre.
func same(t *testing.T, name string, want, got *roomsheet.SurfaceAnswer) {
	t.Helper()
	if len(want.Positions) != len(got.Positions) || len(want.Measurements) != len(got.Measurements) ||
		len(want.Layers) != len(got.Layers) {
		t.Errorf("%s: %d positions, %d measurements, %d layers became %d, %d, %d", name, len(want.Positions),
			len(want.Measurements), len(want.Layers),
			len(got.Positions), len(got.Measurements), len(got.Layers))
		return
	}
	answers := map[string]roomsheet.PositionAnswer{}
	for _, p := range got.Positions {
		answers[p.ID] = p
	}
	for _, p := range want.Positions {
		q := answers[p.ID]
		if p.Determinate != q.Determinate || (p.Place == nil) != (q.Place == nil) {
			t.Errorf("%s, %s: determinate %v became %v", name, p.ID, p.Determinate, q.Determinate)
			continue
		}
		if p.Place == nil {
			continue
		}
		offsets := map[string]roomsheet.Offset{}
		for _, o := range q.SetOut {
			offsets[o.From] = o
		}
		for _, o := range p.SetOut {
			if g := offsets[o.From]; g.State != o.State || math.Abs(g.Value-o.Value) > 1e-3 || math.Abs(g.Sigma-o.Sigma) > 1e-3 {
				t.Errorf("%s, %s: %+v became %+v", name, p.ID, o, g)
			}
		}
	}
}
