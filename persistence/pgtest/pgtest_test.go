package pgtest

import (
	"context"
	"errors"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/migrations"
	"lathmark/persistence/localpg"
	"lathmark/persistence/schema"
)

func TestMain(m *testing.M) { Main(m) }

var made atomic.Int64

var trades = NewTemplate(func(ctx context.Context, d Database) error {
	made.Add(1)
	conn, err := pgx.Connect(ctx, d.URL(localpg.Superuser))
	if err != nil {
		return err
	}
	defer conn.Close(ctx)
	_, err = conn.Exec(ctx, "create table trade as select 'tiler' as name; create role reader login; grant select on "+
		"trade to reader")
	return err
})

func connected(t *testing.T, url string) *pgx.Conn {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	return conn // dropping the database ends it
}

func count(t *testing.T, conn *pgx.Conn, sql string) (n int) {
	t.Helper()
	if err := conn.QueryRow(t.Context(), sql).Scan(&n); err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
	return n
}

// Whatever one test does to its copy, the next one finds the template
// unchanged.
func TestClonesAreApart(t *testing.T) {
	for range 20 {
		t.Run("test", func(t *testing.T) {
			t.Parallel()
			conn := connected(t, trades.Clone(t).URL(localpg.Superuser))
			if n := count(t, conn, "select count(*) from trade"); n != 1 {
				t.Errorf("%d trades at the start", n)
			}
			if _, err := conn.Exec(t.Context(), "insert into trade values ('joiner')"); err != nil {
				t.Fatal(err)
			}
			if n := count(t, conn, "select count(*) from trade"); n != 2 {
				t.Errorf("%d trades at the end", n)
			}
		})
	}
	t.Cleanup(func() {
		if n := made.Load(); n != 1 {
			t.Errorf("the template was made %d times", n)
		}
	})
}

func TestOtherRole(t *testing.T) {
	conn := connected(t, trades.Clone(t).URL("reader"))
	if n := count(t, conn, "select count(*) from trade"); n != 1 {
		t.Errorf("%d trades", n)
	}
	if _, err := conn.Exec(t.Context(), "delete from trade"); err == nil {
		t.Error("a reader could delete")
	}
}

func TestMigrated(t *testing.T) {
	conn := connected(t, Migrated(t).URL(migrations.Server))
	v, err := schema.Read(t.Context(), conn)
	if err != nil || v.Check() != nil {
		t.Errorf("at %+v, %v", v, err)
	}
}

func TestDroppedAtTheEnd(t *testing.T) {
	var name string
	t.Run("inner", func(t *testing.T) {
		d := Empty(t)
		name = d.Name
		conn := connected(t, d.URL(localpg.Superuser))
		if n := count(t, conn, "select count(*) from pg_tables where schemaname = 'public'"); n != 0 {
			t.Errorf("an empty database has %d tables", n)
		}
	})
	conn := connected(t, Empty(t).URL(localpg.Superuser))
	if n := count(t, conn, "select count(*) from pg_database where datname = '"+name+"'"); n != 0 {
		t.Errorf("%s is still there", name)
	}
}

// BenchmarkClone measures what a database of its own costs a test.
func BenchmarkClone(b *testing.B) {
	from := trades.Clone(b)
	for b.Loop() {
		d, err := create("bench", from.Name)
		if err := errors.Join(err, d.drop()); err != nil {
			b.Fatal(err)
		}
	}
}
