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

// A session ends when it has not been used for a while, and after a fixed time
// however much it is used. Requests that go on by themselves do not count as
// use.
func TestSessionsEndOfThemselves(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	limits := firm.Limits{Idle: 2 * time.Hour, Absolute: 5 * time.Hour}
	wantKind(t, "limits", s.Firm.Settle(ctx, s.Owner, limits, "", firm.OfNobody), "")
	begin := func() string {
		t.Helper()
		_, session, err := s.Firm.StartSession(ctx, s.Plumber.Firm, s.Plumber.ID)
		wantKind(t, "a session", err, "")
		return session
	}
	lasts := func(what, session string, kind fault.Kind) {
		t.Helper()
		_, err := s.Firm.Session(ctx, session)
		wantKind(t, what, err, kind)
	}
	unused, listened, used := begin(), begin(), begin()
	for range 4 {
		s.Clock.Pass(70 * time.Minute)
		_, err := s.Firm.Authenticate(ctx, used)
		wantKind(t, "use", err, "")
		_, _ = s.Firm.Session(ctx, listened)
	}
	lasts("one that was not used", unused, fault.NotFound)
	lasts("one that was only listened with", listened, fault.NotFound)
	lasts("one that was used", used, "")
	got, err := s.Firm.Authenticate(ctx, used)
	if err != nil || got.Person != s.Plumber || got.FirmName != "Fell & Daughters" ||
		got.EndsAt.Sub(got.CreatedAt) != limits.Absolute {
		t.Errorf("%+v (%v)", got, err)
	}
	s.Clock.Pass(30 * time.Minute)
	lasts("one that was used to the end", used, fault.NotFound)
	// Shorter limits hold for existing sessions.
	old := begin()
	s.Clock.Pass(90 * time.Minute)
	lasts("within two hours", old, "")
	wantKind(t, "shorter", s.Firm.Settle(ctx, s.Owner, firm.Limits{Idle: time.Hour, Absolute: 5 * time.Hour}, "",
		firm.OfNobody),
		"")
	lasts("after an hour", old, fault.NotFound)
	for what, l := range map[string]firm.Limits{
		"too short": {time.Minute, time.Hour}, "too long": {61 * 24 * time.Hour, 180 * 24 * time.Hour},
		"for ever":            {time.Hour, 181 * 24 * time.Hour},
		"idle beyond the end": {3 * time.Hour, 2 * time.Hour}, "none": {},
	} {
		wantKind(t, what, s.Firm.Settle(ctx, s.Owner, l, "", firm.OfNobody), fault.BadInput)
	}
	wantKind(t, "by the foreman", s.Firm.Settle(ctx, s.Foreman, limits, "", firm.OfNobody), fault.Refused)
	wantKind(t, "the default", firm.DefaultLimits.Check(), "")
	other := s.Found(t, "Marl & Sons")
	if f, err := s.Firm.Firm(ctx, other); err != nil || f.Limits != firm.DefaultLimits {
		t.Errorf("another firm has %+v (%v)", f.Limits, err)
	}
}

// Not every request records that the session was used.
func TestUseIsNotedCoarsely(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	_, session, err := s.Firm.StartSession(ctx, s.Plumber.Firm, s.Plumber.ID)
	wantKind(t, "a session", err, "")
	seen := func() time.Time {
		t.Helper()
		all, err := s.Firm.Sessions(ctx, s.Plumber)
		if err != nil || len(all) != 1 {
			t.Fatalf("%+v (%v)", all, err)
		}
		return all[0].SeenAt
	}
	began := seen()
	s.Clock.Pass(firm.SeenInterval - time.Minute)
	_, err = s.Firm.Authenticate(ctx, session)
	wantKind(t, "a minute early", err, "")
	if !seen().Equal(began) {
		t.Error("a request within five minutes wrote")
	}
	s.Clock.Pass(2 * time.Minute)
	_, err = s.Firm.Authenticate(ctx, session)
	wantKind(t, "later", err, "")
	if !seen().After(began) {
		t.Error("a request after five minutes wrote nothing")
	}
}

func TestOnesOwnSessions(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	var tokens []string
	for _, device := range []string{"Chrome on Android", "Firefox\non Linux\x00", strings.Repeat("ü", 100)} {
		_, token, err := s.Firm.StartSession(ctx, s.Plumber.Firm, s.Plumber.ID)
		wantKind(t, "a session", err, "")
		got, err := s.Firm.NameDevice(ctx, token, device)
		wantKind(t, device, err, "")
		if got.Person != s.Plumber {
			t.Errorf("%+v", got)
		}
		tokens = append(tokens, token)
	}
	_, foreman, err := s.Firm.StartSession(ctx, s.Foreman.Firm, s.Foreman.ID)
	wantKind(t, "the foreman's", err, "")
	all, err := s.Firm.Sessions(ctx, s.Plumber)
	if err != nil || len(all) != 3 {
		t.Fatalf("%+v (%v)", all, err)
	}
	devices := map[string]id.Session{}
	for _, one := range all {
		devices[one.Device] = one.ID
	}
	for _, want := range []string{"Chrome on Android", "Firefox on Linux", strings.Repeat("ü", 60)} {
		if devices[want].IsZero() {
			t.Errorf("no %q among %v", want, devices)
		}
	}
	wantKind(t, "end somebody else's", s.Firm.EndOwnSession(ctx, s.Foreman, devices["Chrome on Android"]), fault.NotFound)
	wantKind(t, "end one's own", s.Firm.EndOwnSession(ctx, s.Plumber, devices["Chrome on Android"]), "")
	_, err = s.Firm.Session(ctx, tokens[0])
	wantKind(t, "it then", err, fault.NotFound)
	wantKind(t, "end the others", s.Firm.EndOtherSessions(ctx, s.Plumber, devices["Firefox on Linux"]), "")
	_, err = s.Firm.Session(ctx, tokens[1])
	wantKind(t, "the one that was kept", err, "")
	_, err = s.Firm.Session(ctx, tokens[2])
	wantKind(t, "another", err, fault.NotFound)
	_, err = s.Firm.Session(ctx, foreman)
	wantKind(t, "the foreman's still", err, "")
}

// The owner ends at once whatever lets a member in; the member can be let in
// again.
func TestTheOwnerEndsAllOfAMember(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	_, session, err := s.Firm.StartSession(ctx, s.Plumber.Firm, s.Plumber.ID)
	wantKind(t, "a session", err, "")
	link, err := s.Firm.OneTimeLink(ctx, s.Owner, s.Plumber.ID)
	wantKind(t, "a link", err, "")
	_, key, err := s.Firm.MakeKey(ctx, s.Plumber, "the spreadsheet", firm.KeyReads, 24*time.Hour)
	wantKind(t, "a key", err, "")
	wantKind(t, "by the foreman", s.Firm.EndAccess(ctx, s.Foreman, s.Plumber.ID), fault.Refused)
	wantKind(t, "by another firm", s.Firm.EndAccess(ctx, s.Found(t, "Marl & Sons"), s.Plumber.ID), fault.NotFound)
	_, err = s.Firm.AuthenticateKey(ctx, key)
	wantKind(t, "the key before", err, "")
	wantKind(t, "by the owner", s.Firm.EndAccess(ctx, s.Owner, s.Plumber.ID), "")
	_, err = s.Firm.Session(ctx, session)
	wantKind(t, "the member's session", err, fault.NotFound)
	_, _, err = s.Firm.SignIn(ctx, link)
	wantKind(t, "the member's link", err, fault.NotFound)
	_, err = s.Firm.AuthenticateKey(ctx, key)
	wantKind(t, "the member's key", err, fault.NotFound)
	_, _, err = s.Firm.StartSession(ctx, s.Plumber.Firm, s.Plumber.ID)
	wantKind(t, "let in again", err, "")
}
