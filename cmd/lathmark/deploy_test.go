package main

import (
	"context"
	"crypto/hmac"
	"crypto/pbkdf2"
	"crypto/sha256"
	"encoding/base64"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
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
// schema, with the passwords from the files, and can be run again.
func TestDatabaseScript(t *testing.T) {
	d := pgtest.Empty(t)
	dir := t.TempDir()
	const strange = `it's "$HOME" \ a password`
	for name, text := range map[string]string{"owner": strange + "\n", "server": "other"} {
		if err := os.WriteFile(filepath.Join(dir, name), []byte(text), 0o600); err != nil {
			t.Fatal(err)
		}
	}
	env := append(administrator(t, d), "LATHMARK_DB="+d.Name,
		"OWNER_PASSWORD_FILE="+dir+"/owner", "SERVER_PASSWORD_FILE="+dir+"/server")
	for range 2 {
		if said, err := script(t, env, "sh", deploy+"database.sh"); err != nil || said != "" {
			t.Fatalf("%v: %s", err, said)
		}
	}
	if status, _, err := ran(t, []string{"LATHMARK_OWNER_DATABASE=" + d.URL(migrations.Owner)}, "migrate",
		"up"); status != 0 {
		t.Errorf("migrate up: status %d, %s", status, err)
	}
	admin := d.URL(localpg.Superuser)
	if owner := ask[string](t, admin,
		"select pg_get_userbyid(datdba) from pg_database where datname = current_database()"); owner != migrations.Owner {
		t.Errorf("the database belongs to %s", owner)
	}
	if open := ask[bool](t, admin, "select has_database_privilege('pg_monitor', current_database(), 'connect')"); open {
		t.Error("the database is open to every role")
	}
	for role, password := range map[string]string{migrations.Owner: strange, migrations.Server: "other"} {
		kept := ask[string](t, admin, "select rolpassword from pg_authid where rolname = '"+role+"'")
		if !opens(t, password, kept) {
			t.Errorf("%s does not open with its password", role)
		}
		if opens(t, password+" ", kept) {
			t.Errorf("%s opens with another password", role)
		}
	}

	for _, lack := range []string{"OWNER_PASSWORD_FILE=" + dir + "/nothing", "OWNER_PASSWORD_FILE=", "ROLES=/nowhere"} {
		if said, err := script(t, append(env, lack), "sh", deploy+"database.sh"); err == nil {
			t.Errorf("with %s it went through: %s", lack, said)
		}
	}
}

// opens reports whether password is the one that the database keeps as SCRAM-SHA-256, worked
// out here from RFC 5802, section 3, and RFC 7677.
func opens(t *testing.T, password, kept string) bool {
	t.Helper()
	parts := strings.FieldsFunc(kept, func(r rune) bool { return r == '$' || r == ':' })
	if len(parts) != 5 || parts[0] != "SCRAM-SHA-256" {
		t.Fatalf("the database keeps %q", kept)
	}
	rounds, err := strconv.Atoi(parts[1])
	if err != nil {
		t.Fatal(err)
	}
	salt, err := base64.StdEncoding.DecodeString(parts[2])
	if err != nil {
		t.Fatal(err)
	}
	salted, err := pbkdf2.Key(sha256.New, password, salt, rounds, sha256.Size)
	if err != nil {
		t.Fatal(err)
	}
	client := hmac.New(sha256.New, salted)
	client.Write([]byte("Client Key"))
	stored := sha256.Sum256(client.Sum(nil))
	return base64.StdEncoding.EncodeToString(stored[:]) == parts[3]
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
