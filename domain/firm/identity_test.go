package firm_test

import (
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/persistence/dbtest"
)

const issuer = "https://login.example"

// doors signs people in with a provider, each time in a new attempt.
type doors struct {
	*dbtest.Site
	t *testing.T
	n byte
}

func (d *doors) proof(subject, email string) firm.Proof {
	return firm.Proof{Identity: firm.Identity{Issuer: issuer, Subject: subject}, Email: email, Session: "at " + subject,
		IssuedAt: d.Clock.Now()}
}

func (d *doors) attempt() firm.Hash { d.n++; return firm.Hash{d.n} }

// in returns who is signed in; there has to be one firm, or none.
func (d *doors) in(p firm.Proof) (by firm.Person, session string) {
	d.t.Helper()
	attempt := d.attempt()
	places, err := d.Firm.Recognise(d.t.Context(), attempt, "", p)
	if err != nil || len(places) > 1 {
		d.t.Fatalf("%+v is known in %+v (%v)", p, places, err)
	}
	if len(places) == 0 {
		return firm.Person{}, ""
	}
	by, session, _, err = d.Firm.Choose(d.t.Context(), attempt, "", places[0].Firm, places[0].Person.ID)
	if err != nil {
		d.t.Fatal(err)
	}
	return by, session
}

func (d *doors) email(of firm.Person, email string) {
	d.t.Helper()
	if err := d.Firm.SetEmail(d.t.Context(), d.Owner, of.ID, email); err != nil {
		d.t.Fatal(err)
	}
}

func (d *doors) lasts(session string) bool {
	d.t.Helper()
	_, err := d.Firm.Session(d.t.Context(), session)
	if kind := fault.KindOf(err); err != nil && kind != fault.NotFound {
		d.t.Fatal(err)
	}
	return err == nil
}

// The first time, the e-mail address identifies the person; from then on the
// subject does.
func TestASubjectIsKnownByItsEmailOnce(t *testing.T) {
	d := &doors{Site: dbtest.New(t), t: t}
	if by, _ := d.in(d.proof("ines", "ines@fell.example")); !by.ID.IsZero() {
		t.Errorf("%s came in without being known", by.Name)
	}
	d.email(d.Electrician, "Ines@Fell.example")
	if by, _ := d.in(d.proof("ines", "")); !by.ID.IsZero() {
		t.Errorf("%s came in without an e-mail", by.Name)
	}
	by, session := d.in(d.proof("ines", "ines@fell.example"))
	if by != d.Electrician || !d.lasts(session) {
		t.Fatalf("%+v came in", by)
	}
	if by, _ := d.in(d.proof("ines", "")); by != d.Electrician {
		t.Errorf("known by the subject came in: %+v", by)
	}
	// The mailbox is somebody else's now: another subject, the same e-mail.
	if by, _ := d.in(d.proof("new", "ines@fell.example")); !by.ID.IsZero() {
		t.Errorf("with a passed-on e-mail %s came in", by.Name)
	}
	// The provider has another e-mail address for the subject: that changes
	// nothing.
	if by, _ := d.in(d.proof("ines", "carro@fell.example")); by != d.Electrician {
		t.Errorf("with another e-mail came in: %+v", by)
	}
	// Another provider does not know the electrician yet.
	other := d.proof("i.carro", "ines@fell.example")
	other.Issuer = "https://other.example"
	if by, _ := d.in(other); by != d.Electrician {
		t.Errorf("at another provider came in: %+v", by)
	}
}

// A new e-mail address ends what the old one let in, and so does leaving.
func TestTakingAnEmailBack(t *testing.T) {
	d := &doors{Site: dbtest.New(t), t: t}
	d.email(d.Electrician, "wrong@fell.example")
	_, session := d.in(d.proof("wrong", "wrong@fell.example"))
	_, own, err := d.Firm.StartSession(t.Context(), d.Electrician.Firm, d.Electrician.ID)
	wantKind(t, "another way in", err, "")
	d.email(d.Electrician, "WRONG@fell.example")
	if !d.lasts(session) {
		t.Error("the same e-mail once more ended the session")
	}
	d.email(d.Electrician, "ines@fell.example")
	if d.lasts(session) || !d.lasts(own) {
		t.Error("it must end what came by the old e-mail, and that alone")
	}
	if by, _ := d.in(d.proof("wrong", "wrong@fell.example")); !by.ID.IsZero() {
		t.Errorf("by the old e-mail came in: %s", by.Name)
	}
	if by, _ := d.in(d.proof("ines", "ines@fell.example")); by != d.Electrician {
		t.Errorf("by the new e-mail came in: %+v", by)
	}
	wantKind(t, "end a membership", d.Firm.EndMember(t.Context(), d.Owner, d.Electrician.ID), "")
	if by, _ := d.in(d.proof("ines", "ines@fell.example")); !by.ID.IsZero() {
		t.Errorf("after leaving came in: %s", by.Name)
	}
	d.email(d.Plumber, "ines@fell.example") // it is free again
	if by, _ := d.in(d.proof("ines", "ines@fell.example")); by != d.Plumber {
		t.Errorf("the e-mail's next holder: %+v", by)
	}
}

func TestWhoSetsAnEmail(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	set := func(by firm.Person, of id.Member, email string) error { return s.Firm.SetEmail(ctx, by, of, email) }
	wantKind(t, "by the foreman", set(s.Foreman, s.Foreman.ID, "bram@fell.example"), fault.Refused)
	wantKind(t, "by another firm", set(s.Found(t, "Marl & Sons"), s.Foreman.ID, "bram@fell.example"), fault.NotFound)
	wantKind(t, "of nobody", set(s.Owner, id.New[id.Member](), "bram@fell.example"), fault.NotFound)
	wantKind(t, "no e-mail", set(s.Owner, s.Foreman.ID, "bram"), fault.BadInput)
	wantKind(t, "by the owner", set(s.Owner, s.Foreman.ID, "bram@fell.example"), "")
	wantKind(t, "of two", set(s.Owner, s.Plumber.ID, "Bram@fell.example"), fault.Conflict)
	for who, sees := range map[firm.Person]string{s.Owner: "bram@fell.example", s.Foreman: "bram@fell.example",
		s.Plumber: ""} {
		all, err := s.Firm.Members(ctx, who)
		wantKind(t, "the people", err, "")
		for _, m := range all {
			if m.ID == s.Foreman.ID && m.Email != sees {
				t.Errorf("%s sees the foreman's e-mail as %q", who.Name, m.Email)
			}
		}
	}
	wantKind(t, "none", set(s.Owner, s.Foreman.ID, ""), "")
}

// Somebody of two firms chooses one, once.
func TestSomebodyOfTwoFirmsChooses(t *testing.T) {
	d := &doors{Site: dbtest.New(t), t: t}
	ctx := t.Context()
	other := d.Found(t, "Marl & Sons")
	wantKind(t, "theirs", d.Firm.SetEmail(ctx, other, other.ID, "ada@fell.example"), "")
	d.email(d.Owner, "ada@fell.example")
	third := d.Found(t, "Elsewhere")
	p, attempt := d.proof("ada", "ada@fell.example"), d.attempt()
	places, err := d.Firm.Recognise(ctx, attempt, "", p)
	if err != nil || len(places) != 2 || places[0].FirmName == places[1].FirmName {
		t.Fatalf("%+v (%v)", places, err)
	}
	_, err = d.Firm.Recognise(ctx, attempt, "", p)
	wantKind(t, "the same attempt again", err, fault.NotFound)
	by, session, _, err := d.Firm.Choose(ctx, attempt, "", other.Firm, other.ID)
	if err != nil || by != other || !d.lasts(session) {
		t.Errorf("%+v came in (%v)", by, err)
	}
	_, _, _, err = d.Firm.Choose(ctx, attempt, "", d.Owner.Firm, d.Owner.ID)
	wantKind(t, "the other one as well", err, fault.NotFound)

	attempt = d.attempt()
	_, err = d.Firm.Recognise(ctx, attempt, "", p)
	wantKind(t, "another attempt", err, "")
	_, _, _, err = d.Firm.Choose(ctx, attempt, "", third.Firm, third.ID)
	wantKind(t, "a firm that does not know the person", err, fault.NotFound)

	attempt = d.attempt()
	_, err = d.Firm.Recognise(ctx, attempt, "", p)
	wantKind(t, "a third attempt", err, "")
	d.Clock.Pass(firm.AttemptLifetime)
	_, _, _, err = d.Firm.Choose(ctx, attempt, "", d.Owner.Firm, d.Owner.ID)
	wantKind(t, "too late", err, fault.NotFound)
	_, _, _, err = d.Firm.Choose(ctx, firm.Hash{99}, "", d.Owner.Firm, d.Owner.ID)
	wantKind(t, "an attempt that never was", err, fault.NotFound)
}

// A link that is used with a provider ties the two for good: no e-mail address
// is needed.
func TestALinkUsedWithAProvider(t *testing.T) {
	d := &doors{Site: dbtest.New(t), t: t}
	ctx := t.Context()
	link := func(of firm.Person) string {
		t.Helper()
		link, err := d.Firm.OneTimeLink(ctx, d.Owner, of.ID)
		wantKind(t, "a link", err, "")
		return link
	}
	tie := func(link string, attempt firm.Hash, p firm.Proof) (by firm.Person, session string, err error) {
		places, err := d.Firm.Recognise(ctx, attempt, link, p)
		if err != nil {
			return by, "", err
		}
		if len(places) != 1 || places[0].FirmName == "" {
			t.Fatalf("a link leads to %+v", places)
		}
		by, session, _, err = d.Firm.Choose(ctx, attempt, link, places[0].Firm, places[0].Person.ID)
		return by, session, err
	}
	first, attempt := link(d.Plumber), d.attempt()
	by, session, err := tie(first, attempt, d.proof("olek", ""))
	if err != nil || by != d.Plumber || !d.lasts(session) {
		t.Fatalf("%+v came in (%v)", by, err)
	}
	_, _, err = tie(first, d.attempt(), d.proof("thief", ""))
	wantKind(t, "the link again", err, fault.NotFound)
	_, _, err = tie(link(d.Plumber), attempt, d.proof("olek", ""))
	wantKind(t, "the attempt again", err, fault.NotFound)
	_, _, err = tie("x", d.attempt(), d.proof("olek", ""))
	wantKind(t, "no link at all", err, fault.NotFound)
	if by, _ := d.in(d.proof("olek", "")); by != d.Plumber {
		t.Errorf("afterwards %+v comes in", by)
	}
	_, _, err = tie(link(d.DryLiner), d.attempt(), d.proof("olek", ""))
	wantKind(t, "as somebody else of the firm", err, fault.Conflict)
	// A new link replaces the identity, and ends what the old one began.
	if _, _, err = tie(link(d.Plumber), d.attempt(), d.proof("nowik", "")); err != nil ||
		d.lasts(session) {
		t.Errorf("the old account's session lasts (%v)", err)
	}
	if by, _ := d.in(d.proof("olek", "")); !by.ID.IsZero() {
		t.Errorf("with the old account came in: %s", by.Name)
	}
}

// Signing out at the provider ends what came from it, and only that: by the
// session there or by the subject, in every firm; repeated, it ends nothing
// that began later.
func TestGoingOutAtTheProvider(t *testing.T) {
	d := &doors{Site: dbtest.New(t), t: t}
	ctx := t.Context()
	d.email(d.Plumber, "olek@fell.example")
	d.email(d.DryLiner, "tess@fell.example")
	_, own, err := d.Firm.StartSession(ctx, d.Plumber.Firm, d.Plumber.ID)
	wantKind(t, "by a link", err, "")
	begin := func(subject, at string) string {
		p := d.proof(subject, subject+"@fell.example")
		p.Session = at
		_, session := d.in(p)
		return session
	}
	phone, desk, tess := begin("olek", "phone"), begin("olek", "desk"), begin("tess", "")
	word := func(issuer, subject, at string) firm.Logout {
		return firm.Logout{Identity: firm.Identity{Issuer: issuer, Subject: subject}, Session: at, At: d.Clock.Now()}
	}
	for _, g := range []firm.Logout{word("https://other.example", "olek", "phone"), word(issuer, "", "other"),
		word(issuer, "tess", "phone"), word(issuer, "", "")} {
		wantKind(t, "somebody else's word", d.Firm.LogOut(ctx, g), "")
	}
	if !d.lasts(phone) || !d.lasts(desk) || !d.lasts(tess) {
		t.Error("a word about something else ended a session")
	}
	wantKind(t, "out on the phone", d.Firm.LogOut(ctx, word(issuer, "", "phone")), "")
	if d.lasts(phone) || !d.lasts(desk) {
		t.Error("it must end the phone's session alone")
	}
	out := word(issuer, "olek", "")
	wantKind(t, "out everywhere", d.Firm.LogOut(ctx, out), "")
	if d.lasts(desk) || !d.lasts(own) || !d.lasts(tess) {
		t.Error("it must end what came from the provider, and that only")
	}
	again := begin("olek", "phone")
	wantKind(t, "the same word again", d.Firm.LogOut(ctx, out), "")
	if !d.lasts(again) {
		t.Error("a word said twice ended a later session")
	}
}

func TestCheckEmail(t *testing.T) {
	for in, want := range map[string]string{
		" Ada.Fell@Fell.Example ":  "ada.fell@fell.example",
		"ada+site@fell.example":    "ada+site@fell.example",
		"BJÖRK@fell.example":       "bjÖrk@fell.example",
		"fran\u212A@fell.example":  "fran\u212A@fell.example", // the Kelvin sign is not a k
		"\u0130da@fell.example":    "\u0130da@fell.example",   // nor is the dotted capital an i
		"":                         "",
		"ada":                      "",
		"@fell.example":            "",
		"ada@":                     "",
		"ada@fell@example":         "",
		"ada fell@fell.example":    "",
		"ada@fell.example\nBcc: x": "",
		"ada\x00@fell.example":     "",
		"ada\xff@fell.example":     "",
		strings.Repeat("a", 241) + "@fell.example": strings.Repeat("a", 241) + "@fell.example",
		strings.Repeat("a", 242) + "@fell.example": "",
	} {
		got, err := firm.CheckEmail(in)
		if got != want || (err == nil) != (want != "") {
			t.Errorf("%q is kept as %q, want %q (%v)", in, got, want, err)
		}
	}
}

// Whoever is asked is told who they would be, and that the account would be tied to
// them; nothing is before they say so, and nobody else gets it.
func TestAnAccountIsTiedOnlyWhenAsked(t *testing.T) {
	d := &doors{Site: dbtest.New(t), t: t}
	ctx := t.Context()
	d.email(d.Electrician, "ines@fell.example")
	p, attempt := d.proof("ines", "ines@fell.example"), d.attempt()
	places, err := d.Firm.Recognise(ctx, attempt, "", p)
	if err != nil || len(places) != 1 || !places[0].Ties || places[0].Person != d.Electrician {
		t.Fatalf("%+v (%v)", places, err)
	}
	if profile, err := d.Firm.Profile(ctx, d.Owner, d.Electrician.ID); err != nil || len(profile.KnownBy) != 0 {
		t.Errorf("tied already: %+v (%v)", profile.KnownBy, err)
	}
	// The address goes to somebody else before the answer comes.
	d.email(d.Electrician, "")
	d.email(d.Plumber, "ines@fell.example")
	_, _, _, err = d.Firm.Choose(ctx, attempt, "", d.Owner.Firm, d.Electrician.ID)
	wantKind(t, "as whom it no longer names", err, fault.NotFound)
	if by, _ := d.in(p); by != d.Plumber {
		t.Errorf("%s is in", by.Name)
	}
	if places, err = d.Firm.Recognise(ctx, d.attempt(), "", p); err != nil || len(places) != 1 || places[0].Ties {
		t.Errorf("once tied it is asked again: %+v (%v)", places, err)
	}
}

// A sign-in is fresh for a while after the person proved who they are, which a provider may
// have seen long before it says so, or not tell.
func TestHowLongASignInIsFresh(t *testing.T) {
	d := &doors{Site: dbtest.New(t), t: t}
	d.email(d.Foreman, "ada@fell.example")
	fresh := func(what, session string, want bool) {
		t.Helper()
		got, err := d.Firm.Authenticate(t.Context(), session)
		if err != nil || got.Fresh(d.Clock.Now()) != want {
			t.Errorf("%s is fresh: %v, %v", what, got.Fresh(d.Clock.Now()), err)
		}
	}
	for ago, want := range map[time.Duration]bool{0: true, firm.FreshFor - time.Minute: true, firm.FreshFor: false} {
		p := d.proof("ada", "ada@fell.example")
		p.SignedAt = d.Clock.Now().Add(-ago)
		_, session := d.in(p)
		fresh("signed in at the provider "+ago.String()+" ago", session, want)
	}
	p := d.proof("ada", "ada@fell.example")
	p.SignedAt = time.Time{}
	_, session := d.in(p)
	fresh("at a provider that does not say when", session, false)
	_, session, err := d.Firm.StartSession(t.Context(), d.Foreman.Firm, d.Foreman.ID)
	wantKind(t, "a session", err, "")
	fresh("just now", session, true)
	d.Clock.Pass(firm.FreshFor)
	fresh("some time ago", session, false)
}
