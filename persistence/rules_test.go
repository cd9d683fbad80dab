package persistence_test

import (
	"fmt"
	"strings"
	"testing"

	"lathmark/migrations"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
	"lathmark/persistence/schema"
)

// Times, days and figures that are none, and outlines that are none, are written to no
// column of any table, whoever writes; what the program writes is.
func TestWhatNobodyCanReadIsRefused(t *testing.T) {
	s := dbtest.New(t)
	s.Utility(t, "D1")
	conn := connect(t, s, localpg.Superuser)
	days := []string{"infinity", "-infinity", "4000-01-01 BC", "99999-01-01"}
	wrong := map[string][]string{
		"timestamp with time zone": days, "date": days,
		"double precision": {"NaN", "Infinity", "-Infinity", "1e300"},
		"outline": {"[1,2,3]", "{}", "7", "null", "[[0,0],[1,0]]", "[[0,0],[1,0],[2,0]]", `[[0,0],["1",0],[0,9]]`,
			"[[0,0],[1e300,0],[0,1e300]]", "[[0,0,0],[9,0,0],[0,9,0]]", "[null,null,null]"},
		"wet": {"[7]", "{}", "null", `[{"kind": "pond", "outline": [[0,0],[9,0],[0,9]]}]`, `[{"kind": "bath"}]`,
			`[{"outline": [[0,0],[9,0],[0,9]]}]`, `[{"kind": "bath", "outline": 7}]`},
	}
	columns := texts(t, conn, `select c.relname || ' ' || a.attname || ' ' || case when a.attname in ('outline', 'wet')
			then a.attname else format_type(a.atttypid, a.atttypmod) end
		from pg_class c join pg_attribute a on a.attrelid = c.oid
		where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attnum > 0 and not a.attisdropped`)
	tried := 0
	for _, line := range columns {
		at := strings.SplitN(line, " ", 3)
		if len(wrong[at[2]]) == 0 {
			continue
		}
		kind := at[2]
		if kind == "outline" || kind == "wet" {
			kind = "jsonb"
		}
		// The rule itself, as it stands, without the rest of a row.
		rules := texts(t, conn, fmt.Sprintf(`select pg_get_constraintdef(oid) from pg_constraint
			where conrelid = '%q'::regclass and conname = '%s_%s_can_be_read' and convalidated`, at[0], at[0], at[1]))
		if len(rules) != 1 {
			t.Errorf("%s.%s has %d rules", at[0], at[1], len(rules))
			continue
		}
		for _, value := range wrong[at[2]] {
			tried++
			var holds bool
			err := conn.QueryRow(t.Context(), fmt.Sprintf("select %s from (select '%s'::%s as %q) t",
				strings.TrimPrefix(rules[0], "CHECK "), value, kind, at[1])).Scan(&holds)
			if err != nil || holds {
				t.Errorf("%s.%s takes %s: %v", at[0], at[1], value, err)
			}
		}
	}
	if tried < 300 {
		t.Errorf("%d were tried", tried)
	}
	if _, err := conn.Exec(t.Context(), "update surface set outline = '[1,2,3]'"); err == nil ||
		!strings.Contains(err.Error(), "outline_can_be_read") {
		t.Errorf("an outline that is none: %v", err)
	}
}

// An old database that has such a row goes up all the same: the row stays, and nothing like
// it comes after it.
func TestOldRowsThatNobodyCanReadStay(t *testing.T) {
	s := dbtest.New(t)
	s.Utility(t, "D1")
	above := connect(t, s, localpg.Superuser)
	if err := schema.Prepare(t.Context(), s.Database.URL(localpg.Superuser)); err != nil {
		t.Fatal(err)
	}
	owner := s.Database.URL(migrations.Owner)
	if err := schema.Down(t.Context(), owner, migrations.Latest-20); err != nil {
		t.Fatal(err)
	}
	spoil := "update surface set outline = '[1,2,3]'"
	for _, sql := range []string{"set session_replication_role = replica", spoil} {
		if _, err := above.Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	if err := schema.Up(t.Context(), owner); err != nil {
		t.Fatal(err)
	}
	if got := texts(t, above, `select conname::text from pg_constraint where not convalidated`); len(got) != 1 ||
		got[0] != "surface_outline_can_be_read" {
		t.Errorf("unchecked are %v", got)
	}
	if _, err := above.Exec(t.Context(), spoil); err == nil {
		t.Error("another one was written")
	}
}
