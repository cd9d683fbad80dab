package deed_test

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// A room gets another name at any time, also after its first stage was signed
// off, and the diary keeps what it was called.
func TestARoomIsRenamed(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.SignFirstFix(t, s.Utility(t, "D1"))
	of := r.Record.ID
	call := func(name string, version int64) (*standing.Standing, error) {
		return s.Desk.Do(ctx, s.Foreman, of, deed.ChangeRoom{Version: version, Change: room.Change{Name: &name}})
	}
	for _, name := range []string{"", "  ", "a\nb", strings.Repeat("ü", 61)} {
		_, err := call(name, 0)
		is(t, "as "+name, err, fault.BadInput)
	}
	long := strings.Repeat("ü", 60)
	for i, name := range []string{"Scullery", "Scullery", long} {
		got, err := call(name, 0)
		if err != nil || got.Record.Name != name {
			t.Fatalf("%d: %v", i, err)
		}
	}
	_, err := call("Larder", r.Record.Version)
	is(t, "over what somebody else changed", err, fault.Conflict)
	all := entries(t, s, r)
	last := all[len(all)-2:]
	if last[0].Says != "Utility is now called Scullery." || last[1].Says != "Scullery is now called "+long+"." ||
		last[0].Act != "rename_room" || string(last[0].Detail) != `{"v":1,"from":"Utility","to":"Scullery"}` {
		t.Errorf("%+v", last)
	}
	s.Holds(t)
	// What else changes is another line.
	open := s.Utility(t)
	name, height := "Larder", 2300.0
	_, err = s.Desk.Do(ctx, s.Foreman, open.Record.ID,
		deed.ChangeRoom{Version: 0, Change: room.Change{Name: &name, Height: &height}})
	is(t, "name and height", err, "")
	all = entries(t, s, open)
	if l := all[len(all)-2:]; l[0].Says != "Utility is now called Larder." || l[1].Says != "Larder was changed." {
		t.Errorf("%+v", l)
	}
}

// A room with a drawing, a build-up and a schedule is removed; its lines in the
// diary stay, and the diary holds.
func TestARoomIsRemoved(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1", "D2")
	of, before := r.Record.ID, len(entries(t, s, r))
	is(t, "by a trade", s.Desk.Remove(ctx, s.Electrician, of), fault.Refused)
	is(t, "by another firm", s.Desk.Remove(ctx, s.Found(t, "Marl & Sons"), of), fault.NotFound)
	_, err := s.Desk.Keeps(ctx, s.Electrician, of)
	is(t, "asked by a trade", err, fault.Refused)
	if keeps, err := s.Desk.Keeps(ctx, s.Foreman, of); err != nil || len(keeps) > 0 {
		t.Errorf("kept by %+v (%v)", keeps, err)
	}
	is(t, "remove", s.Desk.Remove(ctx, s.Foreman, of), "")
	is(t, "again", s.Desk.Remove(ctx, s.Foreman, of), fault.NotFound)
	_, err = s.Desk.Read(ctx, s.Foreman, of)
	is(t, "read", err, fault.NotFound)
	all := entries(t, s, r)
	if last := all[len(all)-1]; len(all) != before+1 || last.Says != "Utility was removed: nothing was recorded in it." ||
		last.Room != of || last.Act != "remove_room" {
		t.Errorf("%+v", last)
	}
	s.Holds(t)
	// Its name is free again.
	_, err = s.Desk.Create(ctx, s.Foreman, room.Draft{Job: r.Record.Job, Name: "Utility", Height: 2400,
		Outline: r.Record.Outline})
	is(t, "another of its name", err, "")
}

// Whatever was recorded keeps its room, and is said by name.
func TestWhatIsRecordedKeepsItsRoom(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	for _, c := range []struct {
		name, says string
		do         func(r *standing.Standing, of id.Room) error
	}{
		{"measurement", "1 reading is recorded", func(r *standing.Standing, of id.Room) error {
			v, err := s.Desk.Verdict(ctx, s.Electrician, of,
				deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: r.Record.Positions[0].ID,
					From: dbtest.Datum(t, r, "south wall"), State: "bare", Value: 600}})
			if err != nil {
				return err
			}
			// it stays on record
			_, err = s.Desk.Do(ctx, s.Electrician, of, deed.Strike{Measurement: v.Measurement.ID, Version: 0, Why: "misread"})
			return err
		}},
		{"tail", "1 tail seen free is recorded", func(r *standing.Standing, of id.Room) error {
			_, err := s.Desk.Do(ctx, s.Electrician, of, deed.SeeTails{Positions: []id.Position{r.Record.Positions[0].ID}})
			return err
		}},
		{"photo", "1 photo is recorded", func(r *standing.Standing, of id.Room) error {
			_, err := s.Photo.Take(ctx, s.Electrician, of, photo.Draft{TakePhoto: deed.TakePhoto{ID: id.New[id.Photo](),
				Surface: r.Record.Surfaces[0].ID}})
			return err
		}},
		{"snags", "2 snags are recorded", func(_ *standing.Standing, of id.Room) error {
			_, err1 := s.Desk.Do(ctx, s.Electrician, of, deed.NoteSnag{Snag: room.Snag{Says: "a dent"}})
			_, err2 := s.Desk.Do(ctx, s.Electrician, of, deed.NoteSnag{Snag: room.Snag{Says: "a nail"}})
			return errors.Join(err1, err2)
		}},
		{"timber", "1 timber is recorded", func(r *standing.Standing, of id.Room) error {
			_, err := s.Desk.Do(ctx, s.Foreman, of,
				deed.AddTimbers{Timbers: []room.Timber{{Surface: r.Record.Surfaces[0].ID, Name: "J1",
					B: [2]float64{9, 9}, Width: 47}}})
			return err
		}},
		{"way", "1 cable run is recorded", func(r *standing.Standing, of id.Room) error {
			_, err := s.Desk.Do(ctx, s.Foreman, of, deed.AddWay{Way: room.Way{Surface: r.Record.Surfaces[0].ID, Name: "to D1",
				Kind: room.HoleWay, B: [2]float64{9, 9}, Size: 20}})
			return err
		}},
		{"refused act", "1 record that a phone sent is recorded", func(r *standing.Standing, of id.Room) error {
			_, err := s.Desk.Take(ctx, s.Electrician, deed.Act{ID: id.New[id.Act](), Room: of, Made: s.Clock.Now(),
				Deed: deed.Offer{Stage: words.Plaster}})
			return err
		}},
	} {
		r := s.Utility(t, "D1")
		if err := c.do(r, r.Record.ID); err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		err := s.Desk.Remove(ctx, s.Foreman, r.Record.ID)
		var f *fault.Error
		if !errors.As(err, &f) || f.Kind != fault.Obstacle || f.Msg != "Utility cannot be removed." || len(f.Fields) != 1 ||
			f.Fields[0].Wrong != c.says {
			t.Errorf("%s: %v", c.name, err)
		}
		if keeps, err := s.Desk.Keeps(ctx, s.Owner, r.Record.ID); err != nil || !slices.Equal(keeps, f.Fields) {
			t.Errorf("%s: %+v (%v)", c.name, keeps, err)
		}
	}
	// One that is signed off, of which every list holds something.
	r := s.SignFirstFix(t, s.Utility(t, "D1"))
	keeps, err := s.Desk.Keeps(ctx, s.Foreman, r.Record.ID)
	if err != nil || len(keeps) != 2 || keeps[0].Wrong != "4 readings are recorded" ||
		keeps[1].Wrong != "1 sign-off is recorded" {
		t.Errorf("%+v (%v)", keeps, err)
	}
}
