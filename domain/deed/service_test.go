package deed_test

import (
	"math"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

func entries(t *testing.T, s *dbtest.Site, r *standing.Standing) []diary.Entry {
	t.Helper()
	all, err := s.Diary.Read(t.Context(), s.Foreman, r.Record.Job, 0)
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func is(t *testing.T, what string, err error, kind fault.Kind) {
	t.Helper()
	if fault.KindOf(err) != kind {
		t.Errorf("%s: want %q, got %v", what, kind, err)
	}
}

// The same write twice is no error, makes no second row and no second line;
// another under the same id is a conflict.
func TestTheSameWriteTwice(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t)
	of, surface := r.Record.ID, r.Record.Surfaces[0].ID
	south := dbtest.Datum(t, r, "south wall")
	draft := room.Draft{ID: id.New[id.Room](), Job: r.Record.Job, Name: "Larder", Height: 2400,
		Outline: []roomsheet.Point{{0, 0}, {900, 0}, {900, 900}, {0, 900}}}
	position := room.PositionDraft{ID: id.New[id.Position](), Name: "D1", Kind: "downlight", Cutout: 76,
		Planned: &roomsheet.Point{600, 600}}
	reading := room.Reading{ID: id.New[id.Measurement](), Kind: words.Offset, Of: position.ID, From: south, State: "bare",
		Value: 600}
	datum := room.Datum{ID: id.New[id.Datum](), Surface: surface, Name: "steel", Kind: words.Line,
		A: roomsheet.Point{0, 1500}, B: roomsheet.Point{3600, 1500}}
	timber := room.Timber{ID: id.New[id.Timber](), Surface: surface, Name: "J1", A: roomsheet.Point{0, 400},
		B: roomsheet.Point{3600, 400}, Width: 47}
	way := room.Way{ID: id.New[id.Way](), Surface: surface, Name: "to D1", Kind: room.HoleWay, A: roomsheet.Point{900, 0},
		B: roomsheet.Point{900, 2000}, Size: 20, Height: 97}
	for _, c := range []struct {
		name  string
		write func(other bool) error
	}{
		{"room", func(other bool) error {
			d := draft
			if other {
				d.Height = 2500
			}
			_, err := s.Room.Create(ctx, s.Foreman, d)
			return err
		}},
		{"position", func(other bool) error {
			p := position
			if other {
				p.Cutout = 90
			}
			_, err := s.Room.Schedule(ctx, s.Foreman, of, surface, []room.PositionDraft{p})
			return err
		}},
		{"measurement", func(other bool) error {
			m := reading
			if other {
				m.Value = 601
			}
			_, err := s.Room.Measure(ctx, s.Electrician, of, m)
			return err
		}},
		{"datum", func(other bool) error {
			d := datum
			if other {
				d.Sigma = 5
			}
			_, err := s.Room.AddDatum(ctx, s.Electrician, of, d)
			return err
		}},
		{"timber", func(other bool) error {
			b := timber
			if other {
				b.Width = 63
			}
			_, err := s.Room.AddTimbers(ctx, s.Electrician, of, []room.Timber{b})
			return err
		}},
		{"way", func(other bool) error {
			w := way
			if other {
				w.Size = 25
			}
			_, err := s.Room.AddWay(ctx, s.Electrician, of, w)
			return err
		}},
	} {
		if err := c.write(false); err != nil {
			t.Fatalf("%s: %v", c.name, err)
		}
		before := len(entries(t, s, r))
		if err := c.write(false); err != nil {
			t.Errorf("%s, again: %v", c.name, err)
		}
		is(t, c.name+", another under its id", c.write(true), fault.Conflict)
		if after := len(entries(t, s, r)); after != before {
			t.Errorf("%s: the repeat wrote %d lines", c.name, after-before)
		}
	}
	// Also once it was corrected since: the phone sends what it has.
	if _, err := s.Room.Correct(ctx, s.Electrician, of, 1, room.Reading{ID: reading.ID, Kind: words.Offset,
		Of:   position.ID,
		From: south, State: "bare", Value: 610}); err != nil {
		t.Fatal(err)
	}
	if v, err := s.Room.Measure(ctx, s.Electrician, of, reading); err != nil || v.Measurement.Value != 610 {
		t.Errorf("the first reading once more: %+v, %v", v, err)
	}
}

// Two people change the same thing: the second is told.
func TestTheSecondChangeIsTold(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	of, p := r.Record.ID, r.Record.Positions[0]
	if _, err := s.Room.Hold(ctx, s.Foreman, of, p.ID, p.Version, "not chosen"); err != nil {
		t.Fatal(err)
	}
	_, err := s.Room.ChangePosition(ctx, s.Owner, of, p.ID, p.Version, room.PositionDraft{Name: "D1", Kind: "fan"})
	is(t, "a change on an old version", err, fault.Conflict)
	if r, err = s.Room.ChangePosition(ctx, s.Owner, of, p.ID, p.Version+1,
		room.PositionDraft{Name: "D1", Kind: "fan"}); err != nil {
		t.Fatal(err)
	}
	if got := r.Record.Positions[0]; got.Kind != "fan" || !got.Held || got.Version != 3 {
		t.Errorf("%+v", got)
	}
	name := "Scullery"
	if r, err = s.Room.ChangeRoom(ctx, s.Foreman, of, 1, room.Change{Name: &name}); err != nil || r.Record.Name != name {
		t.Fatalf("%+v, %v", r, err)
	}
	_, err = s.Room.ChangeRoom(ctx, s.Foreman, of, 1, room.Change{Name: &name})
	is(t, "the roomID on an old version", err, fault.Conflict)
}

// What is wrong with what was given is said, and nothing is written.
func TestWhatIsRefused(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	of, surface, p := r.Record.ID, r.Record.Surfaces[0].ID, r.Record.Positions[0].ID
	south, north := dbtest.Datum(t, r, "south wall"), dbtest.Datum(t, r, "north wall")
	measure := func(g room.Reading) error {
		_, err := s.Room.Measure(ctx, s.Electrician, of, g)
		return err
	}
	before := len(entries(t, s, r))
	is(t, "no position", measure(room.Reading{Kind: words.Offset, From: south, Value: 1}), fault.BadInput)
	is(t, "no datum", measure(room.Reading{Kind: words.Offset, Of: p, Value: 1}), fault.BadInput)
	is(t, "no kind", measure(room.Reading{Of: p, From: south, Value: 1}), fault.BadInput)
	is(t, "a strange instrument", measure(room.Reading{Kind: words.Offset, Of: p, From: south, By: "eye"}), fault.BadInput)
	is(t, "not a number", measure(room.Reading{Kind: words.Offset, Of: p, From: south, Value: math.NaN()}), fault.BadInput)
	is(t, "negative", measure(room.Reading{Kind: words.Offset, Of: p, From: south, State: "bare", Value: -5}),
		fault.BadInput)
	is(t, "a state of another face", measure(room.Reading{Kind: words.Offset, Of: p, From: south, State: "tile",
		Value: 5}),
		fault.BadInput)
	is(t, "a datum of nowhere", measure(room.Reading{Kind: words.Offset, Of: p, From: id.New[id.Datum](), Value: 5}),
		fault.NotFound)
	is(t, "a span to itself", measure(room.Reading{Kind: words.Span, From: south, To: south, Value: 5}), fault.BadInput)
	is(t, "a span to a wall beside",
		measure(room.Reading{Kind: words.Span, From: south, To: dbtest.Datum(t, r, "west wall"), State: "bare",
			ToState: "bare", Value: 5}), fault.BadInput)
	_, err := s.Room.Schedule(ctx, s.Foreman, of, surface, []room.PositionDraft{{Name: "D2"}, {Name: " D1 "}})
	is(t, "a name that is taken", err, fault.Conflict)
	_, err = s.Room.Schedule(ctx, s.Foreman, of, surface, []room.PositionDraft{{Name: "D2", Cutout: 2000}})
	is(t, "a hole like a door", err, fault.BadInput)
	_, err = s.Room.Hold(ctx, s.Foreman, of, p, 0, "  ")
	is(t, "held without a reason", err, fault.BadInput)
	_, err = s.Room.SetStaysBare(ctx, s.Foreman, of, south, true)
	is(t, "bare, with layers planned", err, fault.BadInput)
	_, err = s.Room.AddDatum(ctx, s.Foreman, of, room.Datum{Surface: surface, Name: "spot", Kind: words.Line})
	is(t, "a line without length", err, fault.BadInput)
	_, err = s.Room.Read(ctx, s.Found(t, "Marl & Sons"), of)
	is(t, "another firm", err, fault.NotFound)
	if after := len(entries(t, s, r)); after != before {
		t.Errorf("the refusals wrote %d lines", after-before)
	}
	// A layer that a reading names is not planned away.
	if err := measure(room.Reading{Kind: words.Span, From: south, State: "board", To: north, ToState: "bare",
		Value: 2375}); err != nil {
		t.Fatal(err)
	}
	_, err = s.Room.PlanBuildUp(ctx, s.Foreman, of, deed.Plan{Surface: surface, Datums: []id.Datum{south}})
	is(t, "a layer that a reading names", err, fault.Conflict)
	_, err = s.Room.RemoveDatum(ctx, s.Foreman, of, south)
	is(t, "a datum that was measured from", err, fault.Conflict)
	if _, err := s.Room.RemoveDatum(ctx, s.Foreman, of, dbtest.Datum(t, r, "east wall")); err != nil {
		t.Errorf("a datum that nobody used: %v", err)
	}
}

// What is sent twice is written once: a build-up keeps its layers, a room its
// version, and the diary has one line.
func TestChangesSentTwice(t *testing.T) {
	s := dbtest.New(t)
	j := s.Utility(t)
	of, surface := j.Record.ID, j.Record.Surfaces[0].ID
	plan := deed.Plan{Surface: surface, Datums: []id.Datum{dbtest.Datum(t, j, "south wall"),
		dbtest.Datum(t, j, "east wall")},
		Layers: []firm.Layer{{Name: "board", Thickness: 25, Sigma: 5, Stage: words.Boarding},
			{Name: "skim", Thickness: 4, Sigma: 1, Stage: words.Plaster}}}
	name := "Utility room"
	for what, do := range map[string]func() (*standing.Standing, error){
		"build-up": func() (*standing.Standing, error) { return s.Room.PlanBuildUp(t.Context(), s.Foreman, of, plan) },
		"room": func() (*standing.Standing, error) {
			return s.Room.ChangeRoom(t.Context(), s.Foreman, of, 0, room.Change{Name: &name})
		},
	} {
		once, err := do()
		if err != nil {
			t.Fatal(what, err)
		}
		twice, err := do()
		if err != nil || twice.Record.Revision != once.Record.Revision || twice.Record.Version != once.Record.Version {
			t.Errorf("%s: %v, revision %d and %d", what, err, once.Record.Revision, twice.Record.Revision)
		}
		for i, l := range once.Record.Layers {
			if twice.Record.Layers[i].ID != l.ID {
				t.Errorf("%s: layer %s was made anew", what, l.Name)
			}
		}
	}
}
