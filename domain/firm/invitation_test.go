package firm_test

import (
	"strings"
	"sync"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

func newJob(t *testing.T, s *dbtest.Site, name string) id.Job {
	t.Helper()
	j, err := s.Job.Create(t.Context(), s.Foreman, job.Job{Name: name})
	wantKind(t, name, err, "")
	return j.ID
}

// invited makes a code for an electrician on one new job.
func invited(t *testing.T, s *dbtest.Site, printed bool) (i firm.Invitation, code string) {
	t.Helper()
	i, code, err := s.Firm.Invite(t.Context(), s.Foreman, firm.Invitation{Role: firm.Trade, Trade: words.Electrician,
		Jobs: []id.Job{newJob(t, s, "14 Orchard Row")}, Printed: printed})
	wantKind(t, "invite", err, "")
	return i, code
}

// Whoever has the code belongs to the firm, for this trade, on the jobs named
// and on no others; the code works once.
func TestSomebodyIsInvited(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	i, code := invited(t, s, false)
	newJob(t, s, "Mill Loft")
	for range 2 { // looking uses nothing up
		got, f, err := s.Firm.InvitationByCode(ctx, code)
		if err != nil || f.Name != "Fell & Daughters" || got.Trade != words.Electrician || len(got.JobNames) != 1 ||
			got.JobNames[0] != "14 Orchard Row" {
			t.Fatalf("%+v of %q (%v)", got, f.Name, err)
		}
	}
	for _, name := range []string{"", " \n ", strings.Repeat("x", 121), "Ines Carro", " ines \u200b CARRO\u202e"} {
		_, _, err := s.Firm.Join(ctx, code, name)
		wantKind(t, name, err, fault.BadInput)
	}
	p, session, err := s.Firm.Join(ctx, code, "  Dara \u202e Quill\n")
	want := firm.Person{Firm: s.Owner.Firm, ID: p.ID, Name: "Dara Quill", Role: firm.Trade, Trade: words.Electrician}
	if err != nil || p != want {
		t.Fatalf("%+v (%v)", p, err)
	}
	if got, err := s.Firm.Session(ctx, session); err != nil || got != want {
		t.Errorf("the session is of %+v (%v)", got, err)
	}
	jobs, err := s.Job.Jobs(ctx, p)
	if err != nil || len(jobs) != 1 || jobs[0].ID != i.Jobs[0] {
		t.Errorf("sees %+v (%v)", jobs, err)
	}
	_, again, err := s.Firm.Join(ctx, code, "Pell Castor")
	wantKind(t, "a second time", err, fault.NotFound)
	if again != "" {
		t.Error("a second session")
	}
	_, _, err = s.Firm.InvitationByCode(ctx, code)
	wantKind(t, "look at one that was used", err, fault.NotFound)
	if open, err := s.Firm.Invitations(ctx, s.Foreman); err != nil || len(open) != 0 {
		t.Errorf("%+v still wait (%v)", open, err)
	}
}

// A code on the screen lasts ten minutes, a printed one until the day ends.
func TestHowLongACodeLasts(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	glass, code := invited(t, s, false)
	paper, printed := invited(t, s, true)
	if d := glass.EndsAt.Sub(glass.CreatedAt); d != 10*time.Minute { // OWASP ASVS 5.0, 6.5.5
		t.Errorf("on the glass %v", d)
	}
	if want := time.Date(2026, 3, 2, 23, 59, 59, 0, time.UTC); !paper.EndsAt.Equal(want) {
		t.Errorf("on paper until %v", paper.EndsAt)
	}
	s.Clock.Pass(11 * time.Minute)
	_, _, err := s.Firm.Join(ctx, code, "Dara Quill")
	wantKind(t, "on the glass after 11 minutes", err, fault.NotFound)
	s.Clock.Pass(paper.EndsAt.Sub(s.Clock.Now()) - time.Minute)
	_, _, err = s.Firm.InvitationByCode(ctx, printed)
	wantKind(t, "on paper in the evening", err, "")
	late, _ := invited(t, s, true)
	if d := late.EndsAt.Sub(late.CreatedAt); d != 10*time.Minute {
		t.Errorf("printed at midnight %v", d)
	}
	s.Clock.Pass(2 * time.Minute)
	_, _, err = s.Firm.Join(ctx, printed, "Dara Quill")
	wantKind(t, "on paper the next day", err, fault.NotFound)
}

// Of many phones that use one code at the same moment one gets in.
func TestManyPhonesAtOnce(t *testing.T) {
	s := dbtest.New(t)
	_, code := invited(t, s, false)
	names := []string{"Dara Quill", "Pell Castor", "Ola Brandt", "Ruth Aldous"}
	errs, start := make([]error, len(names)), make(chan struct{})
	var all sync.WaitGroup
	for n, name := range names {
		all.Go(func() {
			<-start
			_, _, errs[n] = s.Firm.Join(t.Context(), code, name)
		})
	}
	close(start)
	all.Wait()
	in := 0
	for _, err := range errs {
		switch fault.KindOf(err) {
		case "":
			if err != nil {
				t.Error(err)
			}
			in++
		case fault.NotFound:
		default:
			t.Error(err)
		}
	}
	members, err := s.Firm.Members(t.Context(), s.Owner)
	if err != nil || in != 1 || len(members) != 8 {
		t.Errorf("%d got in, %d are there (%v)", in, len(members), err)
	}
}

func TestWhoMayInvite(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	other := s.Found(t, "Marl & Sons")
	orchard := newJob(t, s, "14 Orchard Row")
	trade := firm.Invitation{Role: firm.Trade, Trade: words.Plumber, Jobs: []id.Job{orchard}}
	foreman := firm.Invitation{Role: firm.Foreman}
	client := s.AddTo(t, "Cleo Venn", firm.Client, "", orchard)
	for _, c := range []struct {
		what string
		by   firm.Person
		i    firm.Invitation
		want fault.Kind
	}{
		{"a trade by the foreman", s.Foreman, trade, ""},
		{"a trade by the owner", s.Owner, trade, ""},
		{"a trade by a trade", s.Plumber, trade, fault.Refused},
		{"a trade by a client", client, trade, fault.Refused},
		{"a foreman by the owner", s.Owner, foreman, ""},
		{"a foreman by the foreman", s.Foreman, foreman, fault.Refused},
		{"a trade on every job", s.Foreman, firm.Invitation{Role: firm.Trade, Trade: words.Joiner, EveryJob: true}, ""},
		{"another owner", s.Owner, firm.Invitation{Role: firm.Owner}, fault.BadInput},
		{"a client", s.Owner, firm.Invitation{Role: firm.Client, Jobs: []id.Job{orchard}}, fault.BadInput},
		{"a trade on no job", s.Foreman, firm.Invitation{Role: firm.Trade, Trade: words.Plumber}, fault.BadInput},
		{"no trade", s.Foreman, firm.Invitation{Role: firm.Trade, Jobs: []id.Job{orchard}}, fault.BadInput},
		{"the client's trade", s.Foreman, firm.Invitation{Role: firm.Trade, Trade: words.Client, Jobs: []id.Job{orchard}},
			fault.BadInput},
		{"a foreman on one job", s.Owner, firm.Invitation{Role: firm.Foreman, Jobs: []id.Job{orchard}}, fault.BadInput},
		{"on another firm's job", other, trade, fault.NotFound},
		{"with a key", func() firm.Person { p := s.Foreman; p.Key = firm.KeyRuns; return p }(), trade, fault.Refused},
	} {
		_, _, err := s.Firm.Invite(ctx, c.by, c.i)
		wantKind(t, c.what, err, c.want)
	}
	open, err := s.Firm.Invitations(ctx, s.Foreman)
	if err != nil || len(open) != 4 {
		t.Fatalf("%d wait (%v)", len(open), err)
	}
	if theirs, err := s.Firm.Invitations(ctx, other); err != nil || len(theirs) != 0 {
		t.Errorf("another firm sees %+v (%v)", theirs, err)
	}
	_, err = s.Firm.Invitations(ctx, s.Plumber)
	wantKind(t, "a trade looks", err, fault.Refused)
	wantKind(t, "a trade takes one back", s.Firm.RevokeInvitation(ctx, s.Plumber, open[0].ID), fault.Refused)
	wantKind(t, "another firm takes one back", s.Firm.RevokeInvitation(ctx, other, open[0].ID), fault.NotFound)
	wantKind(t, "the foreman takes one back", s.Firm.RevokeInvitation(ctx, s.Foreman, open[0].ID), "")
	wantKind(t, "twice", s.Firm.RevokeInvitation(ctx, s.Foreman, open[0].ID), fault.NotFound)
}

// A code leads nowhere once it is revoked, or its maker may no longer invite
// people; nor does one that was never made.
func TestCodesThatLeadNowhere(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	nowhere := func(what, code string) {
		t.Helper()
		_, _, err := s.Firm.InvitationByCode(ctx, code)
		wantKind(t, "look: "+what, err, fault.NotFound)
		_, _, err2 := s.Firm.Join(ctx, code, "Dara Quill")
		wantKind(t, "join: "+what, err2, fault.NotFound)
		if err == nil || err2 == nil || err.Error() != err2.Error() || !strings.Contains(err.Error(),
			"no longer works") {
			t.Errorf("%s: %v; %v", what, err, err2)
		}
	}
	i, code := invited(t, s, false)
	wantKind(t, "take back", s.Firm.RevokeInvitation(ctx, s.Owner, i.ID), "")
	nowhere("taken back", code)
	_, byForeman := invited(t, s, false)
	wantKind(t, "the inviter's ways in are ended", s.Firm.EndAccess(ctx, s.Owner, s.Foreman.ID), "")
	nowhere("by somebody whose phone was lost", byForeman)
	_, byForeman = invited(t, s, false)
	wantKind(t, "the inviter leaves", s.Firm.EndMember(ctx, s.Owner, s.Foreman.ID), "")
	nowhere("by somebody who left", byForeman)
	guess, _ := firm.NewToken(s.Owner.Firm)
	nowhere("guessed", guess)
	guess, _ = firm.NewToken(id.New[id.Firm]())
	nowhere("of no firm", guess)
	nowhere("too short", guess[:60])
	nowhere("empty", "")
	link, err := s.Firm.OneTimeLink(ctx, s.Owner, s.Plumber.ID)
	wantKind(t, "a link", err, "")
	nowhere("a link of another kind", link)
}

// Codes that nobody uses do not pile up.
func TestSoManyCodes(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	every := firm.Invitation{Role: firm.Trade, Trade: words.Tiler, EveryJob: true}
	for range firm.MaxInvitations {
		_, _, err := s.Firm.Invite(ctx, s.Foreman, every)
		wantKind(t, "one more", err, "")
	}
	_, _, err := s.Firm.Invite(ctx, s.Owner, every)
	wantKind(t, "one too many", err, fault.BadInput)
	s.Clock.Pass(firm.CodeLifetime)
	_, _, err = s.Firm.Invite(ctx, s.Owner, every)
	wantKind(t, "once they are over", err, "")
}

// A newcomer's link works for two days; whoever has been in gets ten minutes, and the first
// sign-in ends the links that were made before.
func TestHowLongALinkLasts(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	link := func() string {
		t.Helper()
		link, err := s.Firm.OneTimeLink(ctx, s.Owner, s.Plumber.ID)
		wantKind(t, "a link", err, "")
		return link
	}
	comesIn := func(what, link string, want fault.Kind) {
		t.Helper()
		_, _, err := s.Firm.SignIn(ctx, link)
		wantKind(t, what, err, want)
	}
	first, other := link(), link()
	s.Clock.Pass(firm.LinkLifetime - time.Minute)
	comesIn("a newcomer's", first, "")
	comesIn("a newcomer's other one", other, fault.NotFound)
	late := link()
	s.Clock.Pass(firm.CodeLifetime)
	comesIn("late", late, fault.NotFound)
	soon := link()
	s.Clock.Pass(firm.CodeLifetime - time.Minute)
	comesIn("in time", soon, "")
	wantKind(t, "everything is ended", s.Firm.EndAccess(ctx, s.Owner, s.Plumber.ID), "")
	late = link()
	s.Clock.Pass(firm.CodeLifetime)
	comesIn("after everything was ended", late, fault.NotFound)

	owner, _, err := s.Firm.Found(ctx, "Marl & Sons", "UTC", "Ivo Marl")
	wantKind(t, "a firm", err, "")
	_, late, err = s.Firm.Readmit(ctx, owner.Firm, "Ivo Marl")
	wantKind(t, "once more", err, "")
	s.Clock.Pass(firm.CodeLifetime)
	comesIn("the command line's second", late, fault.NotFound)
}

// People sign in on another device of theirs, within ten minutes and once.
func TestAnotherDevice(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	link, ends, err := s.Firm.NewDeviceLink(ctx, s.Plumber)
	wantKind(t, "a link", err, "")
	if d := ends.Sub(s.Clock.Now()); d > 10*time.Minute || d < 9*time.Minute {
		t.Errorf("it lasts %v", d)
	}
	p, _, err := s.Firm.SignIn(ctx, link)
	if err != nil || p != s.Plumber {
		t.Errorf("%+v (%v)", p, err)
	}
	_, _, err = s.Firm.SignIn(ctx, link)
	wantKind(t, "twice", err, fault.NotFound)
	link, _, err = s.Firm.NewDeviceLink(ctx, s.Plumber)
	wantKind(t, "another", err, "")
	s.Clock.Pass(11 * time.Minute)
	_, _, err = s.Firm.SignIn(ctx, link)
	wantKind(t, "late", err, fault.NotFound)
	keyed := s.Plumber
	keyed.Key = firm.KeyRuns
	_, _, err = s.Firm.NewDeviceLink(ctx, keyed)
	wantKind(t, "with a key", err, fault.Refused)
}
