package main

import (
	"context"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/persistence/localpg"
)

// hashedAnew changes an entry and hashes the chain anew from there to its end, as whoever
// owns the schema can.
const hashedAnew = `do $$
declare
  d diary;
  before bytea;
begin
  update diary set says = 'Nothing happened.' where seq = 2;
  for d in select * from diary order by seq loop
    d.prev := coalesce(before, d.prev);
    before := sha256(d.prev || convert_to(diary_line(d), 'UTF8'));
    update diary set prev = d.prev, hash = before where job_id = d.job_id and seq = d.seq;
  end loop;
end $$`

// A chain that was hashed anew up to its end, and an end that was cut off, hold by
// themselves. The marks of an earlier check tell them.
func TestMarks(t *testing.T) {
	for name, c := range map[string]struct {
		sql, says string // of the check with marks, whose status is 1 where it says something
		alone     int    // the status of the check without
	}{
		"nothing":      {"select", "", statusDone},
		"more entries": {more, "", statusDone},
		"hashed anew":  {hashedAnew, "changed  Ferry House: entry 4 had the mark ", statusDone},
		"cut off": {"delete from diary where seq = 4",
			"changed  Ferry House: its diary had 4 entries, the last with the mark ", statusDone},
		"cut off and gone on": {"delete from diary where seq = 4;" + more, "entry 4 had the mark", statusDone},
		"called otherwise": {hashedAnew + "; update job set name = 'x'", "gone  Ferry House: no job has that name",
			statusBad},
		"gone": {"delete from diary; delete from job", "gone  Ferry House: no job has that name", statusDone},
	} {
		t.Run(name, func(t *testing.T) {
			d, of := written(t)
			admin := []string{"LATHMARK_DATABASE=" + d.URL(localpg.Superuser)}
			file := filepath.Join(t.TempDir(), "marks.txt")
			if status, _, says := ran(t, admin, "diary", "check", "-write-marks", file); status != statusDone {
				t.Fatal(says)
			}
			conn, err := pgx.Connect(t.Context(), d.URL(localpg.Superuser))
			if err != nil {
				t.Fatal(err)
			}
			defer conn.Close(context.WithoutCancel(t.Context()))
			if _, err := conn.Exec(t.Context(), "set session_replication_role = replica;"+c.sql); err != nil {
				t.Fatal(err)
			}
			if status, out, says := ran(t, admin, "diary", "check"); status != c.alone {
				t.Errorf("without marks: status %d, %s%s", status, out, says)
			}
			want := statusDone
			if c.says != "" {
				want = statusBad
			}
			status, out, says := ran(t, admin, "diary", "check", "-marks", file, of.String())
			if status != want || !strings.Contains(out, c.says) {
				t.Errorf("status %d, %s%s; want %q", status, out, says, c.says)
			}
		})
	}
}

// more adds an entry to the chain.
const more = `insert into diary select (jsonb_populate_record(d, jsonb_build_object('seq', d.seq + 1))).* from diary d
  order by seq desc limit 1;
do $$
declare
  d diary;
begin
  select * into d from diary order by seq desc limit 1;
  select hash into d.prev from diary where seq = d.seq - 1;
  update diary set prev = d.prev, hash = sha256(d.prev || convert_to(diary_line(d), 'UTF8')) where seq = d.seq;
end $$`

// A line of a file of marks that cannot be read is named, with what to write there;
// nothing is checked.
func TestMarksThatCannotBeRead(t *testing.T) {
	d, _ := written(t)
	admin := []string{"LATHMARK_DATABASE=" + d.URL(localpg.Superuser)}
	file := filepath.Join(t.TempDir(), "marks.txt")
	text := "# kept\n\n7h2k-9qmz-04xt-c5dw  4  Ferry House\nbanana 4 Ferry House\n7h2k-9qmz-04xt-c5dw many Ferry House\n" +
		"7h2k9qmz04xtc5dw 4\n"
	if err := os.WriteFile(file, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	status, out, says := ran(t, admin, "diary", "check", "-marks", file)
	for _, want := range []string{file, `line 4: "banana" is no mark; write its 16 letters first`,
		`line 5: "many" is no number of entries; write it after the mark`, "line 6: the job's name is missing"} {
		if !strings.Contains(says, want) {
			t.Errorf("%q is not said: %s", want, says)
		}
	}
	if status != statusBad || out != "" || strings.Contains(says, "line 3") {
		t.Errorf("status %d, %s%s", status, out, says)
	}
	if status, _, says := ran(t, admin, "diary", "check", "-marks", file+".not"); status != statusBad ||
		!strings.Contains(says, "no such file") {
		t.Errorf("no file: status %d, %s", status, says)
	}
}

// Marks are written only where all holds, in the place of those before.
func TestMarksOfWhatDoesNotHoldAreNotWritten(t *testing.T) {
	d, _ := written(t)
	admin := []string{"LATHMARK_DATABASE=" + d.URL(localpg.Superuser)}
	file := filepath.Join(t.TempDir(), "marks.txt")
	for range 2 {
		if status, _, says := ran(t, admin, "diary", "check", "-write-marks", file, "-marks",
			os.DevNull); status != statusDone {
			t.Fatal(says)
		}
	}
	kept, err := os.ReadFile(file)
	if err != nil || !strings.Contains(string(kept), "  4  Ferry House\n") {
		t.Fatalf("%s, %v", kept, err)
	}
	conn, err := pgx.Connect(t.Context(), d.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(t.Context()))
	if _, err := conn.Exec(t.Context(),
		"set session_replication_role = replica; delete from diary where seq = 3"); err != nil {
		t.Fatal(err)
	}
	if status, _, _ := ran(t, admin, "diary", "check", "-write-marks", file); status != statusBad {
		t.Errorf("status %d", status)
	}
	if now, err := os.ReadFile(file); err != nil || string(now) != string(kept) {
		t.Errorf("%s, %v", now, err)
	}
}
