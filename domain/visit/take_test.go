package visit_test

import (
	"testing"

	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/visit"
	"lathmark/persistence/dbtest"
)

// Two people without signal measure the same thing: both readings stand, and
// the one who sent last is asked.
func TestTwoMeasureTheSame(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	reading := func(mm float64) visit.Deed {
		return visit.Measure{Reading: room.Reading{ID: id.New[id.Measurement](), Kind: gate.Offset, Of: r.Record.Positions[0].ID, From: dbtest.Datum(t, r, "south wall"), State: "bare", Value: mm}}
	}
	a := visit.Act{ID: id.New[id.Act](), Room: r.Record.ID, Made: s.Clock.Now(), Copy: r.Record.Seq, Deed: reading(600)}
	b := visit.Act{ID: id.New[id.Act](), Room: r.Record.ID, Made: s.Clock.Now(), Copy: r.Record.Seq, Deed: reading(612)}
	if got, err := s.Visit.Take(t.Context(), s.Electrician, a); err != nil || got.Word != visit.Kept {
		t.Fatalf("%+v, %v", got, err)
	}
	for range 2 {
		if got, err := s.Visit.Take(t.Context(), s.Plumber, b); err != nil || got.Word != visit.Both || got.Mine == "" || got.Theirs == "" {
			t.Fatalf("%+v, %v", got, err)
		}
	}
	if _, err := s.Visit.Choose(t.Context(), s.Plumber, b.ID, visit.Theirs); err != nil {
		t.Fatal(err)
	}
	after, err := s.Room.Read(t.Context(), s.Foreman, r.Record.ID)
	if err != nil || len(after.Record.Measurements) != 2 || !after.Record.Measurements[0].Stands() || after.Record.Measurements[1].Stands() {
		t.Errorf("%+v, %v", after.Record.Measurements, err)
	}
}
