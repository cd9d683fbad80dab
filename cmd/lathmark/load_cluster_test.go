package main

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/migrations"
	"lathmark/persistence/localpg"
	"lathmark/persistence/schema"
)

// cluster is the private PostgreSQL of the benchmark: the program's database, and
// one for the bare limits.
type cluster struct {
	pg     *localpg.Server
	folder string
	admin  *pgx.Conn // as the superuser, connected to neither
}

const (
	loadDatabase = "lathmark"
	bareDatabase = "bare"
	bareRows     = 1000
	serverLog    = "server.log"
)

// newCluster starts a PostgreSQL that writes to its disk before it answers, as
// that of a site does and that of the tests does not.
func newCluster(b *testing.B) *cluster {
	b.Helper()
	// Always the same folder, so that what a killed run has left is used again.
	folder := filepath.Join(localpg.TempDir(), fmt.Sprintf("lathmark-load-%d", os.Geteuid()))
	pg, err := localpg.Start(b.Context(), localpg.Options{Data: folder, Fresh: true})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		if err := pg.Remove(); err != nil {
			b.Error(err)
		}
		if err := os.RemoveAll(folder); err != nil {
			b.Error(err)
		}
	})
	if err := os.RemoveAll(filepath.Join(folder, serverLog)); err != nil {
		b.Fatal(err)
	}
	d := &cluster{pg: pg, folder: folder}
	d.admin = d.connect(b, "postgres")
	d.does(b, d.admin, "create database "+loadDatabase+" template template0")
	d.does(b, d.admin, "create database "+bareDatabase+" template template0")
	if err := schema.Prepare(b.Context(), pg.URL(loadDatabase, localpg.Superuser)); err != nil {
		b.Fatal(err)
	}
	if err := schema.Up(b.Context(), pg.URL(loadDatabase, migrations.Owner)); err != nil {
		b.Fatal(err)
	}
	bare := d.connect(b, bareDatabase)
	d.does(b, bare, "create table taken (n bigint not null)")
	d.does(b, bare, "create table row (id integer primary key, name text not null)")
	d.does(b, bare, "insert into row select n, 'row ' || n from generate_series(1, $1) n", bareRows)
	return d
}

// connect opens a connection as the superuser that ends with b.
func (d *cluster) connect(b *testing.B, name string) *pgx.Conn {
	b.Helper()
	conn, err := pgx.Connect(b.Context(), d.pg.URL(name, localpg.Superuser))
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() { _ = conn.Close(context.WithoutCancel(b.Context())) })
	return conn
}

func (d *cluster) does(b *testing.B, conn *pgx.Conn, sql string, args ...any) {
	b.Helper()
	if _, err := conn.Exec(b.Context(), sql, args...); err != nil {
		b.Fatalf("%s: %v", sql, err)
	}
}

// serve starts the program on the database; it ends with b.
func (d *cluster) serve(b *testing.B) *process {
	b.Helper()
	return start(b, "TestAsServer", asServer+"="+filepath.Join(d.folder, serverLog),
		"LATHMARK_DATABASE="+d.pg.URL(loadDatabase, migrations.Server),
		"LATHMARK_PHOTOS="+filepath.Join(d.folder, "photos"), "LATHMARK_LISTEN=127.0.0.1:0")
}

// bareInsert returns the limit of what writes: a row with a commit of its own.
func (d *cluster) bareInsert(b *testing.B) *way {
	b.Helper()
	var conns []*pgx.Conn
	for range clients {
		conns = append(conns, d.connect(b, bareDatabase))
	}
	return &way{name: "bare insert", once: func(ctx context.Context, c *client, _ int) (int64, error) {
		_, err := conns[c.n].Exec(ctx, "insert into taken (n) values ($1)", c.made)
		return 0, err
	}}
}

// bareRow returns the limit of what reads: one row by its key, over HTTP.
func (l *load) bareRow() *way {
	if l.bare == nil {
		l.bare = start(l.B, "TestAsBareHandler", asBareHandler+"="+l.on.pg.URL(bareDatabase, localpg.Superuser))
	}
	return &way{name: "bare handler", once: func(ctx context.Context, c *client, _ int) (int64, error) {
		path := fmt.Sprintf("%s/rows/%d", l.bare.at, 1+(c.made*clients+c.n)%bareRows)
		r, err := http.NewRequestWithContext(ctx, http.MethodGet, path, http.NoBody)
		if err != nil {
			return 0, err
		}
		return c.send(r, http.StatusOK)
	}}
}

// closes reports whether jobs can be closed.
func (d *cluster) closes(b *testing.B) (so bool) {
	b.Helper()
	err := d.connect(b, loadDatabase).QueryRow(b.Context(), `select exists (select from information_schema.columns
		where table_name = 'job' and column_name = 'closed_at')`).Scan(&so)
	if err != nil {
		b.Fatal(err)
	}
	return so
}

// close closes jobs, past the program and so without a line in their diaries.
func (d *cluster) close(b *testing.B, jobs []string) {
	b.Helper()
	d.does(b, d.connect(b, loadDatabase), "alter table job disable trigger in_diary")
	d.does(b, d.connect(b, loadDatabase), "update job set closed_at = now() where id = any($1::uuid[])", jobs)
}

// commits returns how many transactions the program's database has seen. Who has left
// has told all of them, so it waits until nobody is connected.
func (d *cluster) commits(b *testing.B) (n int) {
	b.Helper()
	ctx, cancel := context.WithTimeout(b.Context(), time.Minute)
	defer cancel()
	for tick := time.NewTicker(10 * time.Millisecond); ; {
		var there int
		err := d.admin.QueryRow(ctx, `select (select count(*) from pg_stat_activity where datname = $1),
			xact_commit + xact_rollback from pg_stat_database where datname = $1`, loadDatabase).Scan(&there, &n)
		if err != nil {
			b.Fatal(strings.TrimSpace(fmt.Sprintf("%d are connected: %v", there, err)))
		}
		if there == 0 {
			tick.Stop()
			return n
		}
		<-tick.C
	}
}
