package deed_test

import (
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// Which roles may do what: every service method that asks a policy.
func TestWhoMayDoWhat(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	of, surface, p, south := r.Record.ID, r.Record.Surfaces[0].ID, r.Record.Positions[0].ID, dbtest.Datum(t, r,
		"south wall")
	client := s.Add(t, "Wim Haas", firm.Client, "")
	for _, c := range []struct {
		name  string
		roles string // o f t c
		do    func(firm.Person) error
	}{
		{"read", "oft", func(by firm.Person) error { _, err := s.Desk.Read(ctx, by, of); return err }},
		{"export", "oft", func(by firm.Person) error { _, err := s.Desk.Export(ctx, by, of); return err }},
		{"rooms", "oft", func(by firm.Person) error { _, err := s.Desk.Rooms(ctx, by, r.Record.Job); return err }},
		{"grid", "oft", func(by firm.Person) error {
			_, _, err := s.Desk.Grid(ctx, by, of, surface, room.Grid{Rows: 1, Columns: 1}, true)
			return err
		}},
		{"create", "of", func(by firm.Person) error {
			_, err := s.Desk.Create(ctx, by, room.Draft{Job: r.Record.Job, Name: by.Name, Height: 2400,
				Outline: r.Record.Outline})
			return err
		}},
		{"import", "of", func(by firm.Person) error {
			_, err := s.Desk.Import(ctx, by, r.Record.Job, id.Room{}, &roomsheet.Room{Format: roomsheet.Format,
				Room: "from " + by.Name, Surfaces: []roomsheet.Surface{{ID: "x", Kind: "floor"}}})
			return err
		}},
		{"schedule", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.Schedule{Surface: surface, Positions: []room.PositionDraft{{Name: by.Name}}})
			return err
		}},
		{"hold", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.Hold{Position: p, Version: 0, Why: "why"})
			return err
		}},
		{"release", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.Release{Position: p, Version: 0})
			return err
		}},
		{"omit", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.Omit{Position: p, Version: 0, Why: "why"})
			if err == nil {
				_, err = s.Desk.Do(ctx, by, of, deed.WantAgain{Position: p, Version: 0})
			}
			return err
		}},
		{"want again", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.WantAgain{Position: p, Version: 0})
			return err
		}},
		{"plan", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of,
				deed.Plan{Surface: surface, Layers: []firm.Layer{{Name: "board", Thickness: 12.5, Stage: words.Boarding}}})
			return err
		}},
		{"bare", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.StaysBare{Datum: south, Stays: false})
			return err
		}},
		{"change", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.ChangeRoom{Version: 0, Change: room.Change{}})
			return err
		}},
		{"surface", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.AddSurface{Surface: room.SurfaceDraft{Kind: "floor", Name: by.Name}})
			return err
		}},
		{"measure", "oft", func(by firm.Person) error {
			_, err := s.Desk.Verdict(ctx, by, of, deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: p, From: south,
				State: "bare",
				Value: 600}})
			return err
		}},
		{"timber", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of,
				deed.AddTimbers{Timbers: []room.Timber{{Surface: surface, Name: by.Name, B: roomsheet.Point{1, 900},
					Width: 47}}})
			return err
		}},
		{"way", "oft", func(by firm.Person) error {
			way := room.Way{ID: id.New[id.Way](), Surface: surface, Name: by.Name, Kind: room.NotchWay,
				B: roomsheet.Point{1, 900}, Size: 15}
			_, err := s.Desk.Do(ctx, by, of, deed.AddWay{Way: way})
			if _, out := s.Desk.Do(ctx, by, of, deed.RemoveWay{Way: way.ID}); err == nil || fault.KindOf(out) != fault.Refused {
				return out
			}
			return err
		}},
		{"datum", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of,
				deed.AddDatum{Datum: room.Datum{Surface: surface, Name: by.Name, Kind: words.Point}})
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
