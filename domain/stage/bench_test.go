package stage_test

import (
	"testing"

	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// BenchmarkRead is a whole room with every answer, and BenchmarkMeasure what a
// person waits for after writing a measurement down.
func BenchmarkRead(b *testing.B) {
	s := dbtest.New(b)
	r := s.Utility(b, "D1", "D2", "D3", "D4")
	for b.Loop() {
		if _, err := s.Room.Read(b.Context(), s.Foreman, r.Record.ID); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkMeasure(b *testing.B) {
	s := dbtest.New(b)
	r := s.Utility(b, "D1", "D2", "D3", "D4")
	south := dbtest.Datum(b, r, "south wall")
	v, err := s.Room.Measure(b.Context(), s.Electrician, r.Record.ID,
		room.Reading{Kind: words.Offset, Of: r.Record.Positions[0].ID, From: south, State: "bare", Value: 600})
	if err != nil {
		b.Fatal(err)
	}
	reading := room.Reading{ID: v.Measurement.ID, Kind: words.Offset, Of: r.Record.Positions[0].ID, From: south,
		State: "bare", Value: 600}
	for b.Loop() {
		reading.Value++
		if reading.Value > 2000 {
			reading.Value = 1
		}
		if _, err := s.Room.Correct(b.Context(), s.Electrician, r.Record.ID, 0, reading); err != nil {
			b.Fatal(err)
		}
	}
}
