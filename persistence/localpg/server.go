// Package localpg runs a private PostgreSQL as a child of this process, for the
// demo and for the tests: no TCP port, no password, reachable only by its
// owner, and ended together with the process that started it, however that
// ends.
//
// The folder given to Start holds the cluster, the folder of the socket, and a
// lock. All of it is closed to other users of the machine; that, not a
// password, is what keeps them out. It needs a Unix and is tested on Linux.
package localpg

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"time"
)

// Options says where and how a server runs.
type Options struct {
	// Data is the folder for all of the server's files. It is created if
	// missing.
	Data string
	// Fresh discards what is in the folder and starts over.
	Fresh bool
	// Throwaway is for data that need not survive a crash of the machine:
	// nothing waits for the disk.
	Throwaway bool
	// Log receives what PostgreSQL logs; nil discards it.
	Log io.Writer
}

// Server is a running PostgreSQL.
type Server struct {
	programs Programs
	process  *process
	socket   string // the socket's folder
	release  func()
	stopped  func() error
	remove   atomic.Bool // the files go with the server
}

// patience is how long an earlier server is given to leave the folder.
const patience = 10 * time.Second

// Start runs a PostgreSQL on o.Data and returns once it takes connections. It
// returns ErrNotInstalled or ErrInUse if that is the reason. Cancelling ctx
// afterwards does not stop the server: Stop does.
func Start(ctx context.Context, o Options) (*Server, error) {
	all, err := Find()
	if err != nil {
		return nil, err
	}
	data, err := filepath.Abs(o.Data)
	if err != nil {
		return nil, err
	}
	cluster := filepath.Join(data, "cluster")
	who, err := accountFor(cluster)
	if err != nil {
		return nil, err
	}
	if err := takeOver(who, data); err != nil {
		return nil, err
	}
	held, err := lock(data)
	if err != nil {
		return nil, err
	}
	s := &Server{release: func() { held.Close() }}
	if err := s.open(ctx, o, all, who, data, cluster); err != nil {
		s.release()
		return nil, fmt.Errorf("PostgreSQL on %s: %w", data, err)
	}
	s.stopped = sync.OnceValue(func() error {
		defer s.release()
		err := s.process.stop()
		if s.remove.Load() {
			err = errors.Join(err, discard(cluster))
		}
		return err
	})
	return s, nil
}

// takeOver makes the data folder, or takes over one that is empty or was ours
// before.
func takeOver(who *account, data string) error {
	entries, err := os.ReadDir(data)
	if err != nil && !os.IsNotExist(err) {
		return err
	}
	ours := len(entries) == 0
	for _, e := range entries {
		ours = ours || e.Name() == "lock"
	}
	if ours {
		if err := who.own(data); err != nil {
			return err
		}
	}
	return who.reach(data)
}

func (s *Server) open(ctx context.Context, o Options, all []Programs, who *account, data, cluster string) (err error) {
	if o.Fresh {
		if err := discard(cluster); err != nil {
			return err
		}
	}
	if s.programs, err = choose(all, cluster); err != nil {
		return err
	}
	if err := who.reach(s.programs.Dir); err != nil {
		return err
	}
	if err := create(ctx, s.programs, who, cluster, o.Throwaway); err != nil {
		return err
	}
	if err := s.place(who, data); err != nil {
		return err
	}
	args := []string{"-D", cluster, "-k", s.socket,
		"-c", "listen_addresses=", "-c", "port=" + port, "-c", "unix_socket_permissions=0700"}
	if o.Throwaway {
		args = append(args, "-c", "fsync=off",
			"-c", "full_page_writes=off", "-c", "max_connections=300", "-c", "max_wal_size=64MB")
	}
	for giveUp := time.Now().Add(patience); ; {
		if s.process, err = start(command(s.programs, who, "postgres", args...), o.Log); err != nil {
			return err
		}
		err = s.process.ready(ctx, cluster)
		if err == nil || !s.process.heldByPredecessor() || time.Now().After(giveUp) {
			return err
		}
		select {
		case <-time.After(patience / 50):
		case <-ctx.Done():
			return errors.Join(ctx.Err(), err)
		}
	}
}

// port is no TCP port here, but it is part of the socket's name.
const port = "5432"

// maxSocketPath is the longest path of a socket in bytes: 108 on Linux and 104
// elsewhere, one of them for the closing zero (unix(7), sys/un.h).
const maxSocketPath = 103

// place makes the folder for the socket: with the data if the path is short
// enough, else among temporary files.
func (s *Server) place(who *account, data string) error {
	s.socket = filepath.Join(data, "socket")
	if len(filepath.Join(s.socket, ".s.PGSQL."+port)) <= maxSocketPath {
		return who.own(s.socket)
	}
	dir, err := os.MkdirTemp(TempDir(), "lathmark-")
	if err != nil {
		return err
	}
	s.socket = dir
	unlock := s.release
	s.release = func() {
		os.RemoveAll(dir)
		unlock()
	}
	return who.own(dir)
}

// URL returns the address of a database for a role: for pgx, psql and libpq.
func (s *Server) URL(database, role string) string {
	at := url.Values{"host": {s.socket}, "port": {port}}.Encode()
	at = strings.ReplaceAll(at, "+", "%20") // libpq reads + as a plus sign
	return "postgres://" + url.PathEscape(role) + "@/" + url.PathEscape(database) + "?" + at
}

// PastURL is URL in a session of the superuser's, who alone may write a past: what is
// signed off at another time than now. For a demo's history and for tests. The role is
// bound by the policies as ever.
func (s *Server) PastURL(database, role string) string {
	return s.URL(database, Superuser) + "&role=" + url.QueryEscape(role)
}

// Psql returns a command line that opens a database as a role, ready to be
// pasted into a shell.
func (s *Server) Psql(database, role string) string {
	program := filepath.Join(s.programs.Dir, "psql")
	if _, err := os.Stat(program); err != nil {
		program = "psql"
	}
	quote := func(text string) string { return "'" + strings.ReplaceAll(text, "'", `'\''`) + "'" }
	return fmt.Sprintf("%s -h %s -p %s -U %s -d %s", quote(program), quote(s.socket), port, quote(role), quote(database))
}

// Done returns a channel that is closed when the server has ended, by Stop or
// by itself.
func (s *Server) Done() <-chan struct{} { return s.process.done }

// Stop ends the server without waiting for its clients and releases the folder.
// All that was committed stays. A second call returns the result of the first.
func (s *Server) Stop() error { return s.stopped() }

// Remove stops the server and removes its files before it releases the folder:
// whoever takes the folder next must not lose what they have begun.
func (s *Server) Remove() error {
	s.remove.Store(true)
	return s.stopped()
}
