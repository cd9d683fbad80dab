package deed_test

import (
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/persistence/dbtest"
)

// A copy has all that was drawn and planned, under ids of its own, and nothing of what was recorded; a stranger's
// room is not found; a schedule comes into a room that has surfaces like it, twice the same.
func TestARoomIsCopied(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	from := s.SignFirstFix(t, s.Utility(t, "D1", "D2"))
	c := deed.Copy{ID: id.New[id.Room](), Of: from.Record.ID, Name: "Utility 2", Schedule: true, Timbers: true}
	made, err := s.Desk.Copy(ctx, s.Foreman, from.Record.Job, 2, c)
	if err != nil {
		t.Fatal(err)
	}
	r := made.Record
	if len(r.Positions) != 2 || len(r.Datums) != 4 || len(r.Layers) != 8 || len(r.Measurements) != 0 ||
		r.Gates[0].State.String() != "in hand" || r.Positions[0].ID == from.Record.Positions[0].ID {
		t.Errorf("the copy has %d positions, %d datums, %d layers, %d readings, first fix %s", len(r.Positions),
			len(r.Datums), len(r.Layers), len(r.Measurements), r.Gates[0].State)
	}
	if again, err := s.Desk.Copy(ctx, s.Foreman, from.Record.Job, 2, c); err != nil ||
		again.Record.Revision != r.Revision {
		t.Errorf("the copy made twice: %v", err)
	}
	_, err = s.Desk.Copy(ctx, s.Electrician, from.Record.Job, 2, c)
	is(t, "a trade copies", err, fault.Refused)
	stranger := s.Found(t, "Other & Sons")
	own, err := s.Job.Create(ctx, stranger, job.Job{Name: "Their job"})
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Desk.Copy(ctx, stranger, own.ID, 1, c)
	is(t, "a stranger's room", err, fault.NotFound)

	c = deed.Copy{ID: id.New[id.Room](), Of: from.Record.ID, Name: "Utility 3"}
	bare, err := s.Desk.Copy(ctx, s.Foreman, from.Record.Job, 3, c)
	if err != nil {
		t.Fatal(err)
	}
	ids := id.New[id.Position]()
	for range 2 {
		j, err := s.Desk.CopySchedule(ctx, s.Foreman, bare.Record.ID, from.Record.ID, ids, false)
		if err != nil || len(j.Record.Positions) != 2 {
			t.Fatalf("%v, %d positions", err, len(j.Record.Positions))
		}
	}
	_, err = s.Desk.CopySchedule(ctx, s.Foreman, bare.Record.ID, from.Record.ID, id.New[id.Position](), false)
	is(t, "nothing is left to copy", err, fault.BadInput)
	_, err = s.Desk.CopySchedule(ctx, stranger, bare.Record.ID, from.Record.ID, ids, false)
	is(t, "a stranger copies a schedule", err, fault.NotFound)
	s.Holds(t)
}
