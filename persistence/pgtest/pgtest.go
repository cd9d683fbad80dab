// Package pgtest gives each test a PostgreSQL database of its own.
//
// The first test of a test binary that asks starts a private server (package localpg);
// every later one shares it. A Template is migrated once and copied for each test, which
// takes some milliseconds. The server ends with the test binary, however that ends; a
// package that wants its files gone as well has
//
//	func TestMain(m *testing.M) { pgtest.Main(m) }
package pgtest

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"sync"
	"sync/atomic"
	"testing"

	"github.com/jackc/pgx/v5/pgxpool"

	"lathmark/migrations"
	"lathmark/persistence/localpg"
	"lathmark/persistence/schema"
)

// Database is a database that belongs to one test.
type Database struct {
	Name   string
	server *server
}

// server is the PostgreSQL of this test binary, with a connection for making
// databases: a new connection takes as long as a new database.
type server struct {
	*localpg.Server
	pool *pgxpool.Pool
}

// URL returns the database's address for a role. The role must exist;
// localpg.Superuser always does. No role needs a password.
func (d Database) URL(role string) string { return d.server.URL(d.Name, role) }

// PastURL is URL for tests with a clock of their own: see localpg.Server.PastURL.
func (d Database) PastURL(role string) string { return d.server.PastURL(d.Name, role) }

// Template is a database to copy from. Keep it in a variable of the test package, so that
// it is made once.
type Template struct{ name func() (string, error) }

// NewTemplate returns a template that make fills: it is given an empty database
// and puts into it what all tests need. It runs when the first test asks for a
// copy. Roles that it creates are the server's, so two templates in one test
// binary share them.
func NewTemplate(make func(ctx context.Context, d Database) error) *Template {
	return &Template{sync.OnceValues(func() (string, error) {
		d, err := create("template", "template0")
		if err != nil {
			return "", err
		}
		return d.Name, make(context.Background(), d)
	})}
}

// Keep returns a template of what is in d now. Nobody may be connected to d.
func (d Database) Keep() *Template {
	return &Template{sync.OnceValues(func() (string, error) {
		kept, err := create("template", d.Name)
		return kept.Name, err
	})}
}

var migrated = NewTemplate(Migrate)

// Migrated returns t a database with the newest schema and no rows, which is dropped when t
// is over. Its roles are migrations.Owner and migrations.Server.
func Migrated(t testing.TB) Database {
	t.Helper()
	return migrated.Clone(t)
}

// Migrate brings d to the newest schema, for a template that adds rows to it.
func Migrate(ctx context.Context, d Database) error {
	if err := schema.Prepare(ctx, d.URL(localpg.Superuser)); err != nil {
		return err
	}
	return schema.Up(ctx, d.URL(migrations.Owner))
}

// Clone returns t a copy of the template, which is dropped when t is over.
func (tpl *Template) Clone(t testing.TB) Database {
	t.Helper()
	name, err := tpl.name()
	if err != nil {
		t.Fatalf("the template for test databases: %v", err)
	}
	return start(t, name)
}

// Empty returns t a database with nothing in it, which is dropped when t is over.
func Empty(t testing.TB) Database {
	t.Helper()
	return start(t, "template0")
}

func start(t testing.TB, from string) Database {
	t.Helper()
	d, err := create("test", from)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		if err := d.drop(); err != nil {
			t.Error(err)
		}
	})
	return d
}

var names atomic.Int64

// create copies the files of a database. The other strategy, to write the copy through the
// log, took five times as long here.
func create(kind, from string) (Database, error) {
	server, err := shared()
	if err != nil {
		return Database{}, fmt.Errorf("the server for test databases: %w", err)
	}
	d := Database{Name: kind + "_" + strconv.FormatInt(names.Add(1), 10), server: server}
	return d, server.execute("create database " + d.Name + " template " + from + " strategy file_copy")
}

// drop disconnects whoever is still connected.
func (d Database) drop() error {
	return d.server.execute("drop database " + d.Name + " with (force)")
}

func (s *server) execute(sql string) error {
	if _, err := s.pool.Exec(context.Background(), sql); err != nil {
		return fmt.Errorf("%s: %w", sql, err)
	}
	return nil
}

// shared returns the server of this test binary, starting it at the first call.
var shared = sync.OnceValues(startAnywhere)

// startAnywhere takes the first of several numbered folders that no other test
// binary holds. So what a killed run has left is used again, and does not pile
// up.
func startAnywhere() (*server, error) {
	ctx := context.Background()
	base := filepath.Join(localpg.ThrowawayDir(), fmt.Sprintf("lathmark-test-%d", os.Geteuid()))
	for i := 1; ; i++ {
		data := filepath.Join(base, strconv.Itoa(i))
		pg, err := localpg.Start(ctx, localpg.Options{Data: data, Fresh: true, Throwaway: true})
		if errors.Is(err, localpg.ErrInUse) {
			continue
		}
		if err != nil {
			return nil, err
		}
		pool, err := pgxpool.New(ctx, pg.URL("postgres", localpg.Superuser))
		if err != nil {
			return nil, errors.Join(err, pg.Stop())
		}
		running.Store(&server{Server: pg, pool: pool})
		return running.Load(), nil
	}
}

// running holds the server if one was started, for Main to stop.
var running atomic.Pointer[server]

// Main runs the package's tests, then stops the server if one of them started it and
// removes its files. Call it from TestMain and return.
func Main(m *testing.M) {
	m.Run() // TestMain's caller knows the result
	if s := running.Load(); s != nil {
		s.pool.Close()
		if err := s.Remove(); err != nil {
			fmt.Fprintln(os.Stderr, err)
		}
	}
}
