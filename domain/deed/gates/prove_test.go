package gates_test

import (
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// With the triggers off anything can be written; the proof says what.
func TestTheProofNamesWhatWasAltered(t *testing.T) {
	for sql, want := range map[string]int{
		"select 1": 0,
		"update measurement set value_mm = value_mm + 10 where name = 'm1'":                     1,
		"update measurement set struck_at = now(), struck_why = 'x' where name in ('m1', 'm2')": 2,
		"update position set cutout_mm = 80 where name = 'D2'":                                  1,
		"update layer set thickness_mm = 12 where name = 'board'":                               4,
		"update room set name = 'Larder'":                                                       1,
		"delete from measurement where name = 'm3'":                                             1,
		"update datum set au = 10 where name = 'south wall'":                                    1,
		"insert into position select firm_id, gen_random_uuid(), room_id, surface_id, 'D9', kind, trade, cutout_mm, " +
			"reach_mm, tail_sigma_mm, planned_u, planned_v, added_at from position where name = 'D1'": 1,
	} {
		t.Run(sql, func(t *testing.T) {
			s := dbtest.New(t)
			ctx := t.Context()
			r := s.SignFirstFix(t, s.Utility(t, "D1", "D2"))
			conn, err := pgx.Connect(ctx, s.Database.URL(localpg.Superuser))
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close(ctx)
			for _, sql := range []string{"set session_replication_role = replica", sql} {
				if _, err := conn.Exec(ctx, sql); err != nil {
					t.Fatal(err)
				}
			}
			found, err := s.Desk.ProveSigned(ctx, s.Owner.Firm)
			if err != nil || len(found) != want {
				t.Errorf("want %d, found %+v (%v)", want, found, err)
			}
			for _, a := range found {
				if a.Room != r.Record.ID {
					t.Errorf("%+v is of another room", a)
				}
			}
		})
	}
}
