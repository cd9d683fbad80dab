package persistence_test

import (
	"testing"

	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
	"lathmark/persistence/schema"
)

// What was noted of photos before they had pictures is a photo of the surface
// while it was open, and is one again after the way down and up.
func TestNotesOfPhotosStay(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1").Record
	owner, before := s.Database.URL(migrations.Owner), migrations.Latest-11
	if err := schema.Prepare(t.Context(), s.Database.URL(localpg.Superuser)); err != nil { // a copy is nobody's
		t.Fatal(err)
	}
	for range 2 {
		if err := schema.Down(t.Context(), owner, before); err != nil {
			t.Fatal(err)
		}
		conn := connect(t, s, localpg.Superuser)
		if _, err := conn.Exec(t.Context(),
			`insert into photo_note (firm_id, id, room_id, surface_id, says, taken_by, taken_at)
			select $1, $2, $3, $4, 'on the site phone', $5, '2026-03-02 12:00Z' where not exists (select from photo_note)`,
			s.Owner.Firm, id.New[id.Photo](), r.ID, r.Surfaces[0].ID, s.Foreman.ID); err != nil {
			t.Fatal(err)
		}
		if err := conn.Close(t.Context()); err != nil {
			t.Fatal(err)
		}
		if err := schema.Up(t.Context(), owner); err != nil {
			t.Fatal(err)
		}
		j, err := s.Room.Read(t.Context(), s.Foreman, r.ID)
		if err != nil || len(j.Record.Photos) != 1 {
			t.Fatalf("%d photos, %v", len(j.Record.Photos), err)
		}
		p := j.Record.Photos[0]
		if p.Surface != r.Surfaces[0].ID || p.Says != "on the site phone" || p.By != s.Foreman.ID ||
			p.Stage != words.Boarding || !p.Picture.IsZero() || !p.RecordedAt.Equal(p.At) {
			t.Errorf("%+v", p)
		}
		for _, o := range j.Obstacles(words.Boarding) {
			if o.Code == "no_photo" {
				t.Error("the note no longer counts")
			}
		}
	}
}
