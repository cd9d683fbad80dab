package persistence_test

import (
	"slices"
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
)

// known lets a member in with a provider, and returns the session.
func known(t *testing.T, s *dbtest.Site, member id.Member, p firm.Proof) (session string) {
	t.Helper()
	link, err := s.Firm.OneTimeLink(t.Context(), s.Owner, member)
	if err != nil {
		t.Fatal(err)
	}
	_, attempt := firm.NewToken(s.Owner.Firm)
	if _, err = s.Firm.Recognise(t.Context(), attempt, link, p); err != nil {
		t.Fatal(err)
	}
	if _, session, _, err = s.Firm.Choose(t.Context(), attempt, link, s.Owner.Firm, member); err != nil {
		t.Fatal(err)
	}
	return session
}

// The two searches across firms find exactly what is asked for, whoever asks,
// and give no more than firm and member.
func TestTheSearchesAcrossFirmsAreExact(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	at := s.Clock.Now()
	p := firm.Proof{Identity: firm.Identity{Issuer: "https://login.example", Subject: "bram"}, Session: "s1", IssuedAt: at}
	known(t, s, s.Foreman.ID, p)
	other := s.Found(t, "Marl & Sons")
	for by, email := range map[firm.Person]string{s.Owner: "ada@fell.example", other: "ada@fell.example"} {
		if err := s.Firm.SetEmail(ctx, by, by.ID, email); err != nil {
			t.Fatal(err)
		}
	}
	for _, by := range []firm.Person{firm.Whole(id.Firm{}), firm.Whole(other.Firm), s.Plumber} {
		err := s.DB.WithTx(ctx, by, func(tx *persistence.Tx) error {
			for _, c := range []struct {
				issuer, subject, email string
				want                   int
			}{
				{p.Issuer, p.Subject, "", 1},
				{p.Issuer, p.Subject, "ada@fell.example", 3},
				{p.Issuer, "nobody", "ada@fell.example", 2},
				{p.Issuer, "nobody", "", 0},
				{p.Issuer, "bra", "", 0},
				{p.Issuer, "%", "%", 0},
				{p.Issuer, "", "", 0},
				{"", p.Subject, "", 0},
				{"https://other.example", p.Subject, "", 0},
				{"https://login.example/", p.Subject, "ADA@fell.example", 0},
			} {
				got, err := tx.Known(ctx, firm.Proof{Identity: firm.Identity{Issuer: c.issuer, Subject: c.subject}, Email: c.email})
				if err != nil || len(got) != c.want {
					t.Errorf("known by %q, %q, %q: %v, want %d (%v)", c.issuer, c.subject, c.email, got, c.want, err)
				}
				for _, k := range got {
					if k.FirmName != "" || k.Person.Name != "" {
						t.Errorf("it gives %+v", k)
					}
				}
			}
			for _, c := range []struct {
				g    firm.Logout
				want int
			}{
				{firm.Logout{Identity: p.Identity, At: at}, 1},
				{firm.Logout{Identity: p.Identity, Session: "s1", At: at}, 1},
				{firm.Logout{Identity: firm.Identity{Issuer: p.Issuer}, Session: "s1", At: at}, 1},
				{firm.Logout{Identity: p.Identity, Session: "s2", At: at}, 0},
				{firm.Logout{Identity: firm.Identity{Issuer: p.Issuer}, At: at}, 0},
				{firm.Logout{Identity: firm.Identity{Issuer: "https://other.example", Subject: "bram"}, Session: "s1", At: at}, 0},
				{firm.Logout{Identity: p.Identity, At: at.Add(-time.Second)}, 0},
			} {
				if got, err := tx.TiedFirms(ctx, c.g); err != nil || len(got) != c.want {
					t.Errorf("%+v would end sessions in %v, want %d firms (%v)", c.g, got, c.want, err)
				}
			}
			// After the searches nothing more is to be seen than before.
			var members int
			err := persistence.Row(ctx, tx, "select count(*) from member where firm_id <> $1", by.Firm).Scan(&members)
			if members != 0 {
				t.Errorf("%d people of other firms are to be seen", members)
			}
			return err
		})
		if err != nil {
			t.Error(err)
		}
	}
}

// What the searches rest on lets nobody but the owner's functions through, and
// these only what is named.
func TestWhatTheSearchesRestOn(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	p := firm.Proof{Identity: firm.Identity{Issuer: "https://login.example", Subject: "bram"}, Session: "s1",
		IssuedAt: s.Clock.Now()}
	known(t, s, s.Foreman.ID, p)
	if err := s.Firm.SetEmail(ctx, s.Owner, s.Electrician.ID, "ines@fell.example"); err != nil {
		t.Fatal(err)
	}
	for _, role := range []string{migrations.Server, migrations.Owner} {
		conn := connect(t, s, role)
		for _, set := range [][4]string{{"", "", "", ""}, {p.Issuer, p.Subject, "ines@fell.example", "s1"},
			{"%", "%", "%", "%"}} {
			if _, err := conn.Exec(ctx, `select set_config('lathmark.asked_issuer', $1, false),
				set_config('lathmark.asked_subject', $2, false),
				set_config('lathmark.asked_email', $3, false), set_config('lathmark.asked_sid', $4, false)`,
				set[0], set[1], set[2], set[3]); err != nil {
				t.Fatal(err)
			}
			want := 0
			if role == migrations.Owner && set[0] == p.Issuer {
				want = 1
			}
			for _, table := range []string{"identity", "tied_session", "member"} {
				var n int
				if err := conn.QueryRow(ctx, "select count(*) from "+table).Scan(&n); err != nil || n != want {
					t.Errorf("%s having asked for %q sees %d rows of %s, want %d (%v)", role, set, n, table, want, err)
				}
			}
		}
	}
	conn := connect(t, s, migrations.Server)
	if public := texts(t, conn, `select proname::text from pg_proc where prosecdef
		and pronamespace = 'public'::regnamespace
		and has_function_privilege('public', oid, 'execute')`); len(public) > 0 {
		t.Errorf("everybody may call %v", public)
	}
	if all := texts(t, conn, `select proname::text from pg_proc where prosecdef and pronamespace = 'public'::regnamespace
		order by 1`); !slices.Equal(all,
		[]string{"judge_written", "known_by", "leave_name_out", "remove_job", "remove_room", "tied_firms", "touch_firm",
			"touch_rooms_of_signer"}) {
		t.Errorf("these run as the owner: %v", all)
	}
}

// An attempt is of no firm, and is used once.
func TestAnAttemptIsUsedOnce(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	hash, p := firm.Hash{7}, firm.Proof{Identity: firm.Identity{Issuer: "https://login.example", Subject: "bram"},
		Email: "bram@fell.example", Session: "s1", IssuedAt: s.Clock.Now()}
	now := s.Clock.Now()
	in := func(of id.Firm, do func(*persistence.Tx) error) error {
		return s.DB.WithTx(ctx, firm.Whole(of), do)
	}
	insert := func(tx *persistence.Tx) error { return tx.InsertAttempt(ctx, hash, p, now, now.Add(time.Minute)) }
	if err := in(s.Owner.Firm, insert); fault.KindOf(err) != fault.BadInput {
		t.Errorf("an attempt of a firm: %v", err)
	}
	if err := in(id.Firm{}, insert); err != nil {
		t.Error(err)
	}
	if err := in(id.Firm{}, insert); fault.KindOf(err) != fault.Conflict {
		t.Errorf("a second time: %v", err)
	}
	end := func(of id.Firm, at time.Time) (got firm.Proof, kind fault.Kind) {
		err := in(of, func(tx *persistence.Tx) (err error) {
			got, err = tx.EndAttempt(ctx, hash, at)
			return err
		})
		return got, fault.KindOf(err)
	}
	if _, kind := end(s.Owner.Firm, now); kind != fault.NotFound {
		t.Errorf("from a firm: %q", kind)
	}
	if _, kind := end(id.Firm{}, now.Add(time.Minute)); kind != fault.NotFound {
		t.Errorf("too late: %q", kind)
	}
	if got, kind := end(id.Firm{}, now); kind != "" || got != p {
		t.Errorf("%q, %+v, want %+v", kind, got, p)
	}
	if _, kind := end(id.Firm{}, now); kind != fault.NotFound {
		t.Errorf("twice: %q", kind)
	}
	// What is over is swept out with the next one.
	hash, now = firm.Hash{8}, now.Add(time.Hour)
	if err := in(id.Firm{}, insert); err != nil {
		t.Error(err)
	}
	if err := in(id.Firm{}, func(tx *persistence.Tx) error {
		var n int
		err := persistence.Row(ctx, tx, "select count(*) from attempt").Scan(&n)
		if n != 1 {
			t.Errorf("%d attempts are kept", n)
		}
		return err
	}); err != nil {
		t.Error(err)
	}
}
