package persistence_test

import (
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// The same wall is one wall: what is planned on it, that it stays bare, and how thick a layer is as built are said
// once and hold on the ceiling, on the floor, on its own elevation and on the sides of the next ones, also of those
// that are drawn later. The diary says all of it.
func TestOneWallIsSaidOnce(t *testing.T) {
	s := dbtest.New(t)
	of := s.Utility(t, "D1").Record
	r, err := s.Desk.Create(t.Context(), s.Foreman, room.Draft{Job: of.Job, Name: "Shower room", Height: 2400,
		Outline:  room.Rectangle(2600, 2100),
		Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}, {Kind: "floor"}, {Kind: "wall", Wall: 3}, {Kind: "wall", Wall: 4}}})
	if err != nil {
		t.Fatal(err)
	}
	do := func(d deed.Deed) {
		t.Helper()
		if r, err = s.Desk.Do(t.Context(), s.Foreman, r.Record.ID, d); err != nil {
			t.Fatal(err)
		}
	}
	if got := r.Record.Surfaces[2].Name + ", " + r.Record.Surfaces[3].Name; got != "north wall, west wall" {
		t.Errorf("the walls are called %s", got)
	}
	board := []firm.Layer{{Name: "board", Thickness: 25, Sigma: 5, Stage: words.FirstFix}}
	north := dbtest.Datum(t, r, "north wall")
	do(deed.Plan{Surface: r.Record.Surfaces[0].ID, Datums: []id.Datum{north}, Layers: board})
	do(deed.AddSurface{Surface: room.SurfaceDraft{Kind: "wall", Wall: 2}})
	places := r.Record.SameWall(room.Appearance{Datum: north})
	// The ceiling's, the floor's, itself, the right side of the west wall and the left side of the east wall.
	if len(places) != 5 {
		t.Fatalf("the north wall is drawn %d times", len(places))
	}
	for _, a := range places {
		if l := r.Record.LayersOf(a.Surface, a.Datum); len(l) != 1 || l[0].Thickness != 25 {
			t.Errorf("on %v: %+v", a, l)
		}
	}
	if also := r.Record.AlsoOn(places[0]); also != "also on the floor, the north wall, the west wall and the east wall" {
		t.Errorf("it is %s", also)
	}
	do(deed.PutOn{List: []deed.Coat{{ID: id.New[id.Measurement](), Surface: places[0].Surface, Datum: north,
		Through: "board", Thickness: 27}}})
	for _, a := range places {
		l := r.Record.LayersOf(a.Surface, a.Datum)[0]
		if b := r.Record.BuiltOf(l.ID); b == nil || a.Datum.IsZero() && b.Thickness != 27 ||
			!a.Datum.IsZero() && !r.Record.Told(&l) {
			t.Errorf("on %v as built: %+v", a, b)
		}
	}
	west := dbtest.Datum(t, r, "west wall")
	do(deed.StaysBare{Datum: west, Stays: true})
	for _, a := range r.Record.SameWall(room.Appearance{Datum: west}) {
		if d, err := r.Record.Datum(a.Datum); err == nil && !d.StaysBare {
			t.Errorf("%s of %v does not stay bare", d.Name, a)
		}
	}
	do(deed.Plan{Surface: r.Record.Surfaces[3].ID, Layers: board}) // on the west wall's own elevation, after all
	for _, a := range r.Record.SameWall(room.Appearance{Datum: west}) {
		if l := r.Record.LayersOf(a.Surface, a.Datum); len(l) != 1 {
			t.Errorf("on %v: %+v", a, l)
		}
	}
	for i := range r.Record.Datums {
		if d := &r.Record.Datums[i]; strings.HasPrefix(d.Name, "south") && len(r.Record.LayersOf(d.Surface, d.ID)) > 0 {
			t.Errorf("something went on the %s", d.Name)
		}
	}
	s.Holds(t)
}
