package firm_test

import (
	"errors"
	"fmt"
	"slices"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

func jobOf(t *testing.T, s *dbtest.Site, by firm.Person, name string) id.Job {
	t.Helper()
	j, err := s.Job.Create(t.Context(), by, job.Job{Name: name})
	is(t, name, err, "")
	return j.ID
}

func standing(t *testing.T, s *dbtest.Site, of id.Member) firm.Standing {
	t.Helper()
	st, err := s.Firm.Standing(t.Context(), s.Owner, of)
	is(t, "standing", err, "")
	return st
}

// Somebody is taken on with all that is said of him, once.
func TestTakenOnWithAllThatIsSaid(t *testing.T) {
	s := dbtest.New(t)
	ctx, orchard := t.Context(), jobOf(t, s, s.Foreman, "14 Orchard Row")
	tiler := firm.Particulars{Name: " Wanda Lisle ", Role: firm.Trade, Trade: words.Tiler, Email: "Wanda@Lisle.example",
		Team: firm.Team{Jobs: []id.Job{orchard, orchard}}}
	of := id.New[id.Member]()
	for range 2 { // a repeat is no error
		st, err := s.Firm.TakeOn(ctx, s.Owner, of, tiler)
		is(t, "take on", err, "")
		if st.Name != "Wanda Lisle" || st.Email != "wanda@lisle.example" || !slices.Equal(st.Team.Jobs, []id.Job{orchard}) {
			t.Errorf("taken on: %+v", st)
		}
	}
	if got := standing(t, s, of); got.Name != "Wanda Lisle" || got.Email != "wanda@lisle.example" ||
		!slices.Equal(got.Team.Jobs, []id.Job{orchard}) {
		t.Errorf("stands as %+v", got)
	}
	other := tiler
	other.Name = "Somebody else"
	_, err := s.Firm.TakeOn(ctx, s.Owner, of, other)
	is(t, "another under the same id", err, fault.Conflict)

	stranger := s.Found(t, "Marl & Sons")
	theirs := jobOf(t, s, stranger, "Elsewhere")
	for what, c := range map[string]struct {
		by   firm.Person
		p    firm.Particulars
		want fault.Kind
	}{
		"by the foreman":     {s.Foreman, firm.Particulars{Name: "X", Role: firm.Client}, fault.Refused},
		"no name, no e-mail": {s.Owner, firm.Particulars{Role: firm.Client, Email: "x"}, fault.BadInput},
		"e-mail taken": {s.Owner, firm.Particulars{Name: "X", Role: firm.Client, Email: "wanda@lisle.example"},
			fault.Conflict},
		"a name taken": {s.Owner, firm.Particulars{Name: "wanda  lisle", Role: firm.Client}, fault.BadInput},
		"another firm's job": {s.Owner, firm.Particulars{Name: "X", Role: firm.Client,
			Team: firm.Team{Jobs: []id.Job{theirs}}}, fault.NotFound},
		"client, every job": {s.Owner, firm.Particulars{Name: "X", Role: firm.Client, Team: firm.Team{EveryJob: true}},
			fault.BadInput},
	} {
		_, err := s.Firm.TakeOn(ctx, c.by, id.Member{}, c.p)
		is(t, what, err, c.want)
	}
	all, err := s.Firm.Members(ctx, s.Owner)
	if is(t, "members", err, ""); len(all) != 8 {
		t.Errorf("%d members: what was refused added somebody", len(all))
	}
}

// Both things that are wrong are said at once.
func TestAllThatIsWrongWithSomebody(t *testing.T) {
	s := dbtest.New(t)
	_, err := s.Firm.TakeOn(t.Context(), s.Owner, id.Member{}, firm.Particulars{Name: " ", Role: firm.Trade,
		Email: "wanda"})
	var paths []string
	for _, f := range fieldsOf(t, err) {
		paths = append(paths, f.Path)
	}
	if want := []string{"name", "trade", "email"}; !slices.Equal(paths, want) {
		t.Errorf("to mend: %v, want %v", paths, want)
	}
}

// What is changed holds at once; a state that somebody else changed is not
// written over.
func TestTwoOwnersChangeTheSamePerson(t *testing.T) {
	s := dbtest.New(t)
	ctx, orchard := t.Context(), jobOf(t, s, s.Foreman, "14 Orchard Row")
	_, session, err := s.Firm.StartSession(ctx, s.Owner.Firm, s.Plumber.ID)
	is(t, "a session", err, "")
	seen := standing(t, s, s.Plumber.ID).Version()
	change := func(version int64, p firm.Particulars) error {
		return s.Firm.Reform(ctx, s.Owner, s.Plumber.ID, version, p)
	}
	is(t, "foreman", change(seen, firm.Particulars{Name: "Olek Nowik", Role: firm.Foreman,
		Team: firm.Team{EveryJob: true}}), "")
	if p, err := s.Firm.Session(ctx, session); err != nil || p.Role != firm.Foreman || p.EveryJob || p.Trade != "" {
		t.Errorf("at the next request he is %+v (%v)", p, err)
	}
	is(t, "from the old page", change(seen, firm.Particulars{Name: "Olek Nowik", Role: firm.Trade, Trade: words.Tiler}),
		fault.Conflict)
	is(t, "from the new page", change(standing(t, s, s.Plumber.ID).Version(), firm.Particulars{Name: "Olek Nowik",
		Role: firm.Trade, Trade: words.Plumber}), "")

	seen = standing(t, s, s.Plumber.ID).Version()
	is(t, "the foreman puts him on a job", s.Firm.PutOn(ctx, s.Foreman, s.Plumber.ID, orchard), "")
	is(t, "the owner, who did not see that", change(seen, firm.Particulars{Name: "Olek Nowik", Role: firm.Client}),
		fault.Conflict)
	seen = standing(t, s, s.Plumber.ID).Version()
	is(t, "let go", s.Firm.EndMember(ctx, s.Owner, s.Plumber.ID), "")
	is(t, "the owner, who did not see that", change(seen, firm.Particulars{Name: "Olek Nowik", Role: firm.Client}),
		fault.Conflict)
	is(t, "somebody who left", change(0, firm.Particulars{Name: "Olek Nowik", Role: firm.Client}), fault.NotFound)
}

func TestWhoReforms(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	as := firm.Particulars{Name: "Ada Fell", Role: firm.Foreman}
	is(t, "the owner himself", s.Firm.Reform(ctx, s.Owner, s.Owner.ID, 0, as), fault.BadInput)
	is(t, "by the foreman", s.Firm.Reform(ctx, s.Foreman, s.Plumber.ID, 0, as), fault.Refused)
	is(t, "by another firm", s.Firm.Reform(ctx, s.Found(t, "Marl & Sons"), s.Plumber.ID, 0, as), fault.NotFound)
	_, err := s.Firm.Standing(ctx, s.Foreman, s.Plumber.ID)
	is(t, "looked at by the foreman", err, fault.Refused)
	_, err = s.Firm.Standing(ctx, s.Found(t, "Elsewhere"), s.Plumber.ID)
	is(t, "looked at by another firm", err, fault.NotFound)
	_, err = s.Firm.Roster(ctx, s.Plumber)
	is(t, "the roster, for a trade", err, fault.Refused)
}

// Two owners who let each other go at the same moment, or make each other
// foremen, leave one owner.
func TestOneOwnerStays(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	for round, act := range []func(by firm.Person, of firm.Person) error{
		func(by, of firm.Person) error { return s.Firm.EndMember(ctx, by, of.ID) },
		func(by, of firm.Person) error {
			return s.Firm.Reform(ctx, by, of.ID, 0, firm.Particulars{Name: of.Name, Role: firm.Foreman})
		},
	} {
		st, err := s.Firm.TakeOn(ctx, s.Owner, id.Member{}, firm.Particulars{Name: fmt.Sprintf("Ivo %d Fell", round),
			Role: firm.Owner})
		is(t, "a second owner", err, "")
		a, b := s.Owner, st.Person
		errs := make(chan error)
		go func() { errs <- act(a, b) }()
		go func() { errs <- act(b, a) }()
		kinds := []fault.Kind{fault.KindOf(<-errs), fault.KindOf(<-errs)}
		slices.Sort(kinds)
		if want := []fault.Kind{"", fault.Refused}; !slices.Equal(kinds, want) {
			t.Fatalf("round %d: the answers are %q, want %q", round, kinds, want)
		}
		if !stillThere(t, s, a) {
			s.Owner = b
		}
		if !stillThere(t, s, s.Owner) {
			t.Fatalf("round %d: nobody is the owner", round)
		}
	}
}

func stillThere(t *testing.T, s *dbtest.Site, of firm.Person) bool {
	t.Helper()
	st, err := s.Firm.Standing(t.Context(), of, of.ID)
	is(t, "standing", err, "")
	return st.LeftAt.IsZero() && st.Role == firm.Owner
}

// Put on a job and taken off it, one press each; once more is no error.
func TestPutOnAndTakenOff(t *testing.T) {
	s := dbtest.New(t)
	ctx, orchard, mill := t.Context(), jobOf(t, s, s.Foreman, "14 Orchard Row"), jobOf(t, s, s.Foreman, "Mill Loft")
	tiler, client := s.AddTo(t, "Wanda Lisle", firm.Trade, words.Tiler, mill), s.AddTo(t, "Wim Haas", firm.Client, "")
	stranger := s.Found(t, "Marl & Sons")
	for range 2 {
		is(t, "put on", s.Firm.PutOn(ctx, s.Foreman, tiler.ID, orchard), "")
	}
	is(t, "a client, by the owner", s.Firm.PutOn(ctx, s.Owner, client.ID, orchard), "")
	jobs := map[string][]id.Job{}
	roster := func(by firm.Person) {
		t.Helper()
		all, err := s.Firm.Roster(ctx, by)
		is(t, "the roster", err, "")
		for _, st := range all {
			jobs[st.Name] = st.Team.Jobs
		}
	}
	roster(s.Foreman)
	if want := map[string]int{"Wanda Lisle": 2, "Wim Haas": 1, "Olek Nowik": 0}; len(jobs["Wanda Lisle"]) != 2 ||
		len(jobs["Wim Haas"]) != 1 || len(jobs["Olek Nowik"]) != 0 {
		t.Errorf("%v, want %v", jobs, want)
	}
	for range 2 {
		is(t, "taken off", s.Firm.TakeOff(ctx, s.Foreman, tiler.ID, orchard), "")
	}
	roster(s.Owner)
	if diff := cmp.Diff([]id.Job{mill}, jobs["Wanda Lisle"]); diff != "" {
		t.Error(diff)
	}
	for what, c := range map[string]struct {
		by   firm.Person
		of   id.Member
		job  id.Job
		want fault.Kind
	}{
		"by a trade":           {s.Electrician, tiler.ID, orchard, fault.Refused},
		"by another firm":      {stranger, tiler.ID, orchard, fault.NotFound},
		"a client, by foreman": {s.Foreman, client.ID, mill, fault.Refused},
		"no job":               {s.Foreman, tiler.ID, id.New[id.Job](), fault.NotFound},
		"nobody":               {s.Foreman, id.New[id.Member](), orchard, fault.NotFound},
	} {
		is(t, what+", on", s.Firm.PutOn(ctx, c.by, c.of, c.job), c.want)
		is(t, what+", off", s.Firm.TakeOff(ctx, c.by, c.of, c.job), c.want)
	}
	is(t, "who is on every job", s.Firm.PutOn(ctx, s.Foreman, s.Plumber.ID, orchard), fault.BadInput)
	is(t, "a foreman", s.Firm.PutOn(ctx, s.Owner, s.Foreman.ID, orchard), fault.BadInput)
}

// The owner sees who is signed in where, and ends one session or one key.
func TestTheOwnerEndsOneWayIn(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	_, phone, err := s.Firm.StartSession(ctx, s.Owner.Firm, s.Plumber.ID)
	is(t, "the phone", err, "")
	named, err := s.Firm.NameDevice(ctx, phone, "Chrome on Android")
	is(t, "its name", err, "")
	_, tablet, err := s.Firm.StartSession(ctx, s.Owner.Firm, s.Plumber.ID)
	is(t, "the tablet", err, "")
	key, _, err := s.Firm.MakeKey(ctx, s.Plumber, "the office", firm.KeyReads, 48*time.Hour)
	is(t, "a key", err, "")
	st := standing(t, s, s.Plumber.ID)
	if len(st.Sessions) != 2 || len(st.Keys) != 1 || st.Keys[0].ID != key.ID {
		t.Fatalf("the owner sees %+v", st)
	}
	for what, by := range map[string]firm.Person{"foreman": s.Foreman, "the plumber himself": s.Plumber} {
		is(t, what, s.Firm.EndSessionOf(ctx, by, s.Plumber.ID, named.ID), fault.Refused)
		is(t, what, s.Firm.EndKeyOf(ctx, by, s.Plumber.ID, key.ID), fault.Refused)
	}
	stranger := s.Found(t, "Marl & Sons")
	is(t, "another firm", s.Firm.EndSessionOf(ctx, stranger, s.Plumber.ID, named.ID), fault.NotFound)
	is(t, "another firm", s.Firm.EndKeyOf(ctx, stranger, s.Plumber.ID, key.ID), fault.NotFound)
	is(t, "not the electrician's", s.Firm.EndSessionOf(ctx, s.Owner, s.Electrician.ID, named.ID), fault.NotFound)
	is(t, "the phone", s.Firm.EndSessionOf(ctx, s.Owner, s.Plumber.ID, named.ID), "")
	is(t, "the key", s.Firm.EndKeyOf(ctx, s.Owner, s.Plumber.ID, key.ID), "")
	_, err = s.Firm.Session(ctx, phone)
	is(t, "the phone is out", err, fault.NotFound)
	_, err = s.Firm.Session(ctx, tablet)
	is(t, "the tablet is in", err, "")
	if st := standing(t, s, s.Plumber.ID); len(st.Sessions) != 1 || len(st.Keys) != 0 {
		t.Errorf("left are %+v", st)
	}
}

func fieldsOf(t *testing.T, err error) []fault.Field {
	t.Helper()
	var f *fault.Error
	if !errors.As(err, &f) {
		t.Fatalf("no fault: %v", err)
	}
	return f.Fields
}
