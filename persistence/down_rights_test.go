package persistence_test

import (
	"testing"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
	"lathmark/persistence/schema"
)

// Nobody may more after the schema went down, by however many steps, and up again: a trade
// with some jobs has no more of them, a link or a session that had ended stays ended.
func TestDownAndUpGivesNobodyMore(t *testing.T) {
	for _, steps := range []int{migrations.Latest - 13, migrations.Latest - 9, migrations.Latest - 7,
		migrations.Latest - 5} {
		s := dbtest.New(t)
		r := s.Utility(t, "D1")
		other := s.Utility(t)
		limited := s.AddTo(t, "Ned Varley", firm.Trade, words.Plumber, r.Record.Job)
		link, err := s.Job.ClientLink(t.Context(), s.Foreman, other.Record.Job)
		if err != nil {
			t.Fatal(err)
		}
		_, session, err := s.Firm.StartSession(t.Context(), limited.Firm, limited.ID)
		if err != nil {
			t.Fatal(err)
		}
		jobs := func(p firm.Person) map[id.Job]int64 {
			t.Helper()
			all, err := s.Diary.Last(t.Context(), p)
			if err != nil {
				t.Fatal(err)
			}
			return all
		}
		if got := jobs(limited); len(got) != 1 {
			t.Fatalf("before, they see %d jobs", len(got))
		}
		above := connect(t, s, localpg.Superuser)
		for _, sql := range []string{"update client_link set expires_at = now() - interval '1 day'",
			"update session set seen_at = now() - interval '59 days'"} {
			if _, err := above.Exec(t.Context(), sql); err != nil {
				t.Fatal(err)
			}
		}
		if err := schema.Prepare(t.Context(), s.Database.URL(localpg.Superuser)); err != nil {
			t.Fatal(err)
		}
		owner := s.Database.URL(migrations.Owner)
		if err := schema.Down(t.Context(), owner, steps); err != nil {
			t.Fatalf("%d steps down: %v", steps, err)
		}
		if err := schema.Up(t.Context(), owner); err != nil {
			t.Fatalf("up again: %v", err)
		}
		fresh, err := persistence.Open(t.Context(), s.Database.URL(migrations.Server))
		if err != nil {
			t.Fatal(err)
		}
		defer fresh.Close()
		again := persistence.NewServices(fresh, time.Now)
		got, err := again.Diary.Last(t.Context(), limited)
		if most := map[bool]int{true: 1, false: 0}[steps < migrations.Latest-7]; err != nil || len(got) > most {
			t.Errorf("%d steps down and up again, and they see %d jobs: %v", steps, len(got), err)
		}
		if all, err := again.Diary.Last(t.Context(), s.Electrician); err != nil || len(all) != 2 {
			t.Errorf("who saw every job sees %d: %v", len(all), err)
		}
		if _, err := again.Book.Progress(t.Context(), link); err == nil {
			t.Errorf("%d steps down and up again, and a link that had run out works", steps)
		}
		if _, err := again.Firm.Session(t.Context(), session); err == nil {
			t.Errorf("%d steps down and up again, and a session that had ended goes on", steps)
		}
	}
}
