package firm_test

import (
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

func wantKind(t *testing.T, what string, err error, kind fault.Kind) {
	t.Helper()
	if fault.KindOf(err) != kind || kind == "" && err != nil {
		t.Errorf("%s: want %q, got %v", what, kind, err)
	}
}

// The first owner signs in by a link that works once and not for ever.
func TestTheFirstOwnerComesInOnce(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	owner, link, err := s.Firm.Found(ctx, "Marl & Sons", "UTC", "Ivo Marl")
	if err != nil {
		t.Fatal(err)
	}
	p, session, err := s.Firm.SignIn(ctx, link)
	if err != nil || p != owner || p.Initials() != "IM" {
		t.Fatalf("%+v came in, want %+v (%v)", p, owner, err)
	}
	_, _, err = s.Firm.SignIn(ctx, link)
	wantKind(t, "the same link again", err, fault.NotFound)
	if got, err := s.Firm.Session(ctx, session); err != nil || got != owner {
		t.Errorf("the session is of %+v (%v)", got, err)
	}
	wantKind(t, "end the session", s.Firm.EndSession(ctx, session), "")
	wantKind(t, "end it again", s.Firm.EndSession(ctx, session), "")
	_, err = s.Firm.Session(ctx, session)
	wantKind(t, "an ended session", err, fault.NotFound)

	late, err := s.Firm.OneTimeLink(ctx, owner, owner.ID)
	wantKind(t, "a new link", err, "")
	s.Clock.Pass(firm.LinkLifetime + time.Minute)
	_, _, err = s.Firm.SignIn(ctx, late)
	wantKind(t, "a link that ran out", err, fault.NotFound)
	for _, bad := range []string{"", "x", link[:20], link + "AA", late[:len(late)-4] + "AAAA"} {
		_, _, err = s.Firm.SignIn(ctx, bad)
		wantKind(t, "link "+bad, err, fault.NotFound)
		_, err = s.Firm.Session(ctx, bad)
		wantKind(t, "session "+bad, err, fault.NotFound)
	}
	_, _, err = s.Firm.Found(ctx, " ", "UTC", "Ivo Marl")
	wantKind(t, "a firm without a name", err, fault.BadInput)
	_, _, err = s.Firm.Found(ctx, strings.Repeat("ü", 120), "UTC", "Ivo Marl")
	wantKind(t, "a name of 120 characters", err, "")
	_, _, err = s.Firm.Found(ctx, strings.Repeat("ü", 121), "UTC", "Ivo Marl")
	wantKind(t, "a name of 121 characters", err, fault.BadInput)
}

// Whoever leaves is out at once; what they wrote keeps their name.
func TestWhoLeavesIsOut(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	_, session, err := s.Firm.StartSession(ctx, s.Plumber.Firm, s.Plumber.ID)
	wantKind(t, "a session", err, "")
	link, err := s.Firm.OneTimeLink(ctx, s.Owner, s.Plumber.ID)
	wantKind(t, "a link", err, "")
	wantKind(t, "by the foreman", s.Firm.EndMember(ctx, s.Foreman, s.Plumber.ID), fault.Refused)
	wantKind(t, "oneself", s.Firm.EndMember(ctx, s.Owner, s.Owner.ID), fault.Refused)
	wantKind(t, "by the owner", s.Firm.EndMember(ctx, s.Owner, s.Plumber.ID), "")
	wantKind(t, "somebody else's", s.Firm.EndMember(ctx, s.Found(t, "Marl & Sons"), s.Foreman.ID), fault.NotFound)
	_, err = s.Firm.Session(ctx, session)
	wantKind(t, "the leaver's session", err, fault.NotFound)
	_, _, err = s.Firm.SignIn(ctx, link)
	wantKind(t, "the leaver's link", err, fault.NotFound)
	_, _, err = s.Firm.StartSession(ctx, s.Plumber.Firm, s.Plumber.ID)
	wantKind(t, "a new session", err, fault.NotFound)
	all, err := s.Firm.Members(ctx, s.Electrician)
	if err != nil || all[len(all)-1].ID != s.Plumber.ID || all[len(all)-1].LeftAt.IsZero() {
		t.Errorf("%+v (%v)", all, err)
	}
}

func TestPeopleAreAdded(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	of, tiler := id.New[id.Member](), firm.Particulars{Name: " Pia Lund ", Role: firm.Trade, Trade: words.Tiler}
	first, err := s.Firm.TakeOn(ctx, s.Owner, of, tiler)
	wantKind(t, "a tiler", err, "")
	again, err := s.Firm.TakeOn(ctx, s.Owner, of, tiler)
	wantKind(t, "again", err, "")
	if d := cmp.Diff(first.Member, again.Member); d != "" || first.Name != "Pia Lund" {
		t.Error(d)
	}
	tiler.Name = "Pia Berg"
	_, err = s.Firm.TakeOn(ctx, s.Owner, of, tiler)
	wantKind(t, "another under the same id", err, fault.Conflict)
	_, err = s.Firm.TakeOn(ctx, s.Foreman, of, firm.Particulars{Name: "X", Role: firm.Foreman})
	wantKind(t, "by the foreman", err, fault.Refused)
	for what, p := range map[string]firm.Particulars{
		"no name":             {Role: firm.Foreman},
		"no role":             {Name: "X"},
		"a trade of none":     {Name: "X", Role: firm.Trade},
		"the foreman's":       {Name: "X", Role: firm.Trade, Trade: words.Foreman},
		"a foreman who tiles": {Name: "X", Role: firm.Foreman, Trade: words.Tiler},
		"two lines":           {Name: "X\nY", Role: firm.Owner},
	} {
		_, err := s.Firm.TakeOn(ctx, s.Owner, id.Member{}, p)
		wantKind(t, what, err, fault.BadInput)
	}
}

func TestStandardBuildUps(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	b := firm.BuildUp{ID: id.New[id.BuildUp](), Name: "dot and dab, board and skim", Layers: []firm.Layer{
		{Name: "dabs", Thickness: 15, Sigma: 4, Stage: words.Boarding}, {Name: "board", Thickness: 12.5,
			Stage: words.Boarding},
		{Name: "skim", Thickness: 3, Stage: words.Plaster}}}
	for range 2 {
		_, err := s.Firm.SaveBuildUp(ctx, s.Owner, b)
		wantKind(t, "save", err, "")
	}
	b.Layers = b.Layers[1:]
	_, err := s.Firm.SaveBuildUp(ctx, s.Foreman, b)
	wantKind(t, "save by the foreman", err, "")
	all, err := s.Firm.BuildUps(ctx, s.Electrician)
	if d := cmp.Diff([]firm.BuildUp{b}, all); d != "" || err != nil {
		t.Errorf("%s (%v)", d, err)
	}
	_, err = s.Firm.SaveBuildUp(ctx, s.Owner, firm.BuildUp{Name: b.Name, Layers: b.Layers})
	wantKind(t, "a name that is taken", err, fault.Conflict)
	_, err = s.Firm.SaveBuildUp(ctx, s.Plumber, b)
	wantKind(t, "by a trade", err, fault.Refused)
	for what, layers := range map[string][]firm.Layer{
		"no layers":    nil,
		"bare":         {{Name: "bare", Thickness: 1}},
		"twice":        {{Name: "board", Thickness: 1}, {Name: "board", Thickness: 1}},
		"no thickness": {{Name: "board"}},
	} {
		_, err := s.Firm.SaveBuildUp(ctx, s.Owner, firm.BuildUp{Name: "x", Layers: layers})
		wantKind(t, what, err, fault.BadInput)
	}
	if other, err := s.Firm.BuildUps(ctx, s.Found(t, "Marl & Sons")); err != nil || len(other) > 0 {
		t.Errorf("another firm sees %v (%v)", other, err)
	}
}

func TestInitials(t *testing.T) {
	for name, want := range map[string]string{"Ada Fell": "AF", "élise van der berg": "ÉVDB", " ": ""} {
		if got := (firm.Person{Name: name}).Initials(); got != want {
			t.Errorf("%q signs %q, want %q", name, got, want)
		}
	}
}
