package dbtest

import (
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Utility returns a small invented room: a ceiling of 3.6 by 2.4 m, four walls that
// get board and skim, and the positions named on its schedule.
func (s *Site) Utility(t testing.TB, positions ...string) *standing.Standing {
	t.Helper()
	ctx := t.Context()
	j, err := s.Job.Create(ctx, s.Foreman, job.Job{Name: "14 Orchard Row", Address: "Nether Appleby"})
	if err != nil {
		t.Fatal(err)
	}
	r, err := s.Desk.Create(ctx, s.Foreman, room.Draft{Job: j.ID, Name: "Utility", Height: 2400,
		Walls: []room.Wall{{Length: 3600, Turn: 90}, {Length: 2400, Turn: 90}, {Length: 3600, Turn: 90},
			{Length: 2400, Turn: 90}},
		Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}}})
	if err != nil {
		t.Fatal(err)
	}
	var walls []id.Datum
	for _, d := range r.Record.Datums {
		walls = append(walls, d.ID)
	}
	ceiling := r.Record.Surfaces[0].ID
	r, err = s.Desk.Do(ctx, s.Foreman, r.Record.ID, deed.Plan{Surface: ceiling, Datums: walls,
		Layers: []firm.Layer{
			{Name: "board", Thickness: 25, Sigma: 5, Stage: words.Boarding}, {Name: "skim", Thickness: 3,
				Stage: words.Plaster}}})
	if err != nil {
		t.Fatal(err)
	}
	var drafts []room.PositionDraft
	for _, name := range positions {
		drafts = append(drafts, room.PositionDraft{Name: name, Kind: "downlight", Cutout: 76})
	}
	if r, err = s.Desk.Do(ctx, s.Foreman, r.Record.ID, deed.Schedule{Surface: ceiling, Positions: drafts}); err != nil {
		t.Fatal(err)
	}
	return r
}

// Datum finds a datum of a room by its name.
func Datum(t testing.TB, r *standing.Standing, name string) id.Datum {
	t.Helper()
	for _, d := range r.Record.Datums {
		if d.Name == name {
			return d.ID
		}
	}
	t.Fatalf("there is no datum %s", name)
	return id.Datum{}
}

// Accept returns an acceptance, with a reason, of every soft obstacle of a stage.
func Accept(r *standing.Standing, s words.Stage) []gate.Acceptance {
	var out []gate.Acceptance
	for _, o := range r.Obstacles(s) {
		if !o.Hard {
			out = append(out, gate.Acceptance{Code: o.Code, About: o.About, Wrong: o.Wrong, Reason: "looked at it"})
		}
	}
	return out
}

// SignFirstFix measures every position of a room twice in each direction unless
// it is measured already, offers first fix and signs it off.
func (s *Site) SignFirstFix(t testing.TB, r *standing.Standing) *standing.Standing {
	t.Helper()
	ctx := t.Context()
	for i, p := range r.Record.Positions {
		for _, m := range []struct {
			from  string
			value float64
		}{{"south wall", 600}, {"west wall", 500 + 700*float64(i)}, {"south wall", 601},
			{"west wall", 501 + 700*float64(i)}} {
			v, err := s.Desk.Verdict(ctx, s.Electrician, r.Record.ID,
				deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: p.ID,
					From: Datum(t, r, m.from), State: "bare", Value: m.value}})
			if err != nil {
				t.Fatal(err)
			}
			r = v.Standing
		}
	}
	r, err := s.Desk.Do(ctx, s.Electrician, r.Record.ID, deed.Offer{Stage: words.FirstFix})
	if err != nil {
		t.Fatal(err)
	}
	r, err = s.Desk.Do(ctx, s.Foreman, r.Record.ID, deed.SignOff{Stage: words.FirstFix,
		Revision: r.Record.Revision, Accepted: Accept(r, words.FirstFix)})
	if err != nil {
		t.Fatal(err)
	}
	return r
}
