package persistence_test

import (
	"context"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/migrations"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

func connect(t *testing.T, s *dbtest.Site, role string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), s.Database.URL(role))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close(context.Background()) })
	return conn
}

func texts(t *testing.T, conn *pgx.Conn, sql string, args ...any) []string {
	t.Helper()
	rows, _ := conn.Query(t.Context(), sql, args...)
	all, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
	return all
}

// Every table but the migrations' own is keyed by firm and hides other firms'
// rows from everybody, its owner too.
func TestEveryTableBelongsToAFirm(t *testing.T) {
	s := dbtest.New(t)
	conn := connect(t, s, localpg.Superuser)
	tables := texts(t, conn, `select relname::text from pg_class where relnamespace = 'public'::regnamespace
		and relkind = 'r' and relname <> 'schema_migrations'`)
	if len(tables) != 48 {
		t.Errorf("%d tables; 48 were expected", len(tables))
	}
	for what, sql := range map[string]string{
		"no forced row-level security": `select relname::text from pg_class where relnamespace = 'public'::regnamespace
			and relkind = 'r'
			and relname <> 'schema_migrations' and not (relrowsecurity and relforcerowsecurity)`,
		"no policy": `select relname::text from pg_class where relnamespace = 'public'::regnamespace and relkind = 'r'
			and relname <> 'schema_migrations' and relname not in (select tablename from pg_policies
			where policyname = 'own_firm' and cmd = 'ALL')`,
		"a key that does not begin with the firm": `select conrelid::regclass::text from pg_constraint
			where contype in ('p', 'u')
			and connamespace = 'public'::regnamespace and conrelid <> 'schema_migrations'::regclass
			and (select attname from pg_attribute where attrelid = conrelid and attnum = conkey[1]) <> 'firm_id'`,
		"a foreign key without the firm": `select conrelid::regclass::text || ' ' || conname from pg_constraint
			where contype = 'f' and connamespace = 'public'::regnamespace
			and not exists (select from pg_attribute where attrelid = conrelid and attnum = any(conkey)
			and attname = 'firm_id')`,
		"owned by another than the owner": `select relname::text from pg_class where relnamespace = 'public'::regnamespace
			and relkind = 'r'
			and relowner <> 'lathmark_owner'::regrole`,
	} {
		if bad := texts(t, conn, sql); len(bad) > 0 {
			t.Errorf("%s: %v", what, bad)
		}
	}
}

// The server's role owns nothing and cannot get round the policies.
func TestTheServersRoleIsBound(t *testing.T) {
	s := dbtest.New(t)
	conn := connect(t, s, migrations.Server)
	if got := texts(t, conn, `select rolname::text from pg_roles where rolname = current_user
		and not (rolsuper or rolbypassrls or rolcreaterole or rolcreatedb)`); len(got) != 1 {
		t.Error("the server's role may do too much")
	}
	if got := texts(t, conn, `select relname::text from pg_class where relowner = current_user::regrole`); len(got) > 0 {
		t.Errorf("it owns %v", got)
	}
	for _, sql := range []string{
		"set role lathmark_owner",
		"alter table room disable row level security",
		"alter table gate disable trigger guard",
		"create table mine (x int)",
		"delete from room",
		"delete from measurement",
		"delete from position",
		"update diary set who = 'Nobody'",
		"delete from diary",
		"truncate diary",
		"update sign_off set stage = 'plaster'",
		"update firm set name = 'Other'",
		"delete from gate",
		"update promise set on_day = '2027-01-01'",
		"delete from promise",
		"delete from crew",
		"update schema_migrations set version = 1",
	} {
		if _, err := conn.Exec(t.Context(), sql); err == nil {
			t.Errorf("it could %s", sql)
		}
	}
}

// Without a firm nothing is seen, and nothing can be written for another one.
func TestNoFirmSeesNothing(t *testing.T) {
	s := dbtest.New(t)
	other := s.Found(t, "Marl & Sons")
	for _, role := range []string{migrations.Server, migrations.Owner} {
		conn := connect(t, s, role)
		for setting, want := range map[string]int{"": 0, s.Owner.Firm.String(): 7, other.Firm.String(): 1,
			"00000000-0000-7000-8000-000000000000": 0} {
			if _, err := conn.Exec(t.Context(), "select set_config('lathmark.firm', $1, false)", setting); err != nil {
				t.Fatal(err)
			}
			var n int
			if err := conn.QueryRow(t.Context(), "select count(*) from member").Scan(&n); err != nil || n != want {
				t.Errorf("%s as firm %q sees %d people, want %d (%v)", role, setting, n, want, err)
			}
		}
		if _, err := conn.Exec(t.Context(), "select set_config('lathmark.firm', $1, false)",
			other.Firm.String()); err != nil {
			t.Fatal(err)
		}
		if _, err := conn.Exec(t.Context(),
			`insert into job (firm_id, id, name, created_at) values ($1, gen_random_uuid(), 'x', now())`,
			s.Owner.Firm); err == nil {
			t.Errorf("%s wrote a job for another firm", role)
		}
		if tag, err := conn.Exec(t.Context(), "update member set name = 'x' where firm_id = $1", s.Owner.Firm); err == nil &&
			tag.RowsAffected() > 0 {
			t.Errorf("%s renamed people of another firm", role)
		}
	}
}
