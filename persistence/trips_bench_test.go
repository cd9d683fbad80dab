package persistence_test

import (
	"context"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
)

// deeds are what a site does all day, by name.
func deeds(t testing.TB, s *dbtest.Site, on persistence.Services) map[string]func(context.Context) error {
	t.Helper()
	ctx := t.Context()
	r := s.Utility(t, "D1", "D2", "D3", "D4")
	south := dbtest.Datum(t, r, "south wall")
	v, err := s.Desk.Verdict(ctx, s.Electrician, r.Record.ID,
		deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: r.Record.Positions[0].ID, From: south, State: "bare",
			Value: 600}})
	if err != nil {
		t.Fatal(err)
	}
	_, session, err := s.Firm.StartSession(ctx, s.Owner.Firm, s.Foreman.ID)
	if err != nil {
		t.Fatal(err)
	}
	_, key, err := s.Firm.MakeKey(ctx, s.Foreman, "the spreadsheet", firm.KeyReads, 24*3600*1e9)
	if err != nil {
		t.Fatal(err)
	}
	value := 600.0
	return map[string]func(context.Context) error{
		"session": func(ctx context.Context) error {
			_, err := on.Firm.Authenticate(ctx, session)
			return err
		},
		"key": func(ctx context.Context) error {
			_, err := on.Firm.AuthenticateKey(ctx, key)
			return err
		},
		"read a room": func(ctx context.Context) error {
			_, err := on.Desk.Read(ctx, s.Foreman, r.Record.ID)
			return err
		},
		"correct": func(ctx context.Context) error {
			value = 1201 - value
			_, err := on.Desk.Verdict(ctx, s.Electrician, r.Record.ID,
				deed.Correct{Version: 0, Reading: room.Reading{ID: v.Measurement.ID, Kind: words.Offset,
					Of: r.Record.Positions[0].ID, From: south, State: "bare", Value: value}})
			return err
		},
		"add a room": func(ctx context.Context) error {
			_, err := on.Desk.Create(ctx, s.Foreman, room.Draft{Job: r.Record.Job, Name: id.New[id.Room]().String(),
				Height: 2400,
				Walls: []room.Wall{{Length: 3600, Turn: 90}, {Length: 2400, Turn: 90}, {Length: 3600, Turn: 90},
					{Length: 2400, Turn: 90}},
				Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}, {Kind: "floor"}}})
			return err
		},
		"add a job": func(ctx context.Context) error {
			_, err := on.Job.Create(ctx, s.Foreman, job.Job{Name: "Mill Loft"})
			return err
		},
	}
}

// BenchmarkTrips is how long what a site does all day takes, and how often it asks
// the database and waits.
func BenchmarkTrips(b *testing.B) {
	s := dbtest.New(b)
	db, n := counted(b, s)
	for name, do := range deeds(b, s, s.Services) {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if err := do(b.Context()); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
	for name, do := range deeds(b, s, persistence.NewServices(db, s.Clock.Now)) {
		b.Run(name+", trips", func(b *testing.B) {
			for b.Loop() {
				b.ReportMetric(float64(n.of(b, do)), "trips")
			}
		})
	}
}
