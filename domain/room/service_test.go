package room_test

import (
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

func entries(t *testing.T, s *dbtest.Site, r *room.Judged) []diary.Entry {
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
	draft := room.Draft{ID: id.New[id.Room](), Job: r.Record.Job, Name: "Larder", Height: 2400, Outline: []roomsheet.Point{{0, 0}, {900, 0}, {900, 900}, {0, 900}}}
	position := room.PositionDraft{ID: id.New[id.Position](), Name: "D1", Kind: "downlight", Cutout: 76, Planned: &roomsheet.Point{600, 600}}
	reading := room.Reading{ID: id.New[id.Measurement](), Kind: gate.Offset, Of: position.ID, From: south, State: "bare", Value: 600}
	datum := room.Datum{ID: id.New[id.Datum](), Surface: surface, Name: "steel", Kind: gate.Line, A: roomsheet.Point{0, 1500}, B: roomsheet.Point{3600, 1500}}
	timber := room.Timber{ID: id.New[id.Timber](), Surface: surface, Name: "J1", A: roomsheet.Point{0, 400}, B: roomsheet.Point{3600, 400}, Width: 47}
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
	if _, err := s.Room.Correct(ctx, s.Electrician, of, 1, room.Reading{ID: reading.ID, Kind: gate.Offset, Of: position.ID, From: south, State: "bare", Value: 610}); err != nil {
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
	if r, err = s.Room.ChangePosition(ctx, s.Owner, of, p.ID, p.Version+1, room.PositionDraft{Name: "D1", Kind: "fan"}); err != nil {
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
	is(t, "the room on an old version", err, fault.Conflict)
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
	is(t, "no position", measure(room.Reading{Kind: gate.Offset, From: south, Value: 1}), fault.BadInput)
	is(t, "no datum", measure(room.Reading{Kind: gate.Offset, Of: p, Value: 1}), fault.BadInput)
	is(t, "no kind", measure(room.Reading{Of: p, From: south, Value: 1}), fault.BadInput)
	is(t, "a strange instrument", measure(room.Reading{Kind: gate.Offset, Of: p, From: south, By: "eye"}), fault.BadInput)
	is(t, "not a number", measure(room.Reading{Kind: gate.Offset, Of: p, From: south, Value: math.NaN()}), fault.BadInput)
	is(t, "negative", measure(room.Reading{Kind: gate.Offset, Of: p, From: south, State: "bare", Value: -5}), fault.BadInput)
	is(t, "a state of another face", measure(room.Reading{Kind: gate.Offset, Of: p, From: south, State: "tile", Value: 5}), fault.BadInput)
	is(t, "a datum of nowhere", measure(room.Reading{Kind: gate.Offset, Of: p, From: id.New[id.Datum](), Value: 5}), fault.NotFound)
	is(t, "a span to itself", measure(room.Reading{Kind: gate.Span, From: south, To: south, Value: 5}), fault.BadInput)
	is(t, "a span to a wall beside", measure(room.Reading{Kind: gate.Span, From: south, To: dbtest.Datum(t, r, "west wall"), State: "bare", ToState: "bare", Value: 5}), fault.BadInput)
	_, err := s.Room.Schedule(ctx, s.Foreman, of, surface, []room.PositionDraft{{Name: "D2"}, {Name: " D1 "}})
	is(t, "a name that is taken", err, fault.Conflict)
	_, err = s.Room.Schedule(ctx, s.Foreman, of, surface, []room.PositionDraft{{Name: "D2", Cutout: 2000}})
	is(t, "a hole like a door", err, fault.BadInput)
	_, err = s.Room.Hold(ctx, s.Foreman, of, p, 0, "  ")
	is(t, "held without a reason", err, fault.BadInput)
	_, err = s.Room.SetStaysBare(ctx, s.Foreman, of, south, true)
	is(t, "bare, with layers planned", err, fault.BadInput)
	_, err = s.Room.AddDatum(ctx, s.Foreman, of, room.Datum{Surface: surface, Name: "spot", Kind: gate.Line})
	is(t, "a line without length", err, fault.BadInput)
	_, err = s.Room.Read(ctx, s.Found(t, "Marl & Sons"), of)
	is(t, "another firm", err, fault.NotFound)
	if after := len(entries(t, s, r)); after != before {
		t.Errorf("the refusals wrote %d lines", after-before)
	}
	// A layer that a reading names is not planned away.
	if err := measure(room.Reading{Kind: gate.Span, From: south, State: "board", To: north, ToState: "bare", Value: 2375}); err != nil {
		t.Fatal(err)
	}
	_, err = s.Room.PlanBuildUp(ctx, s.Foreman, of, room.Plan{Surface: surface, Datums: []id.Datum{south}})
	is(t, "a layer that a reading names", err, fault.Conflict)
	_, err = s.Room.RemoveDatum(ctx, s.Foreman, of, south)
	is(t, "a datum that was measured from", err, fault.Conflict)
	if _, err := s.Room.RemoveDatum(ctx, s.Foreman, of, dbtest.Datum(t, r, "east wall")); err != nil {
		t.Errorf("a datum that nobody used: %v", err)
	}
}

// Which roles may do what: every service method that asks a policy.
func TestWhoMayDoWhat(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	of, surface, p, south := r.Record.ID, r.Record.Surfaces[0].ID, r.Record.Positions[0].ID, dbtest.Datum(t, r, "south wall")
	client := s.Add(t, "Wim Haas", firm.Client, "")
	for _, c := range []struct {
		name  string
		roles string // o f t c
		do    func(firm.Person) error
	}{
		{"read", "oft", func(by firm.Person) error { _, err := s.Room.Read(ctx, by, of); return err }},
		{"export", "oft", func(by firm.Person) error { _, err := s.Room.Export(ctx, by, of); return err }},
		{"rooms", "oft", func(by firm.Person) error { _, err := s.Room.Rooms(ctx, by, r.Record.Job); return err }},
		{"grid", "oft", func(by firm.Person) error {
			_, _, err := s.Room.Grid(ctx, by, of, surface, room.Grid{Rows: 1, Columns: 1}, true)
			return err
		}},
		{"create", "of", func(by firm.Person) error {
			_, err := s.Room.Create(ctx, by, room.Draft{Job: r.Record.Job, Name: by.Name, Height: 2400, Outline: r.Record.Outline})
			return err
		}},
		{"import", "of", func(by firm.Person) error {
			_, err := s.Room.Import(ctx, by, r.Record.Job, id.Room{}, &roomsheet.Room{Format: roomsheet.Format, Room: "from " + by.Name, Surfaces: []roomsheet.Surface{{ID: "x", Kind: "floor"}}})
			return err
		}},
		{"schedule", "of", func(by firm.Person) error {
			_, err := s.Room.Schedule(ctx, by, of, surface, []room.PositionDraft{{Name: by.Name}})
			return err
		}},
		{"hold", "of", func(by firm.Person) error { _, err := s.Room.Hold(ctx, by, of, p, 0, "why"); return err }},
		{"release", "of", func(by firm.Person) error { _, err := s.Room.Release(ctx, by, of, p, 0); return err }},
		{"omit", "of", func(by firm.Person) error {
			_, err := s.Room.Omit(ctx, by, of, p, 0, "why")
			if err == nil {
				_, err = s.Room.WantAgain(ctx, by, of, p, 0)
			}
			return err
		}},
		{"want again", "of", func(by firm.Person) error { _, err := s.Room.WantAgain(ctx, by, of, p, 0); return err }},
		{"plan", "of", func(by firm.Person) error {
			_, err := s.Room.PlanBuildUp(ctx, by, of, room.Plan{Surface: surface, Layers: []firm.Layer{{Name: "board", Thickness: 12.5, Stage: gate.Boarding}}})
			return err
		}},
		{"bare", "of", func(by firm.Person) error { _, err := s.Room.SetStaysBare(ctx, by, of, south, false); return err }},
		{"change", "of", func(by firm.Person) error { _, err := s.Room.ChangeRoom(ctx, by, of, 0, room.Change{}); return err }},
		{"surface", "of", func(by firm.Person) error {
			_, err := s.Room.AddSurface(ctx, by, of, room.SurfaceDraft{Kind: "floor", Name: by.Name})
			return err
		}},
		{"measure", "oft", func(by firm.Person) error {
			_, err := s.Room.Measure(ctx, by, of, room.Reading{Kind: gate.Offset, Of: p, From: south, State: "bare", Value: 600})
			return err
		}},
		{"timber", "oft", func(by firm.Person) error {
			_, err := s.Room.AddTimbers(ctx, by, of, []room.Timber{{Surface: surface, Name: by.Name, B: roomsheet.Point{1, 900}, Width: 47}})
			return err
		}},
		{"datum", "oft", func(by firm.Person) error {
			_, err := s.Room.AddDatum(ctx, by, of, room.Datum{Surface: surface, Name: by.Name, Kind: gate.Point})
			return err
		}},
	} {
		for role, by := range map[rune]firm.Person{'o': s.Owner, 'f': s.Foreman, 't': s.Plumber, 'c': client} {
			want := fault.Refused
			for _, may := range c.roles {
				if may == role {
					want = ""
				}
			}
			if err := c.do(by); fault.KindOf(err) != want || want == "" && err != nil {
				t.Errorf("%s by the %s: %v", c.name, by.Role, err)
			}
		}
	}
}

// A room that is read in from a sheet gives the set-out that the sheet gives.
func TestImportedRoomsSetOutAsTheirSheets(t *testing.T) {
	s := dbtest.New(t)
	job := s.Utility(t).Record.Job
	files, err := filepath.Glob("../../testdata/rooms/*.json")
	if err != nil || len(files) < 5 {
		t.Fatalf("%d rooms, %v", len(files), err)
	}
	for _, file := range files {
		in, err := os.Open(file)
		if err != nil {
			t.Fatal(err)
		}
		sheet, err := roomsheet.Read(in)
		in.Close()
		if err != nil {
			t.Fatal(err)
		}
		j, err := s.Room.Import(t.Context(), s.Foreman, job, id.Room{}, sheet)
		if err != nil {
			t.Errorf("%s: %v", file, err)
			continue
		}
		want, got := roomsheet.SetOut(sheet), j.SetOut()
		if len(want.Surfaces) != len(got.Surfaces) {
			t.Fatalf("%s has %d surfaces, came back with %d", file, len(want.Surfaces), len(got.Surfaces))
		}
		for i := range want.Surfaces {
			same(t, file, &want.Surfaces[i], &got.Surfaces[i])
		}
		again, err := s.Room.Import(t.Context(), s.Foreman, job, id.Room{}, renamed(t, j.Sheet))
		if err != nil {
			t.Errorf("%s, a second time round: %v", file, err)
			continue
		}
		for i := range want.Surfaces {
			again := again.SetOut()
			same(t, file+" again", &want.Surfaces[i], &again.Surfaces[i])
		}
	}
}

// renamed is a sheet as another room.
func renamed(t *testing.T, sheet *roomsheet.Room) *roomsheet.Room {
	t.Helper()
	text, err := json.Marshal(sheet)
	if err != nil {
		t.Fatal(err)
	}
	var out roomsheet.Room
	if err := json.Unmarshal(text, &out); err != nil {
		t.Fatal(err)
	}
	out.Room += " 2"
	return &out
}

// same compares two answers of one surface to a thousandth of a millimetre.
func same(t *testing.T, name string, want, got *roomsheet.SurfaceAnswer) {
	t.Helper()
	if len(want.Positions) != len(got.Positions) || len(want.Measurements) != len(got.Measurements) || len(want.Layers) != len(got.Layers) {
		t.Errorf("%s: %d positions, %d measurements, %d layers became %d, %d, %d", name, len(want.Positions), len(want.Measurements), len(want.Layers),
			len(got.Positions), len(got.Measurements), len(got.Layers))
		return
	}
	answers := map[string]roomsheet.PositionAnswer{}
	for _, p := range got.Positions {
		answers[p.ID] = p
	}
	for _, p := range want.Positions {
		q := answers[p.ID]
		if p.Determinate != q.Determinate || (p.Place == nil) != (q.Place == nil) {
			t.Errorf("%s, %s: determinate %v became %v", name, p.ID, p.Determinate, q.Determinate)
			continue
		}
		if p.Place == nil {
			continue
		}
		offsets := map[string]roomsheet.Offset{}
		for _, o := range q.SetOut {
			offsets[o.From] = o
		}
		for _, o := range p.SetOut {
			if g := offsets[o.From]; g.State != o.State || math.Abs(g.Value-o.Value) > 1e-3 || math.Abs(g.Sigma-o.Sigma) > 1e-3 {
				t.Errorf("%s, %s: %+v became %+v", name, p.ID, o, g)
			}
		}
	}
}
