package persistence_test

import (
	"context"
	"net"
	"net/url"
	"os"
	"path/filepath"
	"sync/atomic"
	"testing"

	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
)

// trips is how often a client asked the database and waited for its answer.
type trips struct {
	made     atomic.Int64
	answered atomic.Bool // since the client last asked
}

// counted opens a site's database over a wire on which the trips are counted.
func counted(t testing.TB, s *dbtest.Site) (*persistence.DB, *trips) {
	t.Helper()
	at, err := url.Parse(s.Database.URL(migrations.Server))
	if err != nil {
		t.Fatal(err)
	}
	dir, err := os.MkdirTemp("", "wire") // t's own folder has too long a name for a socket
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = os.RemoveAll(dir) })
	query := at.Query()
	name := ".s.PGSQL." + query.Get("port")
	wire, err := net.Listen("unix", filepath.Join(dir, name))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = wire.Close() })
	n := &trips{}
	go n.serve(wire, filepath.Join(query.Get("host"), name))
	query.Set("host", dir)
	query.Set("pool_max_conns", "1")
	at.RawQuery = query.Encode()
	db, err := persistence.Open(t.Context(), at.String())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	return db, n
}

// serve carries what comes to the database at a socket, until the wire is closed.
func (n *trips) serve(wire net.Listener, database string) {
	for {
		client, err := wire.Accept()
		if err != nil {
			return
		}
		server, err := net.Dial("unix", database)
		if err != nil {
			_ = client.Close()
			continue
		}
		go carry(server, client, func() {
			if n.answered.Swap(false) {
				n.made.Add(1)
			}
		})
		go carry(client, server, func() { n.answered.Store(true) })
	}
}

// carry copies, and says so before each piece is handed on.
func carry(to, from net.Conn, piece func()) {
	defer to.Close()
	buffer := make([]byte, 1<<20)
	for {
		n, err := from.Read(buffer)
		if n > 0 {
			piece()
			if _, err := to.Write(buffer[:n]); err != nil {
				return
			}
		}
		if err != nil {
			return
		}
	}
}

// of counts the trips of do, which it first does to have every statement known.
func (n *trips) of(t testing.TB, do func(context.Context) error) int64 {
	t.Helper()
	var before int64
	for range 2 {
		before = n.made.Load()
		if err := do(t.Context()); err != nil {
			t.Fatal(err)
		}
	}
	return n.made.Load() - before
}
