package persistence_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
	"lathmark/persistence/schema"
)

// A database from before 0023 learns which walls its surfaces and faces are, as room.Link tells it, on the way up.
// What can be told comes out as it was drawn; signed stages stand, and the check still finds nothing.
func TestOldRowsLearnTheirWalls(t *testing.T) {
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	rnd := rand.New(rand.NewPCG(seed, 23))
	s := dbtest.New(t)
	utility := s.SignFirstFix(t, s.Utility(t, "D1", "D2"))
	var drawn []*room.Record
	for i := range 30 {
		j, err := s.Desk.Create(t.Context(), s.Foreman, walled(rnd, utility.Record.Job, fmt.Sprintf("Room %d", i)))
		if err != nil {
			t.Fatal(err)
		}
		drawn = append(drawn, j.Record)
	}
	if err := schema.Prepare(t.Context(), s.Database.URL(localpg.Superuser)); err != nil {
		t.Fatal(err)
	}
	owner := s.Database.URL(migrations.Owner)
	if err := schema.Down(t.Context(), owner, migrations.Latest-22); err != nil {
		t.Fatal(err)
	}
	if err := schema.Up(t.Context(), owner); err != nil {
		t.Fatal(err)
	}
	for _, f := range dbtest.Findings(s.Proofs(t)) { // what their own entries say and nothing else tells
		if !strings.Contains(f.Says, ": wall was ") || !strings.HasSuffix(f.Says, ", and is nothing") {
			t.Error(f.Says)
		}
	}
	elevations, faces := 0, 0
	for _, was := range drawn {
		var now *room.Record
		if err := s.Desk.Look(t.Context(), s.Foreman, func(tx deed.Tx) (err error) {
			now, err = tx.Record(t.Context(), was.ID)
			return err
		}); err != nil {
			t.Fatal(err)
		}
		want := unlinked(was)
		want.Link()
		for k, is := range now.Surfaces {
			if is.Wall != want.Surfaces[k].Wall || is.Wall != 0 && is.Wall != was.Surfaces[k].Wall {
				t.Errorf("%s of %s is wall %d, by Go %d, drawn as %d", is.Name, now.Name, is.Wall, want.Surfaces[k].Wall,
					was.Surfaces[k].Wall)
			}
			elevations += min(is.Wall, 1)
		}
		for k, is := range now.Datums {
			if is.Wall != want.Datums[k].Wall || is.Wall != 0 && is.Wall != was.Datums[k].Wall {
				t.Errorf("%s of %s is wall %d, by Go %d, drawn as %d", is.Name, now.Name, is.Wall, want.Datums[k].Wall,
					was.Datums[k].Wall)
			}
			faces += min(is.Wall, 1)
		}
	}
	if elevations < 20 || faces < 100 {
		t.Errorf("%d elevations and %d faces were told", elevations, faces)
	}
}

// unlinked returns a record as it was before it knew its walls.
func unlinked(r *room.Record) *room.Record {
	out := *r
	out.Surfaces, out.Datums = slices.Clone(r.Surfaces), slices.Clone(r.Datums)
	for i := range out.Surfaces {
		out.Surfaces[i].Wall = 0
	}
	for i := range out.Datums {
		out.Datums[i].Wall = 0
	}
	return &out
}

// walled returns a room with a ceiling, a floor, three of its walls, a slope and a wall drawn by hand: a box, one
// with a breast, or one with a corner that is not square.
func walled(rnd *rand.Rand, of id.Job, name string) room.Draft {
	w, l := float64(2000+rnd.IntN(3)*400), float64(2000+rnd.IntN(3)*400)
	outline := []roomsheet.Point{{0, 0}, {w, 0}, {w, l}, {0, l}}
	switch rnd.IntN(3) {
	case 0:
		outline = slices.Insert(outline, 3, roomsheet.Point{w - 500, l}, roomsheet.Point{w - 500, l - 350},
			roomsheet.Point{500, l - 350}, roomsheet.Point{500, l})
	case 1:
		outline[2] = roomsheet.Point{w - 333.3, l + 100.7}
	}
	d := room.Draft{Job: of, Name: name, Height: 2400, Outline: outline,
		Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}, {Kind: "floor"},
			{Kind: "wall", Name: "by hand", Outline: []roomsheet.Point{{10, 0}, {w, 0}, {w, 900}}}}}
	sides := room.Sides(outline)
	for i, wall := range rnd.Perm(len(outline))[:3] {
		called := []string{fmt.Sprintf("Wall %d", wall+1), sides[wall] + " wall", fmt.Sprint("what we called it ", i)}
		d.Surfaces = append(d.Surfaces, room.SurfaceDraft{Kind: "wall", Wall: wall + 1, Name: called[rnd.IntN(3)]})
	}
	d.Surfaces = append(d.Surfaces, room.SurfaceDraft{Kind: "slope", Wall: 1 + rnd.IntN(len(outline)), Pitch: 35,
		Length: 1500})
	return d
}

// What was read before a build-up was planned was of the bare face, and stays so once one is planned: what is read now
// says it by itself, and what was read with an older program says it since 0023. What was read after the plan without
// a word of the state is still unrecorded, and first fix waits for it.
func TestReadingsBeforeTheBuildUpAreOfTheBareFace(t *testing.T) {
	s := dbtest.New(t)
	of := s.Utility(t, "D1").Record
	r, err := s.Desk.Create(t.Context(), s.Foreman, room.Draft{Job: of.Job, Name: "Shower room", Height: 2400,
		Outline: room.Rectangle(2600, 2100), Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}}})
	if err != nil {
		t.Fatal(err)
	}
	ceiling := r.Record.Surfaces[0].ID
	do := func(d deed.Deed) {
		t.Helper()
		if r, err = s.Desk.Do(t.Context(), s.Foreman, r.Record.ID, d); err != nil {
			t.Fatal(err)
		}
	}
	do(deed.Schedule{Surface: ceiling, Positions: []room.PositionDraft{{Name: "F1", Kind: "fan", Cutout: 105}}})
	fan := r.Record.Positions[0].ID
	measure := func(from string, value float64) {
		t.Helper()
		do(deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: fan, From: dbtest.Datum(t, r, from), Value: value}})
	}
	measure("south wall", 600)
	measure("west wall", 700)
	for _, m := range r.Record.Measurements {
		if m.State != roomsheet.Bare {
			t.Errorf("%s was taken %q", m.Name, m.State)
		}
	}
	do(deed.Plan{Surface: ceiling, Datums: []id.Datum{dbtest.Datum(t, r, "south wall"), dbtest.Datum(t, r, "west wall")},
		Layers: []firm.Layer{{Name: "board", Thickness: 25, Stage: words.Boarding}}})
	measure("south wall", 603)
	unrecorded := func(r *standing.Standing) (out []string) {
		for _, o := range r.Gate.Obstacles(words.FirstFix) {
			if o.Code == gate.CodeUnrecordedDatum {
				out = append(out, o.Wrong)
			}
		}
		return out
	}
	if got := unrecorded(r); len(got) != 1 || !strings.Contains(got[0], "F1 from the south wall") {
		t.Errorf("unrecorded are %v", got)
	}
	above := connect(t, s, localpg.Superuser)
	if err := schema.Prepare(t.Context(), s.Database.URL(localpg.Superuser)); err != nil {
		t.Fatal(err)
	}
	owner := s.Database.URL(migrations.Owner)
	if err := schema.Down(t.Context(), owner, migrations.Latest-22); err != nil {
		t.Fatal(err)
	}
	for _, sql := range []string{"set session_replication_role = replica", "update measurement set state_known = false"} {
		if _, err := above.Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	if err := schema.Up(t.Context(), owner); err != nil {
		t.Fatal(err)
	}
	if got := texts(t, above, `select name from measurement where state_known order by name`); !slices.Equal(got,
		[]string{"m1", "m2"}) {
		t.Errorf("bare are %v", got)
	}
	s.Holds(t)
}
