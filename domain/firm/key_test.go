package firm_test

import (
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

const aMonth = 30 * 24 * time.Hour

func TestAKeyAsksInItsMakersName(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	k, secret, err := s.Firm.MakeKey(ctx, s.Foreman, " The office's spreadsheet ", firm.KeyRecords, aMonth)
	wantKind(t, "a key", err, "")
	as, err := s.Firm.AuthenticateKey(ctx, secret)
	want := firm.Session{Person: s.Foreman, FirmName: "Fell & Daughters", Zone: words.UTC}
	want.Person.Key = firm.KeyRecords
	if err != nil || as != want {
		t.Errorf("it asks as %+v (%v)", as, err)
	}
	p := as.Person
	_, err = s.Job.Jobs(ctx, p)
	wantKind(t, "it reads", err, "")
	wantKind(t, "it makes no keys", firm.MayMakeKeys(p), fault.Refused)
	_, err = s.Firm.Sessions(ctx, p)
	wantKind(t, "it sees no sessions", err, fault.Refused)
	if !strings.HasPrefix(secret, "lathmark_") || strings.Contains(secret, k.ID.String()) ||
		len(secret) != len("lathmark_")+64 {
		t.Errorf("the key is %q", secret)
	}
	all, err := s.Firm.Keys(ctx, s.Foreman)
	if err != nil || len(all) != 1 || all[0].Name != "The office's spreadsheet" || all[0].UsedAt.IsZero() ||
		all[0].ID != k.ID {
		t.Errorf("%+v (%v)", all, err)
	}
	// It is no session, and a session is no key.
	_, err = s.Firm.Session(ctx, strings.TrimPrefix(secret, "lathmark_"))
	wantKind(t, "a key as a session", err, fault.NotFound)
	_, session, err := s.Firm.StartSession(ctx, s.Foreman.Firm, s.Foreman.ID)
	wantKind(t, "a session", err, "")
	for _, bad := range []string{"", "lathmark_", session, "lathmark_" + session, secret[9:], secret + "A",
		secret[:len(secret)-4] + "AAAA", secret[:40] + "\n" + secret[40:]} {
		_, err = s.Firm.AuthenticateKey(ctx, bad)
		wantKind(t, "a key that is none", err, fault.NotFound)
	}
	wantKind(t, "take away somebody else's", s.Firm.EndKey(ctx, s.Plumber, k.ID), fault.NotFound)
	wantKind(t, "take it away", s.Firm.EndKey(ctx, s.Foreman, k.ID), "")
	_, err = s.Firm.AuthenticateKey(ctx, secret)
	wantKind(t, "a key that was taken away", err, fault.NotFound)
}

func TestKeysEnd(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	_, month, err := s.Firm.MakeKey(ctx, s.Plumber, "a", firm.KeyReads, aMonth)
	wantKind(t, "a key", err, "")
	_, year, err := s.Firm.MakeKey(ctx, s.Plumber, "b", firm.KeyReads, firm.MaxKeyLifetime)
	wantKind(t, "another", err, "")
	s.Clock.Pass(aMonth)
	_, err = s.Firm.AuthenticateKey(ctx, month)
	wantKind(t, "after its days", err, fault.NotFound)
	_, err = s.Firm.AuthenticateKey(ctx, year)
	wantKind(t, "within its days", err, "")
	wantKind(t, "end the membership", s.Firm.EndMember(ctx, s.Owner, s.Plumber.ID), "")
	_, err = s.Firm.AuthenticateKey(ctx, year)
	wantKind(t, "of one who left", err, fault.NotFound)
}

func TestWhichKeysAreMade(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	client := s.Add(t, "Wim Haas", firm.Client, "")
	for what, c := range map[string]struct {
		by    firm.Person
		name  string
		scope firm.Scope
		lasts time.Duration
		want  fault.Kind
	}{
		"a client's":              {client, "x", firm.KeyReads, aMonth, fault.Refused},
		"no name":                 {s.Owner, " ", firm.KeyReads, aMonth, fault.BadInput},
		"two lines":               {s.Owner, "x\ny", firm.KeyReads, aMonth, fault.BadInput},
		"long":                    {s.Owner, strings.Repeat("x", 61), firm.KeyReads, aMonth, fault.BadInput},
		"good for all":            {s.Owner, "x", firm.NoKey, aMonth, fault.BadInput},
		"more than its maker may": {s.Plumber, "x", firm.KeyRuns, aMonth, fault.BadInput},
		"for ever":                {s.Owner, "x", firm.KeyRuns, firm.MaxKeyLifetime + time.Hour, fault.BadInput},
		"for no time":             {s.Owner, "x", firm.KeyRuns, 0, fault.BadInput},
		"the owner's":             {s.Owner, "x", firm.KeyRuns, aMonth, ""},
	} {
		_, _, err := s.Firm.MakeKey(ctx, c.by, c.name, c.scope, c.lasts)
		wantKind(t, what, err, c.want)
	}
	for range firm.MaxKeys {
		_, _, err := s.Firm.MakeKey(ctx, s.Plumber, "x", firm.KeyReads, aMonth)
		wantKind(t, "one of many", err, "")
	}
	_, _, err := s.Firm.MakeKey(ctx, s.Plumber, "x", firm.KeyReads, aMonth)
	wantKind(t, "one too many", err, fault.BadInput)
}

// Whatever is sent in a token's place, reading it returns a fault, or a token
// for which there is only one way of writing it.
func FuzzReadToken(f *testing.F) {
	token, _ := firm.NewToken(id.New[id.Firm]())
	for _, seed := range []string{token, "", token[:63], token + "=", strings.ToUpper(token), "\n" + token} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		of, hash, err := firm.ReadToken(text)
		if err == nil && (len(text) != 64 || of.IsZero() && !strings.HasPrefix(text, "AAAA") || hash == firm.Hash{}) {
			t.Errorf("%q is read as a token of %v", text, of)
		}
		if err != nil && fault.KindOf(err) != fault.NotFound {
			t.Errorf("%q: %v", text, err)
		}
	})
}
