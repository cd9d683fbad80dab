package persistence_test

import (
	"context"
	"errors"
	"reflect"
	"slices"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/programme"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// ofTheFirm are the methods whose ids are not of a job: a policy is all that
// keeps somebody of the firm from them.
var ofTheFirm = []string{"InsertFirm", "Member", "EndMember", "LockMember", "SaveMember", "InsertOneTimeLink",
	"WaitingLinks", "OneTimeLink", "UseOneTimeLink", "InsertSession", "DeleteSession", "MemberJobs",
	"Session", "SeeSession", "Sessions", "EndSession", "EndSessions", "EndAccess", "InsertKey", "Key", "UseKey", "Keys",
	"EndKey",
	"IdentityMember", "EmailMember", "SaveEmail", "LinkIdentity", "Identities", "UnlinkIdentities", "TieSession",
	"ProveSession",
	"EndTied",
	"InsertInvitation", "Invitation", "UseInvitation", "DeleteInvitation", "InsertPasskey", "Passkeys", "UsePasskey",
	"DeletePasskey",
	"SaveCrew", "EndCrew", "SaveAway", "DeleteAway", "InsertVisitLink", "VisitLink", "EndVisitLinks",
	"CrewsOf", "AbsencesOf", "LeaveCrewOut",
	"EntriesOf"} // what the foreman did on the plumber's own job

// found reports whether a call gave anything.
func found(v any) bool {
	r := reflect.ValueOf(v)
	switch {
	case v == nil:
		return false
	case r.Kind() == reflect.Slice || r.Kind() == reflect.Map:
		return r.Len() > 0
	case r.Type() == reflect.TypeFor[programme.Given]():
		for _, list := range r.Fields() {
			if list.Kind() == reflect.Slice && list.Len() > 0 || list.Kind() != reflect.Slice && !list.IsZero() {
				return true
			}
		}
		return false
	}
	return !r.IsZero()
}

// elsewhere returns a site with a record of every kind on one job, and a plumber
// who is named on another job only, which has a room too.
func elsewhere(t *testing.T) (*dbtest.Site, *theirs, firm.Person, job.Job) {
	t.Helper()
	s := dbtest.New(t)
	x := fill(t, s)
	mill, err := s.Job.Create(t.Context(), s.Foreman, job.Job{Name: "Mill Loft"})
	if err != nil {
		t.Fatal(err)
	}
	if _, err := s.Desk.Create(t.Context(), s.Foreman, room.Draft{Job: mill.ID, Name: "Studio", Height: 2400,
		Walls: []room.Wall{{Length: 3600, Turn: 90}, {Length: 2400, Turn: 90}, {Length: 3600, Turn: 90},
			{Length: 2400, Turn: 90}},
		Surfaces: []room.SurfaceDraft{{Kind: "ceiling"}}}); err != nil {
		t.Fatal(err)
	}
	return s, x, s.AddTo(t, "Ned Varley", firm.Trade, words.Plumber, mill.ID), mill
}

// Every method of the store, called with ids of a job of one's own firm that
// somebody is not named on, finds nothing and changes nothing.
func TestEveryMethodWithAnotherJobsIDs(t *testing.T) {
	s, x, plumber, mill := elsewhere(t)
	before := everything(t, s)
	for name, call := range calls(x) {
		if call == nil || slices.Contains(ofTheFirm, name) {
			continue
		}
		err := s.DB.WithTx(t.Context(), plumber, func(tx *persistence.Tx) error {
			got, err := call(t.Context(), tx)
			if err == nil && found(got) {
				t.Errorf("%s found %+v", name, got)
			}
			return err
		})
		if err != nil && fault.KindOf(err) == "" && !pgRefused(err) {
			t.Errorf("%s ended with %v", name, err)
		}
		if after := everything(t, s); !reflect.DeepEqual(before, after) {
			t.Fatalf("%s changed something: %v, was %v", name, after, before)
		}
	}
	lists := func(by firm.Person) (jobs, rooms, heads, diaries, seqs int) {
		t.Helper()
		err := s.DB.WithTx(t.Context(), by, func(tx *persistence.Tx) error {
			ctx := t.Context()
			j, err1 := tx.Jobs(ctx)
			r, err2 := tx.AllRooms(ctx)
			h, err5 := tx.Heads(ctx, room.Scope{})
			d, err3 := tx.DiaryJobs(ctx)
			l, err4 := tx.LastSeqs(ctx)
			jobs, rooms, heads, diaries, seqs = len(j), len(r), len(h), len(d), len(l)
			return errors.Join(err1, err2, err3, err4, err5)
		})
		if err != nil {
			t.Fatal(err)
		}
		return jobs, rooms, heads, diaries, seqs
	}
	nobody := s.AddTo(t, "Ida Rusk", firm.Trade, words.Joiner)
	for _, c := range []struct {
		by          firm.Person
		jobs, rooms int
	}{{plumber, 1, 1}, {nobody, 0, 0}, {s.Plumber, 2, 3}, {s.Foreman, 2, 3}, {firm.Whole(s.Owner.Firm), 2, 3},
		{firm.Person{Firm: s.Owner.Firm, ID: id.New[id.Member](), Role: firm.Owner}, 0, 0}} {
		if j, r, h, d, l := lists(c.by); j != c.jobs || r != c.rooms || h != c.rooms || d != c.jobs || l != c.jobs {
			t.Errorf("%s sees %d jobs, %d rooms, %d heads, %d diaries, %d ends of diaries; want %d jobs with %d rooms",
				c.by.Name, j, r, h, d, l, c.jobs, c.rooms)
		}
	}
	// Taken off at once, and gone at once.
	if err := s.Firm.NameJobs(t.Context(), s.Foreman, plumber.ID, firm.Team{Jobs: []id.Job{x.job}}); err != nil {
		t.Fatal(err)
	}
	if err := s.DB.WithTx(t.Context(), plumber, func(tx *persistence.Tx) error {
		_,
			err := tx.Job(t.Context(), mill.ID)
		return err
	}); fault.KindOf(err) != fault.NotFound {
		t.Errorf("the job after being taken off: %v", err)
	}
	if err := s.Firm.EndMember(t.Context(), s.Owner, plumber.ID); err != nil {
		t.Fatal(err)
	}
	if j, _, _, _, _ := lists(plumber); j != 0 {
		t.Errorf("one who left sees %d jobs", j)
	}
}

// The queries alone keep the jobs apart: here no policy of the database binds.
func TestTheQueriesAloneKeepJobsApart(t *testing.T) {
	s, x, plumber, mill := elsewhere(t)
	db, err := persistence.Open(t.Context(), s.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	all := calls(x)
	for _, name := range []string{"Job", "JobName", "LastEntry", "LockRoom", "Record", "Records", "Heads", "Revision",
		"RoomsOf", "Diary", "LockJob", "UpdateJob", "LeftOpen", "RemoveJob", "RemoveRoom", "Find"} {
		err := db.WithTx(t.Context(), plumber, func(tx *persistence.Tx) error {
			got, err := all[name](t.Context(), tx)
			if err == nil && found(got) {
				t.Errorf("%s found %+v", name, got)
			}
			return err
		})
		if fault.KindOf(err) != fault.NotFound && (err != nil || name == "LockRoom") {
			t.Errorf("%s ended with %v", name, err)
		}
	}
	err = db.WithTx(t.Context(), plumber, func(tx *persistence.Tx) error {
		jobs, err := tx.Jobs(t.Context())
		if err != nil || len(jobs) != 1 || jobs[0].ID != mill.ID {
			t.Errorf("%+v (%v)", jobs, err)
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}

// The database alone keeps the jobs apart: here no query asks for a firm or a
// job.
func TestTheDatabaseAloneKeepsJobsApart(t *testing.T) {
	s, x, plumber, mill := elsewhere(t)
	conn := connect(t, s, migrations.Server)
	tables := texts(t, conn, `select distinct c.relname::text from pg_class c join pg_attribute a on a.attrelid = c.oid
		where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and c.relname <> 'member_job'
		and (c.relname = 'job' or a.attname in ('job_id', 'room_id')) order by 1`)
	if len(tables) < 18 {
		t.Errorf("%d tables are of a job: %v", len(tables), tables)
	}
	if bare := texts(t, conn, `select distinct c.relname::text from pg_class c join pg_attribute a on a.attrelid = c.oid
		where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and c.relname <> 'member_job'
		and (c.relname = 'job' or a.attname in ('job_id', 'room_id'))
		and not exists (select from pg_policies p where p.tablename = c.relname and policyname = 'named_jobs'
		and permissive = 'RESTRICTIVE' and cmd = 'ALL')`); len(bare) > 0 {
		t.Errorf("nothing keeps the jobs apart in %v: let the migration call limit_to_jobs", bare)
	}
	ctx := context.Background()
	count := func(table, of string, member any) (all, wrong int) {
		t.Helper()
		tx, err := conn.Begin(ctx)
		if err != nil {
			t.Fatal(err)
		}
		defer func() { _ = tx.Rollback(ctx) }()
		if _, err := tx.Exec(ctx, "select ask_as($1, $2)", s.Owner.Firm, member); err != nil {
			t.Fatal(err)
		}
		if err := tx.QueryRow(ctx, `select count(*), count(*) filter (where t::text like '%' || $1 || '%') from "`+table+
			`" t`, of).Scan(&all, &wrong); err != nil {
			t.Fatal(err)
		}
		return all, wrong
	}
	seen := 0
	for _, table := range tables {
		theirs, _ := count(table, "-", nil)
		ids := x.job.String()
		if !slices.Contains([]string{"job", "room", "diary", "client_link", "sign_off", "invitation_job"}, table) {
			ids = x.room.String()
		}
		mine, wrong := count(table, ids, plumber.ID)
		if wrong > 0 || mine > theirs {
			t.Errorf("%s shows %d rows, %d of them of another job", table, mine, wrong)
		}
		if _, there := count(table, ids, nil); there > 0 {
			seen++
		}
	}
	if seen < 12 {
		t.Errorf("only %d tables held anything of the other job", seen)
	}
	if n, _ := count("room", mill.ID.String(), plumber.ID); n != 1 {
		t.Errorf("%d rooms of one's own", n)
	}
	var n int
	if err := conn.QueryRow(ctx, "select count(*) from room").Scan(&n); err != nil || n != 0 {
		t.Errorf("%d rooms without asking as anybody (%v)", n, err)
	}
}
