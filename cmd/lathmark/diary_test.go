package main

import (
	"context"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/proof"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/localpg"
	"lathmark/persistence/pgtest"
)

// written returns a database with a firm whose one job has a diary of a few entries.
func written(t *testing.T) (pgtest.Database, id.Firm) {
	t.Helper()
	d := pgtest.Migrated(t)
	db, err := persistence.Open(t.Context(), d.URL(migrations.Server))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	all := persistence.NewServices(db, time.Now)
	owner, _, err := all.Firm.Found(t.Context(), "Fell & Daughters", "UTC", "Ada Fell")
	if err != nil {
		t.Fatal(err)
	}
	j, err := all.Job.Create(t.Context(), owner, job.Job{Name: "Ferry House"})
	if err != nil {
		t.Fatal(err)
	}
	for range 3 {
		if _, err := all.Job.ClientLink(t.Context(), owner, j.ID); err != nil {
			t.Fatal(err)
		}
	}
	return d, owner.Firm
}

func TestDiaryCheck(t *testing.T) {
	d, of := written(t)
	admin := []string{"LATHMARK_DATABASE=" + d.URL(localpg.Superuser)}
	server := []string{"LATHMARK_DATABASE=" + d.URL(migrations.Server)}
	for _, env := range [][]string{admin, server} {
		status, out, err := ran(t, env, "diary", "check", of.String())
		if status != statusDone || !strings.Contains(out, "intact  Ferry House: 4 entries") {
			t.Errorf("status %d, %s%s", status, out, err)
		}
	}
	if status, out, err := ran(t, admin, "diary", "check"); status != statusDone || !strings.Contains(out,
		"intact  Ferry House") {
		t.Errorf("every firm: status %d, %s%s", status, out, err)
	}
	if status, _, err := ran(t, server, "diary", "check"); status != statusBad || !strings.Contains(err,
		"lathmark_server sees no firm") {
		t.Errorf("every firm as the server's role: status %d, %s", status, err)
	}
}

// An entry that somebody with the administrator's password changed, took out or put in is
// found, the first one first.
func TestDiaryCheckFindsABreak(t *testing.T) {
	for name, c := range map[string]struct{ sql, says string }{
		"changed":   {"update diary set says = 'Nothing happened.' where seq = 2", "entry 2 does not say what it said"},
		"two":       {"update diary set says = 'Nothing happened.' where seq >= 3", "entry 3 does not say what it said"},
		"taken out": {"delete from diary where seq = 3", "entry 4 follows on entry 2"},
		"back-dated": {"update diary set at = at - interval '1 day' where seq = 4",
			"entry 4 does not say what it said"},
	} {
		t.Run(name, func(t *testing.T) {
			d, of := written(t)
			conn, err := pgx.Connect(t.Context(), d.URL(localpg.Superuser))
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close(context.Background())
			// Even the administrator has to switch the triggers off first.
			if _, err := conn.Exec(t.Context(), c.sql); err == nil {
				t.Fatal("the database let the diary be changed")
			}
			if _, err := conn.Exec(t.Context(), "set session_replication_role = replica"); err != nil {
				t.Fatal(err)
			}
			if tag, err := conn.Exec(t.Context(), c.sql); err != nil || tag.RowsAffected() == 0 {
				t.Fatal(tag, err)
			}
			status, out, says := ran(t, []string{"LATHMARK_DATABASE=" + d.URL(migrations.Server)}, "diary", "check", of.String())
			if status != statusBad || !strings.Contains(out, "changed  Ferry House") || !strings.Contains(out, c.says) ||
				strings.Contains(out, "intact") {
				t.Errorf("status %d, %s%s; want %q", status, out, says, c.says)
			}
		})
	}
}

// What a check can show and what not is one sentence, in the usage and in the README.
func TestWhatACheckShowsIsSaidOnce(t *testing.T) {
	readme, err := os.ReadFile("../../README.md")
	if err != nil {
		t.Fatal(err)
	}
	_, _, usage := ran(t, nil, "diary")
	for name, text := range map[string]string{"the README": string(readme), "the usage": usage} {
		if !strings.Contains(strings.Join(strings.Fields(text), " "), proof.Shows) {
			t.Errorf("%s does not say it: %s", name, proof.Shows)
		}
	}
	for _, line := range strings.Split(diaryUsage, "\n") {
		if len(line) > 100 {
			t.Errorf("%d columns: %s", len(line), line)
		}
	}
}

// A bar is shown on a terminal only, and goes as the work ends.
func TestTheBar(t *testing.T) {
	var out strings.Builder
	b := bar{of: 200}
	b.start(&out)
	b.step()
	if b.end(); out.Len() > 0 {
		t.Errorf("no terminal, and it says %q", out.String())
	}
	b = bar{of: 200, out: &out, drew: -1}
	for range 100 {
		b.step()
	}
	if drawn := out.String(); !strings.HasSuffix(drawn, strings.Repeat("#", 20)+strings.Repeat(".",
		20)+"  50 % of 200 entries") ||
		strings.Count(drawn, "\r") != 51 {
		t.Errorf("%q", drawn)
	}
	if b.end(); !strings.HasSuffix(out.String(), "\r\033[K") {
		t.Errorf("it stays: %q", out.String())
	}
}

func TestDiaryUsage(t *testing.T) {
	for _, args := range [][]string{{}, {"burn"}, {"check", "everything"}} {
		if status, _, err := ran(t, nil, append([]string{"diary"}, args...)...); status != statusUsage ||
			!strings.Contains(err, "Usage: lathmark diary check") {
			t.Errorf("%q: status %d, %s", args, status, err)
		}
	}
	if status, _, err := ran(t, nil, "diary", "check"); status != statusBad || !strings.Contains(err,
		"LATHMARK_DATABASE is not set") {
		t.Errorf("without a database: status %d, %s", status, err)
	}
}

// A signed reading that was changed behind the triggers' back is found by the sheet that
// was signed, the diary itself being whole.
func TestDiaryCheckFindsAnAlteredRoom(t *testing.T) {
	d, _, _ := stood(t)
	admin := []string{"LATHMARK_DATABASE=" + d.URL(localpg.Superuser)}
	if status, _, says := ran(t, admin, "diary", "check"); status != statusDone {
		t.Fatalf("before: status %d, %s", status, says)
	}
	conn, err := pgx.Connect(t.Context(), d.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	const shift = `update measurement m set value_mm = value_mm + 50 from gate g
		where g.firm_id = m.firm_id and g.room_id = m.room_id and g.stage = 'first_fix' and g.state = 'signed_off'
		and m.stage = 'first_fix' and m.kind = 'offset'`
	if _, err := conn.Exec(t.Context(), shift); err == nil {
		t.Fatal("the database let a signed reading be changed")
	}
	if _, err := conn.Exec(t.Context(), "set session_replication_role = replica"); err != nil {
		t.Fatal(err)
	}
	if tag, err := conn.Exec(t.Context(), shift); err != nil || tag.RowsAffected() == 0 {
		t.Fatal(tag, err)
	}
	if status, out, says := ran(t, admin, "diary", "check"); status != statusBad || !strings.Contains(out,
		": value was ") {
		t.Errorf("after: status %d, %s%s", status, out, says)
	}
}
