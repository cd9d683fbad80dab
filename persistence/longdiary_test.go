package persistence_test

import (
	"fmt"
	"os"
	"runtime"
	"strconv"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/diary"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// lengthen adds n entries about a room to a diary: a tail seen free and not after all, by
// turns, so that the room stays as it is.
const lengthen = `do $$
declare
  last diary;
  d diary;
begin
  select * into last from diary where job_id = '%s' order by seq desc limit 1;
  for i in 1..%d loop
    d := last;
    d.seq := last.seq + 1;
    d.room_id := '%s';
    d.stage := 'boarding';
    d.act := case when i %% 2 = 1 then 'see_tail' else 'unsee_tail' end;
    d.says := 'The tail was looked at.';
    d.detail := '{"v":1,"position":"%s"}';
    d.prev := last.hash;
    d.hash := sha256(d.prev || convert_to(diary_line(d), 'UTF8'));
    insert into diary select d.*;
    last := d;
  end loop;
end $$`

// What a check keeps in memory does not grow with the number of entries.
func TestACheckIsBounded(t *testing.T) {
	var held []uint64
	for _, entries := range []int{1_000, count("LATHMARK_ENTRIES", 20_000)} {
		s := dbtest.New(t)
		r := s.Utility(t, "D1").Record
		conn, err := pgx.Connect(t.Context(), s.Database.URL(localpg.Superuser))
		if err != nil {
			t.Fatal(err)
		}
		for _, sql := range []string{"set session_replication_role = replica",
			fmt.Sprintf(lengthen, r.Job, entries, r.ID, r.Positions[0].ID)} {
			if _, err := conn.Exec(t.Context(), sql); err != nil {
				t.Fatal(err)
			}
		}
		conn.Close(t.Context())
		var most uint64
		read := 0
		one, err := s.Proof.Check(t.Context(), s.Owner.Firm, r.Job, func(diary.Entry) {
			if read++; read%(entries/5) == 0 {
				most = max(most, heap())
			}
		})
		if most = max(most, heap()); err != nil || len(one.Findings) > 0 || one.Entries < int64(entries) {
			t.Fatalf("%d entries, %v (%v)", one.Entries, one.Findings, err)
		}
		t.Logf("%d entries: %d kB held at most", one.Entries, most>>10)
		held = append(held, most)
	}
	if grown := int64(held[1]) - int64(held[0]); grown > 4<<20 {
		t.Errorf("it holds %d kB more for many times as many entries", grown>>10)
	}
}

// count is how many of something a test makes: usual, or what the environment says for a
// long run.
func count(name string, usual int) int {
	if n, err := strconv.Atoi(os.Getenv(name)); err == nil && n > 0 {
		return n
	}
	return usual
}

// heap is how many bytes are in use.
func heap() uint64 {
	runtime.GC()
	var m runtime.MemStats
	runtime.ReadMemStats(&m)
	return m.HeapAlloc
}
