package main

import (
	"cmp"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"

	"lathmark/migrations"
	"lathmark/persistence/localpg"
	"lathmark/persistence/schema"
)

// account is a user of this machine that a process can run as.
type account struct {
	name string
	as   *syscall.Credential // nil: whoever runs the test
}

// accounts are those that stand here for the server's user, migrate's, and the database's own, "" where
// the test cannot run as another.
func accounts(t *testing.T) (server, owner, admin account) {
	t.Helper()
	me, err := user.Current()
	if err != nil {
		t.Fatal(err)
	}
	if os.Geteuid() != 0 {
		return account{name: me.Username}, account{}, account{}
	}
	var all []account
	for _, name := range []string{"nobody", "daemon", localpg.Superuser} {
		u, err := user.Lookup(name)
		if err != nil {
			all = append(all, account{})
			continue
		}
		uid, err1 := strconv.ParseUint(u.Uid, 10, 32)
		gid, err2 := strconv.ParseUint(u.Gid, 10, 32)
		if cmp.Or(err1, err2) != nil {
			t.Fatal(err1, err2)
		}
		all = append(all, account{name, &syscall.Credential{Uid: uint32(uid), Gid: uint32(gid)}})
	}
	return all[0], all[1], all[2]
}

func private(t *testing.T, data string, fresh bool) *localpg.Server {
	t.Helper()
	s, err := localpg.Start(t.Context(), localpg.Options{Data: data, Fresh: fresh, Throwaway: true})
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// guarded runs a PostgreSQL with the pg_hba.conf of deploy/ and a database lathmark, and returns the folder of
// its socket, which every process of this machine can reach.
func guarded(t *testing.T, names *strings.Replacer, roles ...string) (socket string) {
	t.Helper()
	dir, err := os.MkdirTemp(localpg.TempDir(), "lm-peer-")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { os.RemoveAll(dir) })
	data := filepath.Join(dir, "data")
	if err := os.Chmod(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	first := private(t, data, true)
	for _, sql := range append(roles, "create database lathmark") {
		psql := first.Psql("postgres", localpg.Superuser) + " -qc '" + sql + "'"
		if said, err := script(t, os.Environ(), "sh", "-c", psql); err != nil {
			t.Fatalf("%s: %v: %s", sql, err, said)
		}
	}
	if err := errors.Join(schema.Prepare(t.Context(), first.URL("lathmark", localpg.Superuser)),
		first.Stop()); err != nil {
		t.Fatal(err)
	}
	rules := names.Replace(textOfFile(t, deploy+"pg_hba.conf"))
	if err := os.WriteFile(filepath.Join(data, "cluster", "pg_hba.conf"), []byte(rules), 0o644); err != nil {
		t.Fatal(err)
	}
	second := private(t, data, false)
	t.Cleanup(func() {
		if err := second.Remove(); err != nil {
			t.Error(err)
		}
	})
	socket = filepath.Join(data, "socket")
	for path, mode := range map[string]os.FileMode{data: 0o755, socket: 0o755, socket + "/.s.PGSQL.5432": 0o777} {
		if err := os.Chmod(path, mode); err != nil {
			t.Fatal(err)
		}
	}
	return socket
}

// Each user opens the database as the role of the same name and as no other; the roles are the
// server's and migrate's, by names of this machine.
func TestTheSocketKnowsWhoAsks(t *testing.T) {
	server, owner, admin := accounts(t)
	names := []string{migrations.Server, server.name}
	roles := []string{fmt.Sprintf(`create role "%s" login`, server.name)}
	if owner.name != "" {
		names = append(names, migrations.Owner, owner.name)
		roles = append(roles, fmt.Sprintf(`create role "%s" login`, owner.name))
	}
	socket := guarded(t, strings.NewReplacer(names...), roles...)
	programs, err := localpg.Find()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		as             account
		role, database string
		in             bool
	}{
		{server, server.name, "lathmark", true}, {server, owner.name, "lathmark", false},
		{server, localpg.Superuser, "lathmark", false}, {server, localpg.Superuser, "postgres", false},
		{server, server.name, "postgres", false},
		{owner, owner.name, "lathmark", true}, {owner, server.name, "lathmark", false},
		{owner, localpg.Superuser, "lathmark", false},
		{admin, localpg.Superuser, "lathmark", true}, {admin, localpg.Superuser, "postgres", true},
		{admin, server.name, "lathmark", false}, {account{name: "root"}, localpg.Superuser, "lathmark", false},
	} {
		if c.as.name == "" {
			continue // nobody here to run as
		}
		psql := exec.Command(filepath.Join(programs[0].Dir, "psql"), "--no-psqlrc", "--no-password", "--host="+socket,
			"--username="+cmp.Or(c.role, migrations.Owner), "--dbname="+c.database, "--tuples-only", "--command=select 'in'")
		psql.Dir, psql.Env = "/", []string{"PATH=/usr/bin:/bin", "LC_ALL=C"}
		psql.SysProcAttr = &syscall.SysProcAttr{Credential: c.as.as}
		out, err := psql.CombinedOutput()
		refused := strings.Contains(string(out), "Peer authentication failed") ||
			strings.Contains(string(out), "no pg_hba.conf entry")
		if (err == nil) != c.in || err != nil && !refused {
			t.Errorf("%s as %q on %s: %v, %s", c.as.name, c.role, c.database, err, out)
		}
	}
}

// The numbers that the containers run as are those of the names that the rules let in; server, migrate
// and database share the socket and no network, and no method takes a password.
func TestContainersShareASocket(t *testing.T) {
	ids := map[string]string{}
	for line := range strings.Lines(textOfFile(t, deploy+"database.passwd")) {
		f := strings.Split(line, ":")
		if len(f) != 7 {
			t.Fatalf("%q", line)
		}
		ids[f[0]] = f[2] + ":" + f[3]
	}
	all := services(t)
	for name, c := range map[string]struct{ user, socket, url string }{
		"database": {localpg.Superuser, "socket:/var/run/postgresql", ""},
		"migrate":  {migrations.Owner, "socket:/run/postgresql:ro", all["migrate"].Environment["LATHMARK_OWNER_DATABASE"]},
		"server":   {migrations.Server, "socket:/run/postgresql:ro", all["server"].Environment["LATHMARK_DATABASE"]},
	} {
		if all[name].User != ids[c.user] || ids[c.user] == "" {
			t.Errorf("%s runs as %s, and %s is %s", name, all[name].User, c.user, ids[c.user])
		}
		if !slices.Contains(all[name].Volumes, c.socket) {
			t.Errorf("%s has %q", name, all[name].Volumes)
		}
		if want := "postgres://" + c.user + "@/lathmark?host=/run/postgresql"; c.url != "" && c.url != want {
			t.Errorf("%s opens %s, want %s", name, c.url, want)
		}
		if name != "server" && all[name].NetworkMode != "none" {
			t.Errorf("%s is on a network", name)
		}
	}
	for name, c := range all {
		if slices.ContainsFunc(c.Volumes, func(v string) bool { return strings.HasPrefix(v, "socket:") }) !=
			slices.Contains([]string{"database", "migrate", "server"}, name) {
			t.Errorf("%s has %q", name, c.Volumes)
		}
	}
	runs := strings.Join(all["database"].Command, " ")
	said(t, "the database's command", runs, "-c listen_addresses= -c hba_file=/lathmark/pg_hba.conf")
	if !slices.Contains(all["database"].Volumes, "./deploy/pg_hba.conf:/lathmark/pg_hba.conf:ro") ||
		!slices.Contains(all["database"].Volumes, "./deploy/database.passwd:/etc/passwd:ro") {
		t.Errorf("the database reads %q", all["database"].Volumes)
	}
	for line := range strings.Lines(textOfFile(t, deploy+"pg_hba.conf")) {
		f := strings.Fields(line)
		if len(f) > 0 && f[0] != "#" && (len(f) != 4 || f[0] != "local" || f[3] != "peer") {
			t.Errorf("pg_hba.conf has %q", line)
		}
	}
	said(t, "the unit", textOfFile(t, deploy+"lathmark.service"),
		"\nUser="+migrations.Server+"\nEnvironment=LATHMARK_DATABASE="+all["server"].Environment["LATHMARK_DATABASE"]+"\n")
}
