package job_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// house adds a job with a room, and a position in it.
func house(t *testing.T, s *dbtest.Site, name, address, in, position string) id.Job {
	t.Helper()
	ctx := t.Context()
	j, err := s.Job.Create(ctx, s.Foreman, job.Job{Name: name, Address: address})
	wantKind(t, "create", err, "")
	r, err := s.Desk.Create(ctx, s.Foreman, room.Draft{Job: j.ID, Name: in, Height: 2400,
		Outline:  []roomsheet.Point{{0, 0}, {3600, 0}, {3600, 2400}, {0, 2400}},
		Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}}})
	wantKind(t, "draw", err, "")
	_, err = s.Desk.Do(ctx, s.Foreman, r.Record.ID, deed.Schedule{Surface: r.Record.Surfaces[0].ID,
		Positions: []room.PositionDraft{{Name: position, Kind: "downlight"}}})
	wantKind(t, "schedule", err, "")
	return j.ID
}

// called returns the hits, a line for each.
func called(hits []job.Hit) []string {
	var out []string
	for _, h := range hits {
		line := h.JobName
		if !h.Room.IsZero() {
			line += " / " + h.RoomName
		}
		if !h.Position.IsZero() {
			line += " / " + h.Name
		}
		if !h.ClosedAt.IsZero() {
			line += " (closed)"
		}
		out = append(out, line)
	}
	return out
}

func TestSearch(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	old := house(t, s, "9 Öster Lane", "50% Mill_Yard", "Küche", "D4")
	house(t, s, "14 Orchard Row", "Nether Appleby", "Kitchen", "D4")
	mill := house(t, s, "Mill Loft", `back\slash`, "Orchard room", "S1")
	_, err := s.Job.Close(ctx, s.Foreman, old, true)
	wantKind(t, "close", err, "")
	trade := s.AddTo(t, "Ned Varley", firm.Trade, words.Plumber, mill)
	for _, c := range []struct {
		text string
		want []string
	}{
		{"", nil}, {" \t", nil}, {"nothing of the kind", nil},
		{"orchard", []string{"14 Orchard Row", "Mill Loft / Orchard room"}},
		{"ORCH", []string{"14 Orchard Row", "Mill Loft / Orchard room"}},
		{"appleby", []string{"14 Orchard Row"}},
		{"öSTER", []string{"9 Öster Lane (closed)"}},
		{"KÜCHE", []string{"9 Öster Lane / Küche (closed)"}},
		{"d4", []string{"14 Orchard Row / Kitchen / D4", "9 Öster Lane / Küche / D4 (closed)"}},
		{"d4 kitchen", []string{"14 Orchard Row / Kitchen / D4"}}, // its own word, and where it is
		{"row kit", []string{"14 Orchard Row / Kitchen"}},
		{"mill", []string{"Mill Loft", "9 Öster Lane (closed)"}},
		{"%", []string{"9 Öster Lane (closed)"}},
		{"50%", []string{"9 Öster Lane (closed)"}},
		{"l_l", nil}, {"l_Y", []string{"9 Öster Lane (closed)"}},
		{`k\s`, []string{"Mill Loft"}}, {`\`, []string{"Mill Loft"}},
		{"'; drop table job; --", nil},
	} {
		hits, err := s.Job.Search(ctx, s.Electrician, c.text)
		if got := called(hits); err != nil || !slices.Equal(got, c.want) {
			t.Errorf("%q finds %q (%v), want %q", c.text, got, err, c.want)
		}
	}
	if hits, err := s.Job.Search(ctx, trade, "orchard"); err != nil || !slices.Equal(called(hits),
		[]string{"Mill Loft / Orchard room"}) {
		t.Errorf("one who is on one job finds %q (%v)", called(hits), err)
	}
	if hits, err := s.Job.Search(ctx, s.Found(t, "Marl & Sons"), "orchard"); err != nil || len(hits) > 0 {
		t.Errorf("another firm finds %q (%v)", called(hits), err)
	}
	_, err = s.Job.Search(ctx, s.Add(t, "Wim Haas", firm.Client, ""), "orchard")
	wantKind(t, "a client", err, fault.Refused)
	_, err = s.Job.Search(ctx, s.Foreman, strings.Repeat("ü", 120))
	wantKind(t, "120 characters", err, "")
	_, err = s.Job.Search(ctx, s.Foreman, strings.Repeat("ü", 121))
	wantKind(t, "one more", err, fault.BadInput)
	_, err = s.Job.Search(ctx, s.Foreman, "a\x00b")
	wantKind(t, "what cannot be a name", err, fault.BadInput)
	_, err = s.Job.Search(ctx, s.Foreman, "a\xffb")
	wantKind(t, "what is no text", err, fault.BadInput)
}

// A search ends after so many hits.
func TestASearchEnds(t *testing.T) {
	s := dbtest.New(t)
	for i := range job.MaxHits + 5 {
		_, err := s.Job.Create(t.Context(), s.Foreman, job.Job{Name: fmt.Sprintf("House %d", i)})
		wantKind(t, "create", err, "")
	}
	hits, err := s.Job.Search(t.Context(), s.Foreman, "house")
	if err != nil || len(hits) != job.MaxHits || hits[0].JobName != fmt.Sprintf("House %d", job.MaxHits+4) {
		t.Errorf("%d hits, %v", len(hits), err)
	}
}
