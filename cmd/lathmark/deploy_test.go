package main

import (
	"context"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/migrations"
	"lathmark/persistence/localpg"
	"lathmark/persistence/pgtest"
)

const deploy = "../../deploy/"

// administrator returns what a script of deploy/ needs to reach the server that d is on.
func administrator(t *testing.T, d pgtest.Database) []string {
	t.Helper()
	at, err := url.Parse(d.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	programs, err := localpg.Find()
	if err != nil {
		t.Fatal(err)
	}
	return []string{
		"PATH=" + programs[0].Dir + ":" + os.Getenv("PATH"), "PGUSER=" + localpg.Superuser,
		"PGHOST=" + at.Query().Get("host"), "PGPORT=" + at.Query().Get("port"),
	}
}

func script(t *testing.T, env []string, name string, args ...string) (said string, err error) {
	t.Helper()
	cmd := exec.Command(name, args...)
	cmd.Env = env
	out, err := cmd.CombinedOutput()
	return string(out), err
}

func ask[T any](t *testing.T, url, sql string) T {
	t.Helper()
	conn, err := pgx.Connect(t.Context(), url)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	var answer T
	if err := conn.QueryRow(t.Context(), sql).Scan(&answer); err != nil {
		t.Fatalf("%s: %v", sql, err)
	}
	return answer
}

// The script of deploy/ makes a database that migrate can take from nothing to the newest
// schema, whose roles have no password, and can be run again.
func TestDatabaseScript(t *testing.T) {
	d := pgtest.Empty(t)
	env := append(administrator(t, d), "LATHMARK_DB="+d.Name)
	admin := d.URL(localpg.Superuser)
	for range 2 {
		if said, err := script(t, env, "sh", deploy+"database.sh"); err != nil || said != "" {
			t.Fatalf("%v: %s", err, said)
		}
		if n := ask[int](t, admin, "select count(*)::int from pg_authid where rolname like 'lathmark\\_%' "+
			"and rolpassword is null and rolcanlogin"); n != 2 {
			t.Errorf("%d roles without a password", n)
		}
		if said, err := script(t, env, "psql", "--dbname="+d.Name, "--quiet", "--command",
			"alter role lathmark_server password 'of an earlier version'"); err != nil {
			t.Fatalf("%v: %s", err, said)
		}
	}
	if status, _, err := ran(t, []string{"LATHMARK_OWNER_DATABASE=" + d.URL(migrations.Owner)}, "migrate",
		"up"); status != 0 {
		t.Errorf("migrate up: status %d, %s", status, err)
	}
	if owner := ask[string](t, admin,
		"select pg_get_userbyid(datdba) from pg_database where datname = current_database()"); owner != migrations.Owner {
		t.Errorf("the database belongs to %s", owner)
	}
	if open := ask[bool](t, admin, "select has_database_privilege('pg_monitor', current_database(), 'connect')"); open {
		t.Error("the database is open to every role")
	}
	if said, err := script(t, append(env, "ROLES=/nowhere"), "sh", deploy+"database.sh"); err == nil {
		t.Errorf("without the roles it went through: %s", said)
	}
}

// A backup as deploy/backup.md has it comes back whole, and the roles that see one firm at
// a time cannot make one that lacks rows.
func TestBackupAndBack(t *testing.T) {
	from, to := pgtest.Migrated(t), pgtest.Empty(t)
	admin := administrator(t, from)
	const rows = "select count(*)::int from firm"
	conn, err := pgx.Connect(t.Context(), from.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	if _, err := conn.Exec(t.Context(),
		"insert into firm values (gen_random_uuid(), 'One', now()), (gen_random_uuid(), 'Other', now())"); err != nil {
		t.Fatal(err)
	}
	dump := filepath.Join(t.TempDir(), "dump")
	if said, err := script(t, admin, "pg_dump", "--format=custom", "--file="+dump, from.Name); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	if said, err := script(t, admin, "pg_restore", "--dbname="+to.Name, "--exit-on-error", "--single-transaction",
		dump); err != nil {
		t.Fatalf("%v: %s", err, said)
	}
	if n := ask[int](t, to.URL(localpg.Superuser), rows); n != 2 {
		t.Errorf("%d firms came back", n)
	}
	if n := ask[int](t, to.URL(migrations.Server), rows); n != 0 {
		t.Errorf("without a firm named, the server's role sees %d firms after the way back", n)
	}
	if status, out, _ := ran(t, []string{"LATHMARK_DATABASE=" + to.URL(migrations.Server)}, "migrate",
		"status"); status != 0 {
		t.Errorf("migrate status: %d\n%s", status, out)
	}
	for _, role := range []string{migrations.Owner, migrations.Server} {
		said, err := script(t, admin, "pg_dump", "--username="+role, "--file="+dump, from.Name)
		if err == nil || !strings.Contains(said, "row-level security") && !strings.Contains(said, "permission denied") {
			t.Errorf("%s could dump: %s", role, said)
		}
	}
}

// Whatever deploy/ and docker-compose.yml set is a setting there is.
func TestDeployNamesSettings(t *testing.T) {
	known := map[string]bool{"LATHMARK_DB": true, "LATHMARK_SETUP": true} // of the scripts
	for _, s := range settings {
		known[s.name], known[s.name+"_FILE"] = true, s.secret
	}
	files, err := filepath.Glob(deploy + "*")
	if err != nil || len(files) < 4 {
		t.Fatalf("%q, %v", files, err)
	}
	files = append(files, "../../docker-compose.yml")
	for _, file := range files {
		if at, err := os.Stat(file); err != nil || at.IsDir() {
			continue
		}
		text, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		for _, name := range regexp.MustCompile(`\bLATHMARK_[A-Z_]+`).FindAllString(string(text), -1) {
			if !known[name] {
				t.Errorf("%s sets %s, which nothing reads", file, name)
			}
		}
	}
}
