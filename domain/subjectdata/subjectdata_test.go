package subjectdata_test

import (
	"encoding/json"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/subjectdata"
	"lathmark/migrations"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
	"lathmark/persistence/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

// all returns the entries of a job.
func all(t *testing.T, s *dbtest.Site, job id.Job) []diary.Entry {
	t.Helper()
	es, err := s.Diary.Read(t.Context(), s.Owner, job, 0)
	if err != nil {
		t.Fatal(err)
	}
	return es
}

// The name of somebody who left is gone everywhere, the diary still proves
// everything, and the trades can still be told apart.
func TestANameIsTakenOut(t *testing.T) {
	s := dbtest.New(t)
	ctx, gone := t.Context(), s.Electrician
	r := s.SignFirstFix(t, s.Utility(t, "D1", "D2"))
	job := all(t, s, r.Record.Job)
	if err := s.Held.Forget(ctx, s.Owner, gone.ID); fault.KindOf(err) != fault.Conflict || !strings.Contains(err.Error(),
		"is still in the firm") {
		t.Errorf("before leaving: %v", err)
	}
	if err := s.Firm.EndMember(ctx, s.Owner, gone.ID); err != nil {
		t.Fatal(err)
	}
	if err := s.Held.Forget(ctx, s.Foreman, gone.ID); fault.KindOf(err) != fault.Refused {
		t.Errorf("the foreman: %v", err)
	}
	if err := s.Held.Forget(ctx, firm.Whole(id.New[id.Firm]()), gone.ID); err == nil {
		t.Error("another firm took a name out")
	}
	if err := s.Held.Forget(ctx, s.Owner, gone.ID); err != nil {
		t.Fatal(err)
	}
	after, as := all(t, s, r.Record.Job), subjectdata.NameFor(gone.ID)
	if len(after) != len(job)+1 {
		t.Errorf("%d entries became %d", len(job), len(after))
	}
	named := 0
	for i, e := range job {
		want := e
		if e.Member == gone.ID {
			want.Who = as
			named++
		}
		if after[i].Who != want.Who || after[i].Hash != e.Hash || after[i].Says != e.Says ||
			string(after[i].Detail) != string(e.Detail) {
			t.Errorf("entry %d is %+v", e.Seq, after[i])
		}
	}
	text, err := json.Marshal(after)
	if err != nil || named == 0 || strings.Contains(string(text), gone.Name) {
		t.Errorf("%d entries were by %s: %s, %v", named, gone.Name, text, err)
	}
	s.Holds(t)
	if m, err := s.Firm.Profile(ctx, s.Owner, gone.ID); err != nil || m.Name != as {
		t.Errorf("the member is %q, %v", m.Name, err)
	}
	// Pressed twice.
	if err := s.Held.Forget(ctx, s.Owner, gone.ID); err != nil || len(all(t, s, r.Record.Job)) != len(after) {
		t.Errorf("a second time: %v", err)
	}
}

// Not even at the database's prompt can a name in the diary be changed while
// its owner is a member, or without an entry that vouches for it.
func TestNamesStayWithoutAVoucher(t *testing.T) {
	s := dbtest.New(t)
	s.SignFirstFix(t, s.Utility(t, "D1"))
	if err := s.Firm.EndMember(t.Context(), s.Owner, s.Electrician.ID); err != nil {
		t.Fatal(err)
	}
	for _, role := range []string{migrations.Server, migrations.Owner, localpg.Superuser} {
		conn, err := pgx.Connect(t.Context(), s.Database.URL(role))
		if err != nil {
			t.Fatal(err)
		}
		defer conn.Close(t.Context())
		if _, err := conn.Exec(t.Context(), "select set_config('lathmark.firm', $1, false)",
			s.Owner.Firm.String()); err != nil {
			t.Fatal(err)
		}
		for _, sql := range []string{"update diary set who = 'Somebody else'",
			"update diary set who = '" + subjectdata.NameFor(s.Electrician.ID) + "' where member_id = '" +
				s.Electrician.ID.String() +
				"'"} {
			tag, err := conn.Exec(t.Context(), sql)
			if err == nil && tag.RowsAffected() > 0 {
				t.Errorf("%s: %s changed %d", role, sql, tag.RowsAffected())
			}
		}
	}
	s.Holds(t)
}

// People see all that is held about themselves, the owner about everybody,
// nobody else about anybody.
func TestWhatIsHeld(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	s.SignFirstFix(t, s.Utility(t, "D1"))
	if _, _, err := s.Firm.StartSession(ctx, s.Owner.Firm, s.Electrician.ID); err != nil {
		t.Fatal(err)
	}
	own, err := s.Held.Of(ctx, s.Electrician, s.Electrician.ID)
	if err != nil || own.Name != s.Electrician.Name || len(own.Sessions) != 1 || len(own.Diary) == 0 ||
		own.Diary[0].Says == "" {
		t.Errorf("own: %+v, %v", own, err)
	}
	if text, err := json.Marshal(own); err != nil || strings.Contains(string(text), "null") {
		t.Errorf("a list that is empty is not one: %s, %v", text, err)
	}
	owners, err := s.Held.Of(ctx, s.Owner, s.Electrician.ID)
	if err != nil || len(owners.Diary) != len(own.Diary) {
		t.Errorf("the owner's: %+v, %v", owners, err)
	}
	if _, err := s.Held.Of(ctx, s.Foreman, s.Electrician.ID); fault.KindOf(err) != fault.Refused {
		t.Errorf("the foreman: %v", err)
	}
	if _, err := s.Held.Of(ctx, s.Owner, id.New[id.Member]()); fault.KindOf(err) != fault.NotFound {
		t.Errorf("nobody: %v", err)
	}
}
