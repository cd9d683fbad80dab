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
		{"read", "oft", func(by firm.Person) error { _, err := s.Room.Read(ctx, by, of); return err }},
		{"export", "oft", func(by firm.Person) error { _, err := s.Room.Export(ctx, by, of); return err }},
		{"rooms", "oft", func(by firm.Person) error { _, err := s.Room.Rooms(ctx, by, r.Record.Job); return err }},
		{"grid", "oft", func(by firm.Person) error {
			_, _, err := s.Room.Grid(ctx, by, of, surface, room.Grid{Rows: 1, Columns: 1}, true)
			return err
		}},
		{"create", "of", func(by firm.Person) error {
			_, err := s.Room.Create(ctx, by, room.Draft{Job: r.Record.Job, Name: by.Name, Height: 2400,
				Outline: r.Record.Outline})
			return err
		}},
		{"import", "of", func(by firm.Person) error {
			_, err := s.Room.Import(ctx, by, r.Record.Job, id.Room{}, &roomsheet.Room{Format: roomsheet.Format,
				Room: "from " + by.Name, Surfaces: []roomsheet.Surface{{ID: "x", Kind: "floor"}}})
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
			_, err := s.Room.PlanBuildUp(ctx, by, of,
				deed.Plan{Surface: surface, Layers: []firm.Layer{{Name: "board", Thickness: 12.5, Stage: words.Boarding}}})
			return err
		}},
		{"bare", "of", func(by firm.Person) error { _, err := s.Room.SetStaysBare(ctx, by, of, south, false); return err }},
		{"change", "of", func(by firm.Person) error {
			_, err := s.Room.ChangeRoom(ctx, by, of, 0,
				room.Change{})
			return err
		}},
		{"surface", "of", func(by firm.Person) error {
			_, err := s.Room.AddSurface(ctx, by, of, room.SurfaceDraft{Kind: "floor", Name: by.Name})
			return err
		}},
		{"measure", "oft", func(by firm.Person) error {
			_, err := s.Room.Measure(ctx, by, of, room.Reading{Kind: words.Offset, Of: p, From: south, State: "bare",
				Value: 600})
			return err
		}},
		{"timber", "oft", func(by firm.Person) error {
			_, err := s.Room.AddTimbers(ctx, by, of, []room.Timber{{Surface: surface, Name: by.Name, B: roomsheet.Point{1, 900},
				Width: 47}})
			return err
		}},
		{"way", "oft", func(by firm.Person) error {
			way := room.Way{ID: id.New[id.Way](), Surface: surface, Name: by.Name, Kind: room.NotchWay,
				B: roomsheet.Point{1, 900}, Size: 15}
			_, err := s.Room.AddWay(ctx, by, of, way)
			if _, out := s.Room.RemoveWay(ctx, by, of, way.ID); err == nil || fault.KindOf(out) != fault.Refused {
				return out
			}
			return err
		}},
		{"datum", "oft", func(by firm.Person) error {
			_, err := s.Room.AddDatum(ctx, by, of, room.Datum{Surface: surface, Name: by.Name, Kind: words.Point})
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
