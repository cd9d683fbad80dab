package schema_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/jackc/pgx/v5"
	"golang.org/x/sync/errgroup"

	"lathmark/migrations"
	"lathmark/persistence/localpg"
	"lathmark/persistence/pgtest"
	"lathmark/persistence/schema"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

func prepared(t *testing.T) pgtest.Database {
	t.Helper()
	d := pgtest.Empty(t)
	for range 2 { // repeating changes nothing
		if err := schema.Prepare(t.Context(), d.URL(localpg.Superuser)); err != nil {
			t.Fatal(err)
		}
	}
	return d
}

func connected(t *testing.T, url string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close(context.Background()) })
	return conn
}

func at(t *testing.T, conn *pgx.Conn) schema.Version {
	t.Helper()
	v, err := schema.Read(t.Context(), conn)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// things lists all objects in the database's own schema, one line each,
// including the text of functions, checks and policies, and the rights of the
// server's role.
func things(t *testing.T, conn *pgx.Conn) []string {
	t.Helper()
	rows, _ := conn.Query(t.Context(), `
		select 'relation ' || relkind::text || ' ' || relname || ' ' || relrowsecurity || relforcerowsecurity
		       || coalesce(relacl::text, '')
		  from pg_class where relnamespace = 'public'::regnamespace
		union all select 'column ' || attrelid::regclass || ' ' || attnum || ' ' || attname
		       || ' ' || format_type(atttypid, atttypmod) || ' ' || attnotnull
		  from pg_attribute join pg_class c on c.oid = attrelid
		 where relnamespace = 'public'::regnamespace and attnum > 0 and not attisdropped and relkind = 'r'
		union all select 'constraint ' || conrelid::regclass || ' ' || conname || ' ' || pg_get_constraintdef(oid)
		  from pg_constraint where connamespace = 'public'::regnamespace
		union all select 'trigger ' || pg_get_triggerdef(g.oid)
		  from pg_trigger g join pg_class c on c.oid = tgrelid
		 where relnamespace = 'public'::regnamespace and not tgisinternal
		union all select 'function ' || pg_get_functiondef(oid) || coalesce(proacl::text, '')
		  from pg_proc where pronamespace = 'public'::regnamespace
		union all select 'policy ' || tablename || ' ' || policyname || coalesce(qual, '')
		       || coalesce(with_check, '') from pg_policies where schemaname = 'public'
		union all select 'type ' || typname from pg_type where typnamespace = 'public'::regnamespace and typtype in ('e', 'd')
		order by 1`)
	all, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	return all
}

// Up, down step by step to nothing, and up again ends where it began.
func TestUpDownUp(t *testing.T) {
	d := prepared(t)
	owner := d.URL(migrations.Owner)
	conn := connected(t, owner)
	if v := at(t, conn); v != (schema.Version{}) {
		t.Errorf("an empty database is at %+v", v)
	}
	migrated := func() []string {
		t.Helper()
		if err := schema.Up(t.Context(), owner); err != nil {
			t.Fatal(err)
		}
		if v := at(t, conn); v != (schema.Version{Number: migrations.Latest}) {
			t.Fatalf("after up it is at %+v", v)
		}
		return things(t, conn)
	}
	first := migrated()
	if len(first) < 100 {
		t.Errorf("the whole schema is %d things", len(first))
	}
	for n := uint(migrations.Latest); n > 0; n-- {
		if v := at(t, conn); v.Number != n {
			t.Fatalf("on the way down it is at %+v, want %d", v, n)
		}
		if err := schema.Down(t.Context(), owner, 1); err != nil {
			t.Fatalf("taking back %d: %v", n, err)
		}
	}
	for _, left := range things(t, conn) {
		if !strings.Contains(left, "schema_migrations") {
			t.Errorf("still there: %s", left)
		}
	}
	if diff := cmp.Diff(first, migrated()); diff != "" {
		t.Errorf("the second way up differs:\n%s", diff)
	}
	if err := schema.Down(t.Context(), owner, 0); err != nil {
		t.Fatal(err)
	}
	if v := at(t, conn); v != (schema.Version{}) {
		t.Errorf("after all the way down it is at %+v", v)
	}
}

func TestManyAtOnce(t *testing.T) {
	d := prepared(t)
	var all errgroup.Group
	for range 4 {
		all.Go(func() error { return schema.Up(t.Context(), d.URL(migrations.Owner)) })
	}
	if err := all.Wait(); err != nil {
		t.Error(err)
	}
	if v := at(t, connected(t, d.URL(migrations.Server))); v.Check() != nil {
		t.Errorf("the server's role sees %+v", v)
	}
}

// The server's role can read the schema's version, and change neither that nor
// the schema.
func TestServerOwnsNothing(t *testing.T) {
	d := pgtest.Migrated(t)
	conn := connected(t, d.URL(migrations.Server))
	for _, sql := range []string{
		"update schema_migrations set version = 1", "create table mine ()", "drop table room",
		"alter table room disable row level security", "set role " + migrations.Owner,
	} {
		if _, err := conn.Exec(t.Context(), sql); err == nil {
			t.Errorf("the server's role could %s", sql)
		}
	}
	if err := schema.Down(t.Context(), d.URL(migrations.Server), 1); err == nil {
		t.Error("the server's role could migrate")
	}
	var owned int
	err := conn.QueryRow(t.Context(), "select count(*) from pg_class where relowner = $1::regrole",
		migrations.Server).Scan(&owned)
	if err != nil || owned != 0 {
		t.Errorf("it owns %d things, %v", owned, err)
	}
}

func TestBound(t *testing.T) {
	d := pgtest.Migrated(t)
	if err := schema.Bound(t.Context(), d.URL(migrations.Server)); err != nil {
		t.Error(err)
	}
	conn := connected(t, d.URL(localpg.Superuser))
	for role, sql := range map[string]string{
		migrations.Owner: "", localpg.Superuser: "",
		"seer":   "create role seer login bypassrls",
		"friend": "create role friend login in role " + migrations.Owner,
	} {
		if _, err := conn.Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
		if err := schema.Bound(t.Context(), d.URL(role)); !errors.Is(err, schema.ErrUnbound) {
			t.Errorf("%s: %v", role, err)
		}
	}
}

func TestCheck(t *testing.T) {
	for _, c := range []struct {
		v    schema.Version
		says string // "" if there is nothing to say
	}{
		{schema.Version{Number: migrations.Latest}, ""},
		{schema.Version{}, "run lathmark migrate up"},
		{schema.Version{Number: migrations.Latest - 1}, "run lathmark migrate up"},
		{schema.Version{Number: migrations.Latest + 1}, "run a newer one"},
		{schema.Version{Number: migrations.Latest, Dirty: true}, "interrupted"},
	} {
		err := c.v.Check()
		if c.says == "" && err != nil || c.says != "" && (!errors.Is(err, schema.ErrOtherSchema) ||
			!strings.Contains(err.Error(), c.says)) {
			t.Errorf("%+v: %v", c.v, err)
		}
	}
}

func TestStopped(t *testing.T) {
	d := prepared(t)
	ctx, stop := context.WithCancel(t.Context())
	stop()
	if err := schema.Up(ctx, d.URL(migrations.Owner)); !errors.Is(err, context.Canceled) {
		t.Errorf("got %v", err)
	}
	if err := schema.Up(t.Context(), d.URL(migrations.Owner)); err != nil {
		t.Error(err)
	}
}

// Who needs a passkey outlives the way back and here again: owners and foremen where it was everybody.
func TestWhoNeedsAPasskeyIsKept(t *testing.T) {
	d := prepared(t)
	owner := d.URL(migrations.Owner)
	if err := schema.Up(t.Context(), owner); err != nil {
		t.Fatal(err)
	}
	conn := connected(t, d.URL(localpg.Superuser))
	if _, err := conn.Exec(t.Context(), `insert into firm (firm_id, name, created_at, zone, need_passkey)
		select gen_random_uuid(), need, now(), 'UTC', need from unnest('{nobody,runners,everybody}'::text[]) need`); err != nil {
		t.Fatal(err)
	}
	needs := func() string {
		t.Helper()
		var out string
		if err := conn.QueryRow(t.Context(), `select string_agg(name || ': ' || need_passkey, ', ' order by name)
			from firm`).Scan(&out); err != nil {
			t.Fatal(err)
		}
		return out
	}
	for _, step := range []struct {
		moves func(context.Context, string) error
		want  string
	}{
		{func(ctx context.Context, url string) error { return schema.Down(ctx, url, migrations.Latest-26) },
			"everybody: true, nobody: false, runners: true"},
		{schema.Up, "everybody: runners, nobody: nobody, runners: runners"},
	} {
		if err := step.moves(t.Context(), owner); err != nil {
			t.Fatal(err)
		}
		if got := needs(); got != step.want {
			t.Errorf("%s, want %s", got, step.want)
		}
	}
}
