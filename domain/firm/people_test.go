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
	wantKind(t, name, err, "")
	return j.ID
}

func profile(t *testing.T, s *dbtest.Site, of id.Member) firm.Profile {
	t.Helper()
	st, err := s.Firm.Profile(t.Context(), s.Owner, of)
	wantKind(t, "standing", err, "")
	return st
}

// Somebody is taken on with all particulars, once.
func TestTakenOnWithAllThatIsSaid(t *testing.T) {
	s := dbtest.New(t)
	ctx, orchard := t.Context(), jobOf(t, s, s.Foreman, "14 Orchard Row")
	tiler := firm.Particulars{Name: " Wanda Lisle ", Role: firm.Trade, Trade: words.Tiler, Email: "Wanda@Lisle.example",
		Team: firm.Team{Jobs: []id.Job{orchard, orchard}}}
	of := id.New[id.Member]()
	for range 2 { // a repeat is no error
		st, err := s.Firm.TakeOn(ctx, s.Owner, of, tiler)
		wantKind(t, "take on", err, "")
		if st.Name != "Wanda Lisle" || st.Email != "wanda@lisle.example" || !slices.Equal(st.Team.Jobs, []id.Job{orchard}) {
			t.Errorf("taken on: %+v", st)
		}
	}
	if got := profile(t, s, of); got.Name != "Wanda Lisle" || got.Email != "wanda@lisle.example" ||
		!slices.Equal(got.Team.Jobs, []id.Job{orchard}) {
		t.Errorf("stands as %+v", got)
	}
	other := tiler
	other.Name = "Somebody else"
	_, err := s.Firm.TakeOn(ctx, s.Owner, of, other)
	wantKind(t, "another under the same id", err, fault.Conflict)

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
		wantKind(t, what, err, c.want)
	}
	all, err := s.Firm.Members(ctx, s.Owner)
	if wantKind(t, "members", err, ""); len(all) != 8 {
		t.Errorf("%d members: what was refused added somebody", len(all))
	}
}

// Both things that are wrong are reported at once.
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

// A change takes effect at once; a state that somebody else changed is not
// overwritten.
func TestTwoOwnersChangeTheSamePerson(t *testing.T) {
	s := dbtest.New(t)
	ctx, orchard := t.Context(), jobOf(t, s, s.Foreman, "14 Orchard Row")
	_, session, err := s.Firm.StartSession(ctx, s.Owner.Firm, s.Plumber.ID)
	wantKind(t, "a session", err, "")
	seen := profile(t, s, s.Plumber.ID).Version()
	change := func(version int64, p firm.Particulars) error {
		return s.Firm.UpdateMember(ctx, s.Owner, s.Plumber.ID, version, p)
	}
	wantKind(t, "foreman", change(seen, firm.Particulars{Name: "Olek Nowik", Role: firm.Foreman,
		Team: firm.Team{EveryJob: true}}), "")
	if p, err := s.Firm.Session(ctx, session); err != nil || p.Role != firm.Foreman || p.EveryJob || p.Trade != "" {
		t.Errorf("at the next request the plumber is %+v (%v)", p, err)
	}
	wantKind(t, "from the old page",
		change(seen, firm.Particulars{Name: "Olek Nowik", Role: firm.Trade, Trade: words.Tiler}),
		fault.Conflict)
	wantKind(t, "from the new page", change(profile(t, s, s.Plumber.ID).Version(), firm.Particulars{Name: "Olek Nowik",
		Role: firm.Trade, Trade: words.Plumber}), "")

	seen = profile(t, s, s.Plumber.ID).Version()
	wantKind(t, "the foreman adds the plumber to a job", s.Firm.AddToJob(ctx, s.Foreman, s.Plumber.ID, orchard), "")
	wantKind(t, "the owner, who did not see that", change(seen, firm.Particulars{Name: "Olek Nowik", Role: firm.Client}),
		fault.Conflict)
	seen = profile(t, s, s.Plumber.ID).Version()
	wantKind(t, "let go", s.Firm.EndMember(ctx, s.Owner, s.Plumber.ID), "")
	wantKind(t, "the owner, who did not see that", change(seen, firm.Particulars{Name: "Olek Nowik", Role: firm.Client}),
		fault.Conflict)
	wantKind(t, "somebody who left", change(0, firm.Particulars{Name: "Olek Nowik", Role: firm.Client}), fault.NotFound)
}

func TestWhoUpdatesMembers(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	as := firm.Particulars{Name: "Ada Fell", Role: firm.Foreman}
	wantKind(t, "the owner's own role", s.Firm.UpdateMember(ctx, s.Owner, s.Owner.ID, 0, as), fault.BadInput)
	wantKind(t, "by the foreman", s.Firm.UpdateMember(ctx, s.Foreman, s.Plumber.ID, 0, as), fault.Refused)
	wantKind(t, "by another firm", s.Firm.UpdateMember(ctx, s.Found(t, "Marl & Sons"), s.Plumber.ID, 0, as),
		fault.NotFound)
	_, err := s.Firm.Profile(ctx, s.Foreman, s.Plumber.ID)
	wantKind(t, "looked at by the foreman", err, fault.Refused)
	_, err = s.Firm.Profile(ctx, s.Found(t, "Elsewhere"), s.Plumber.ID)
	wantKind(t, "looked at by another firm", err, fault.NotFound)
	_, err = s.Firm.Roster(ctx, s.Plumber)
	wantKind(t, "the roster, for a trade", err, fault.Refused)
}

// If two owners remove each other at the same moment, or make each other
// foremen, one owner is left.
func TestOneOwnerStays(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	for round, act := range []func(by firm.Person, of firm.Person) error{
		func(by, of firm.Person) error { return s.Firm.EndMember(ctx, by, of.ID) },
		func(by, of firm.Person) error {
			return s.Firm.UpdateMember(ctx, by, of.ID, 0, firm.Particulars{Name: of.Name, Role: firm.Foreman})
		},
	} {
		st, err := s.Firm.TakeOn(ctx, s.Owner, id.Member{}, firm.Particulars{Name: fmt.Sprintf("Ivo %d Fell", round),
			Role: firm.Owner})
		wantKind(t, "a second owner", err, "")
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
	st, err := s.Firm.Profile(t.Context(), of, of.ID)
	wantKind(t, "standing", err, "")
	return st.LeftAt.IsZero() && st.Role == firm.Owner
}

// Put on a job and taken off it, one press each; once more is no error.
func TestAddedToAJobAndRemoved(t *testing.T) {
	s := dbtest.New(t)
	ctx, orchard, mill := t.Context(), jobOf(t, s, s.Foreman, "14 Orchard Row"), jobOf(t, s, s.Foreman, "Mill Loft")
	tiler, client := s.AddTo(t, "Wanda Lisle", firm.Trade, words.Tiler, mill), s.AddTo(t, "Wim Haas", firm.Client, "")
	stranger := s.Found(t, "Marl & Sons")
	for range 2 {
		wantKind(t, "put on", s.Firm.AddToJob(ctx, s.Foreman, tiler.ID, orchard), "")
	}
	wantKind(t, "a client, by the owner", s.Firm.AddToJob(ctx, s.Owner, client.ID, orchard), "")
	jobs := map[string][]id.Job{}
	roster := func(by firm.Person) {
		t.Helper()
		all, err := s.Firm.Roster(ctx, by)
		wantKind(t, "the roster", err, "")
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
		wantKind(t, "taken off", s.Firm.RemoveFromJob(ctx, s.Foreman, tiler.ID, orchard), "")
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
		wantKind(t, what+", on", s.Firm.AddToJob(ctx, c.by, c.of, c.job), c.want)
		wantKind(t, what+", off", s.Firm.RemoveFromJob(ctx, c.by, c.of, c.job), c.want)
	}
	wantKind(t, "who is on every job", s.Firm.AddToJob(ctx, s.Foreman, s.Plumber.ID, orchard), fault.BadInput)
	wantKind(t, "a foreman", s.Firm.AddToJob(ctx, s.Owner, s.Foreman.ID, orchard), fault.BadInput)
}

// The owner sees who is signed in where, and ends one session or one key.
func TestTheOwnerEndsOneWayIn(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	_, phone, err := s.Firm.StartSession(ctx, s.Owner.Firm, s.Plumber.ID)
	wantKind(t, "the phone", err, "")
	named, err := s.Firm.NameDevice(ctx, phone, "Chrome on Android")
	wantKind(t, "its name", err, "")
	_, tablet, err := s.Firm.StartSession(ctx, s.Owner.Firm, s.Plumber.ID)
	wantKind(t, "the tablet", err, "")
	key, _, err := s.Firm.MakeKey(ctx, s.Plumber, "the office", firm.KeyReads, 48*time.Hour)
	wantKind(t, "a key", err, "")
	st := profile(t, s, s.Plumber.ID)
	if len(st.Sessions) != 2 || len(st.Keys) != 1 || st.Keys[0].ID != key.ID {
		t.Fatalf("the owner sees %+v", st)
	}
	for what, by := range map[string]firm.Person{"foreman": s.Foreman, "the plumber": s.Plumber} {
		wantKind(t, what, s.Firm.EndSessionOf(ctx, by, s.Plumber.ID, named.ID), fault.Refused)
		wantKind(t, what, s.Firm.EndKeyOf(ctx, by, s.Plumber.ID, key.ID), fault.Refused)
	}
	stranger := s.Found(t, "Marl & Sons")
	wantKind(t, "another firm", s.Firm.EndSessionOf(ctx, stranger, s.Plumber.ID, named.ID), fault.NotFound)
	wantKind(t, "another firm", s.Firm.EndKeyOf(ctx, stranger, s.Plumber.ID, key.ID), fault.NotFound)
	wantKind(t, "not the electrician's", s.Firm.EndSessionOf(ctx, s.Owner, s.Electrician.ID, named.ID), fault.NotFound)
	wantKind(t, "the phone", s.Firm.EndSessionOf(ctx, s.Owner, s.Plumber.ID, named.ID), "")
	wantKind(t, "the key", s.Firm.EndKeyOf(ctx, s.Owner, s.Plumber.ID, key.ID), "")
	_, err = s.Firm.Session(ctx, phone)
	wantKind(t, "the phone is out", err, fault.NotFound)
	_, err = s.Firm.Session(ctx, tablet)
	wantKind(t, "the tablet is in", err, "")
	if st := profile(t, s, s.Plumber.ID); len(st.Sessions) != 1 || len(st.Keys) != 0 {
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
