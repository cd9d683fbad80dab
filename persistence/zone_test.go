package persistence_test

import (
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"

	"github.com/jackc/pgx/v5"

	"lathmark/migrations"
)

// Go's own copy of the tz database and PostgreSQL's, on which each rests for all
// it says of days, are the two references: nobody here wrote either.
func TestDayOfSaysWhatGoSays(t *testing.T) {
	conn := connected(t)
	seed := rand.Uint64()
	t.Logf("seed %d", seed)
	chance := rand.New(rand.NewPCG(seed, 19))
	names := zonesOf(t, conn)
	chance.Shuffle(len(names), func(i, k int) { names[i], names[k] = names[k], names[i] })
	from, to := time.Date(1990, 1, 1, 0, 0, 0, 0, time.UTC).Unix(), time.Date(2037, 1, 1, 0, 0, 0, 0, time.UTC).Unix()
	taken := map[string]int{}
	for _, name := range names {
		z, err := words.ParseZone(name)
		region, _, _ := strings.Cut(name, "/")
		if err != nil || taken[region] >= 5 {
			continue
		}
		taken[region]++
		moments := make([]time.Time, 60)
		for i := range moments {
			moments[i] = time.Unix(from+chance.Int64N(to-from), 0).UTC()
			if i%2 == 0 { // the last second of a day, or its first
				moments[i] = z.Begins(z.Day(moments[i])).Add(time.Duration(i/2%2-1) * time.Second)
			}
		}
		for i, day := range daysOf(t, conn, name, moments) {
			if got := z.Day(moments[i]); !got.Equal(day) {
				t.Fatalf("%s, %s: Go says %s, PostgreSQL %s", name, moments[i].Format(time.RFC3339),
					got.Format(time.DateOnly), day.Format(time.DateOnly))
			}
		}
	}
	if len(taken) < 10 {
		t.Fatalf("only zones of %v were compared", taken)
	}
}

// connected is a connection as the schema's owner, with one firm.
func connected(t *testing.T) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), pgtest.Migrated(t).URL(migrations.Owner))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close(t.Context()) })
	const made = `select set_config('lathmark.firm', '00000000-0000-7000-8000-000000000001', false)`
	for _, sql := range []string{made, `insert into firm (firm_id, name, created_at)
		values ('00000000-0000-7000-8000-000000000001', 'Fell & Daughters', now())`} {
		if _, err := conn.Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	return conn
}

func zonesOf(t *testing.T, conn *pgx.Conn) []string {
	t.Helper()
	rows, _ := conn.Query(t.Context(), "select name from pg_timezone_names order by name")
	names, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	return names
}

// daysOf has the database say the days of moments in a zone.
func daysOf(t *testing.T, conn *pgx.Conn, zone string, moments []time.Time) []time.Time {
	t.Helper()
	if _, err := conn.Exec(t.Context(), "update firm set zone = $1", zone); err != nil {
		t.Fatal(err)
	}
	rows, _ := conn.Query(t.Context(), `select day_of(f.firm_id, at) from firm f,
		unnest($1::timestamptz[]) with ordinality as m(at, n) order by n`, moments)
	days, err := pgx.CollectRows(rows, pgx.RowTo[time.Time])
	if err != nil {
		t.Fatal(err)
	}
	return days
}

func TestZonesThatPostgreSQLDoesNotKnowAreRefused(t *testing.T) {
	s := dbtest.New(t)
	for _, zone := range []words.Zone{"Europe/Atlantis", "europe/london", "", "CET", "GMT0BST", "<+03>-3"} {
		err := s.DB.WithTx(t.Context(), s.Owner, func(tx *persistence.Tx) error { return tx.SaveZone(t.Context(), zone) })
		if fault.KindOf(err) != fault.BadInput {
			t.Errorf("%q: %v", zone, err)
		}
	}
}

// What is kept of a room in one zone is not shown in another, though the room's
// revision is the same.
func TestAZoneThatChangesReachesEveryRoom(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1").Record
	for _, zone := range []words.Zone{"UTC", "Asia/Kolkata", "America/New_York"} {
		if err := s.Firm.Settle(t.Context(), s.Owner, firm.DefaultLimits, string(zone), firm.OfNobody); err != nil {
			t.Fatal(err)
		}
		var head room.Head
		err := s.DB.WithTx(t.Context(), s.Foreman, func(tx *persistence.Tx) (err error) {
			head, _, err = tx.LockRoom(t.Context(), r.ID)
			return err
		})
		j, err2 := s.Desk.Read(t.Context(), s.Foreman, r.ID)
		if err != nil || err2 != nil || j.Record.Zone != zone || head.Zone != zone || head.Revision != r.Revision {
			t.Errorf("%s: %+v, %s: %v %v", zone, head, j.Record.Zone, err, err2)
		}
	}
	err := s.Firm.Settle(t.Context(), s.Foreman, firm.DefaultLimits, "UTC", firm.OfNobody)
	if fault.KindOf(err) != fault.Refused {
		t.Errorf("by the foreman: %v", err)
	}
	if f, err := s.Firm.Firm(t.Context(), s.Found(t, "Marl & Sons")); err != nil || f.Zone != words.UTC {
		t.Errorf("another firm: %+v, %v", f, err)
	}
	_, _, err = s.Firm.Found(t.Context(), "Marl & Sons", "Europe/Atlantis", "Ivo Marl")
	if fault.KindOf(err) != fault.BadInput {
		t.Errorf("a firm nowhere: %v", err)
	}
}
