package localpg

import (
	"bytes"
	"context"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"syscall"
	"testing"

	"github.com/jackc/pgx/v5"
)

func started(t *testing.T, o Options) *Server {
	t.Helper()
	o.Throwaway = true
	s, err := Start(context.Background(), o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = s.Stop() }) // tests that check the result stop it themselves
	return s
}

func stopped(t *testing.T, s *Server) {
	t.Helper()
	if err := s.Stop(); err != nil {
		t.Error(err)
	}
}

// ask runs one statement that returns one text.
func ask(t *testing.T, url, sql string) string {
	t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	var text string
	if err := conn.QueryRow(ctx, sql, pgx.QueryExecModeSimpleProtocol).Scan(&text); err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
	return text
}

// remember writes what kept reads.
func remember(t *testing.T, url string) {
	t.Helper()
	ctx := context.Background()
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(ctx)
	if _, err := conn.Exec(ctx, "create table kept as select 'still here' as it"); err != nil {
		t.Fatal(err)
	}
}

const (
	kept = "select coalesce((select it from kept), '')"
	was  = "select coalesce(to_regclass('kept')::text, 'gone')"
)

func TestStartStopAndStartAgain(t *testing.T) {
	// What is set for another PostgreSQL has no effect here.
	t.Setenv("PGPORT", "1")
	t.Setenv("PGDATA", "/nowhere")
	t.Setenv("LC_ALL", "nonsense")
	data := filepath.Join(folder(t), "not", "there yet")
	var log bytes.Buffer
	s := started(t, Options{Data: data, Log: &log})
	private(t, s, data)
	remember(t, s.URL("postgres", Superuser))
	stopped(t, s)
	stopped(t, s) // a second time does no harm
	<-s.Done()
	if !strings.Contains(log.String(), "ready to accept connections") {
		t.Errorf("the log holds %q", log.String())
	}

	s = started(t, Options{Data: data})
	if got := ask(t, s.URL("postgres", Superuser), kept); got != "still here" {
		t.Errorf("after a restart: %q", got)
	}
	stopped(t, s)

	s = started(t, Options{Data: data, Fresh: true})
	if got := ask(t, s.URL("postgres", Superuser), was); got != "gone" {
		t.Errorf("a fresh start kept %q", got)
	}
}

// private checks that only the socket leads in, and that only its owner can
// reach it.
func private(t *testing.T, s *Server, data string) {
	t.Helper()
	for setting, want := range map[string]string{
		"listen_addresses": "", "server_encoding": "UTF8", "lc_collate": "C.UTF-8", "port": "5432",
	} {
		if got := ask(t, s.URL("postgres", Superuser), "show "+setting); got != want {
			t.Errorf("%s is %q, want %q", setting, got, want)
		}
	}
	for _, dir := range []string{data + "/cluster", s.socket} {
		if at, err := os.Stat(dir); err != nil || at.Mode().Perm() != 0o700 {
			t.Errorf("%s: %v, %v", dir, at.Mode(), err)
		}
	}
}

func TestOneLauncherToAFolder(t *testing.T) {
	t.Parallel()
	data := folder(t)
	first := launch(t, data, nil)
	_, err := Start(context.Background(), Options{Data: data})
	if !errors.Is(err, ErrInUse) {
		t.Fatalf("the second launcher got %v", err)
	}
	if _, err := Start(context.Background(), Options{Data: data, Fresh: true}); !errors.Is(err, ErrInUse) {
		t.Fatalf("the second launcher, with a fresh start, got %v", err)
	}
	remember(t, strings.TrimSpace(first.said))
	first.in.Close()
	if err := first.cmd.Wait(); err != nil {
		t.Fatal(err)
	}
	s := started(t, Options{Data: data})
	if got := ask(t, s.URL("postgres", Superuser), kept); got != "still here" {
		t.Errorf("the first launcher left %q", got)
	}
}

// Of many launchers started at once on one new folder, exactly one gets it.
func TestLaunchersRace(t *testing.T) {
	t.Parallel()
	data := folder(t)
	const many = 6
	servers, errs := make([]*Server, many), make([]error, many)
	var all sync.WaitGroup
	for i := range many {
		all.Go(func() {
			servers[i], errs[i] = Start(context.Background(), Options{Data: data, Throwaway: true})
		})
	}
	all.Wait()
	won := 0
	for i, err := range errs {
		if err == nil {
			won++
			stopped(t, servers[i])
		} else if !errors.Is(err, ErrInUse) {
			t.Error(err)
		}
	}
	if won != 1 {
		t.Errorf("%d of %d launchers got the folder", won, many)
	}
}

// When the launcher is killed its server goes too, and the next one finds the data.
func TestKilledLauncher(t *testing.T) {
	t.Parallel()
	data := folder(t)
	first := launch(t, data, nil)
	remember(t, strings.TrimSpace(first.said))
	pid, _ := postmaster(data + "/cluster")
	if err := first.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	s := started(t, Options{Data: data})
	if got := ask(t, s.URL("postgres", Superuser), kept); got != "still here" {
		t.Errorf("after the kill: %q", got)
	}
	if now, _ := postmaster(data + "/cluster"); now == pid || now != s.process.cmd.Process.Pid {
		t.Errorf("process %d answers, the killed launcher's was %d, ours is %d", now, pid, s.process.cmd.Process.Pid)
	}
}

func TestKilledPostgres(t *testing.T) {
	t.Parallel()
	data := folder(t)
	s := started(t, Options{Data: data})
	remember(t, s.URL("postgres", Superuser))
	if err := s.process.cmd.Process.Kill(); err != nil {
		t.Fatal(err)
	}
	<-s.Done()
	if err := s.Stop(); err == nil || !strings.Contains(err.Error(), "killed") {
		t.Errorf("stopping what was killed: %v", err)
	}
	s = started(t, Options{Data: data})
	if got := ask(t, s.URL("postgres", Superuser), kept); got != "still here" {
		t.Errorf("after the kill: %q", got)
	}
}

// As root the server runs under another account; this is the other half: a
// launcher that is an ordinary user.
func TestOrdinaryUser(t *testing.T) {
	t.Parallel()
	if os.Geteuid() != 0 {
		t.Log("we are an ordinary user, so every test here is this one")
		return
	}
	as := &syscall.Credential{Uid: 65534, Gid: 65534}
	data := filepath.Join(folder(t), "data")
	if err := os.Mkdir(data, 0o700); err != nil {
		t.Fatal(err)
	}
	if err := os.Chown(data, int(as.Uid), int(as.Gid)); err != nil {
		t.Fatal(err)
	}
	first := launch(t, data, as)
	remember(t, strings.TrimSpace(first.said))
	first.in.Close()
	if err := first.cmd.Wait(); err != nil {
		t.Fatal(err)
	}
	// Root continues where the ordinary user left off.
	s := started(t, Options{Data: data})
	if got := ask(t, s.URL("postgres", Superuser), kept); got != "still here" {
		t.Errorf("root found %q", got)
	}
}

func TestLongPath(t *testing.T) {
	t.Parallel()
	data := filepath.Join(folder(t), strings.Repeat("it's a long way/", 8))
	s := started(t, Options{Data: data})
	if got := ask(t, s.URL("postgres", Superuser), "select 'here'"); got != "here" {
		t.Error(got)
	}
	line := s.Psql("postgres", Superuser) + " -Atc 'select 6 * 7'"
	if said, err := exec.Command("sh", "-c", line).CombinedOutput(); err != nil || string(said) != "42\n" {
		t.Errorf("%s: %v, %q", line, err, said)
	}
	stopped(t, s)
	if _, err := os.Stat(s.socket); !os.IsNotExist(err) {
		t.Errorf("%s is still there: %v", s.socket, err)
	}
}

func TestGivenUp(t *testing.T) {
	t.Parallel()
	data := folder(t)
	ctx, giveUp := context.WithCancel(context.Background())
	giveUp()
	if _, err := Start(ctx, Options{Data: data}); !errors.Is(err, context.Canceled) {
		t.Fatalf("got %v", err)
	}
	stopped(t, started(t, Options{Data: data})) // nothing holds the folder, and the cluster is whole
	if _, err := Start(ctx, Options{Data: data}); !errors.Is(err, context.Canceled) {
		t.Fatalf("got %v", err)
	}
}

// Remove leaves nothing of the cluster, and the folder can be used again at
// once.
func TestRemove(t *testing.T) {
	data := filepath.Join(folder(t), "data")
	s, err := Start(t.Context(), Options{Data: data, Throwaway: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Remove(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Stat(filepath.Join(data, "cluster")); !os.IsNotExist(err) {
		t.Errorf("the cluster is still there: %v", err)
	}
	again, err := Start(t.Context(), Options{Data: data, Throwaway: true})
	if err != nil {
		t.Fatal(err)
	}
	if err := again.Remove(); err != nil {
		t.Fatal(err)
	}
}
