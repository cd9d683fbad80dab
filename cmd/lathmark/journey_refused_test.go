package main

import (
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// measured makes a room with one position that two trades could sign off: four good
// offsets, and a build-up on every wall. It returns the room's address.
func (b *building) measured(t *testing.T) (at string, r *standing.Standing) {
	t.Helper()
	ctx := t.Context()
	j, err := b.Job.Create(ctx, b.Foreman, job.Job{Name: "Ferry House"})
	if err != nil {
		t.Fatal(err)
	}
	r, err = b.Desk.Create(ctx, b.Foreman, room.Draft{Job: j.ID, Name: "Utility", Height: 2400,
		Outline:  []roomsheet.Point{{0, 0}, {3600, 0}, {3600, 2400}, {0, 2400}},
		Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}}})
	if err != nil {
		t.Fatal(err)
	}
	of, ceiling := r.Record.ID, r.Record.Surfaces[0].ID
	plan := deed.Plan{Surface: ceiling, Layers: []firm.Layer{{Name: "board", Thickness: 25, Stage: words.Boarding},
		{Name: "skim", Thickness: 3, Stage: words.Plaster}}}
	for _, d := range r.Record.Datums {
		plan.Datums = append(plan.Datums, d.ID)
	}
	if _, err = b.Desk.Do(ctx, b.Foreman, of, plan); err != nil {
		t.Fatal(err)
	}
	if r, err = b.Desk.Do(ctx, b.Foreman, of,
		deed.Schedule{Surface: ceiling,
			Positions: []room.PositionDraft{{Name: "D1", Kind: "downlight", Cutout: 76}}}); err != nil {
		t.Fatal(err)
	}
	for name, value := range map[string]float64{"south wall": 1000, "north wall": 1401, "west wall": 1100,
		"east wall": 2499} {
		v, err := b.Desk.Verdict(ctx, b.Electrician, of,
			deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: r.Record.Positions[0].ID,
				From:  datumOf(t, r, name),
				State: "bare", Value: value}})
		if err != nil {
			t.Fatal(err)
		}
		r = v.Standing
	}
	return "/rooms/" + of.String(), r
}

func datumOf(t *testing.T, r *standing.Standing, name string) id.Datum {
	t.Helper()
	for _, d := range r.Record.Datums {
		if d.Name == name {
			return d.ID
		}
	}
	t.Fatalf("there is no %s", name)
	return id.Datum{}
}

// A sign-off is refused and says why, is mended, and goes through. The foreman's page is
// from before the electrician struck a reading out, so that its button is still there.
func TestJourneyRefusedAndMended(t *testing.T) {
	b := build(t)
	at, r := b.measured(t)
	foreman, spark := b.as(t, b.Foreman), b.as(t, b.Electrician)
	spark.offer(at, "first fix")
	foreman.open(at + "/sign-offs/first-fix")
	foreman.reasons()
	if _, err := b.Desk.Do(t.Context(), b.Electrician, r.Record.ID, deed.Strike{Measurement: r.Record.Measurements[0].ID,
		Version: 0, Why: "read off the wrong wall"}); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Desk.Do(t.Context(), b.Electrician, r.Record.ID, deed.Strike{Measurement: opposite(t, r), Version: 0,
		Why: "read off the wrong wall"}); err != nil {
		t.Fatal(err)
	}
	foreman.press("Sign off first fix")
	if foreman.status != 409 {
		t.Errorf("the sign-off was answered with %d", foreman.status)
	}
	foreman.sees("Utility has changed since you looked", "no longer offered, because the electrician changed it",
		"was struck out: read off the wrong wall")
	foreman.open(at + "/sign-offs/first-fix")
	foreman.sees("What must be done first", "To fix it")
	if foreman.offers("Sign off first fix") {
		t.Error("it could be signed off all the same")
	}
	for wall, value := range map[string]string{"south wall": "1000", "north wall": "1401", "west wall": "1100",
		"east wall": "2499"} {
		spark.offset(at, "D1", wall+", bare", value)
	}
	spark.offer(at, "first fix")
	foreman.signOff(at, "first fix")
	if got := b.read(t, r.Record.ID).Record.Gates[words.FirstFix]; got.State != words.SignedOff {
		t.Errorf("first fix is %s", got.State)
	}
}

// opposite returns the reading from the wall that faces the first one's.
func opposite(t *testing.T, r *standing.Standing) id.Measurement {
	t.Helper()
	facing := map[string]string{"south wall": "north wall", "north wall": "south wall", "west wall": "east wall",
		"east wall": "west wall"}
	first, err := r.Record.Datum(r.Record.Measurements[0].From)
	if err != nil {
		t.Fatal(err)
	}
	for _, m := range r.Record.Measurements {
		if m.From == datumOf(t, r, facing[first.Name]) {
			return m.ID
		}
	}
	t.Fatal("the room is not measured")
	return id.Measurement{}
}

func (b *building) read(t *testing.T, of id.Room) *standing.Standing {
	t.Helper()
	r, err := b.Desk.Read(t.Context(), b.Foreman, of)
	if err != nil {
		t.Fatal(err)
	}
	return r
}
