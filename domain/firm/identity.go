package firm

import (
	"context"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// Identity is a person as a provider knows them: the provider's issuer, and the
// subject, which the issuer never assigns to anybody else (OpenID Connect Core
// 1.0, section 2). It is not an e-mail address: those change hands.
type Identity struct {
	Issuer, Subject string
}

// Proof is what a provider says of somebody who signs in, after all of it was
// checked.
type Proof struct {
	Identity
	// Email is one that the provider has verified, as CheckEmail returns it;
	// empty: none.
	Email string
	// Session is the provider's own session (its sid); empty if it named none.
	Session string
	// IssuedAt is when the provider said all this, by the provider's clock.
	IssuedAt time.Time
	// SignedAt is when the person last signed in at the provider, by its clock; zero: it
	// does not say.
	SignedAt time.Time
}

// Logout is a provider's message that somebody signed out there. One of Subject
// and Session may be empty, not both.
type Logout struct {
	Identity
	Session string
	// At is by the provider's clock: sessions that began later go on, so that a
	// repeated message ends nothing.
	At time.Time
}

// Account is what people know the proved identity by: the e-mail address that the
// provider has verified, else the provider's own name for them.
func (p Proof) Account() string {
	if p.Email != "" {
		return p.Email
	}
	return p.Subject
}

// Place is a firm that knows somebody.
type Place struct {
	Firm     id.Firm
	FirmName string
	Person   Person
	// Ties: signing in there ties the proved identity to the person, which it is
	// not yet. Whoever signs in has to be asked first.
	Ties bool
}

// AttemptLifetime is how long somebody may take at the provider, and again to
// choose one of several firms.
const AttemptLifetime = 10 * time.Minute

// IdentityTx is what signing in with a provider needs of a transaction.
// Attempts belong to no firm: their transaction is that of Whole(id.Firm{}),
// and so is that of the two searches across firms.
type IdentityTx interface {
	// InsertAttempt stores what was proved in an attempt, and deletes expired
	// ones. Faults: Conflict if the attempt was used before.
	InsertAttempt(ctx context.Context, attempt Hash, p Proof, made, expires time.Time) error
	// EndAttempt returns what was proved, once. Faults: NotFound, also if it
	// has expired.
	EndAttempt(ctx context.Context, attempt Hash, at time.Time) (Proof, error)

	// Known returns who might be meant, across firms: firm and member, and
	// nothing else, for exactly this identity or exactly this e-mail.
	Known(ctx context.Context, p Proof) ([]Place, error)
	// IdentityMember returns the member, not left, who has an identity.
	IdentityMember(ctx context.Context, i Identity) (Member, error)
	// EmailMember returns the member, not left, who has an e-mail address and
	// no identity of the issuer yet.
	EmailMember(ctx context.Context, email, issuer string) (Member, error)
	// SaveEmail sets a member's e-mail address, or removes it if empty. If it
	// changes, the member's identities are removed and their sessions ended.
	// Faults: NotFound, Conflict (somebody else has it).
	SaveEmail(ctx context.Context, member id.Member, email string) error
	// LinkIdentity links a member to an identity. It replaces an earlier one of
	// this issuer, whose sessions end. Faults: Conflict if it is another
	// member's.
	LinkIdentity(ctx context.Context, member id.Member, i Identity, at time.Time) error
	// Identities returns a member's identities, sorted by issuer.
	Identities(ctx context.Context, member id.Member) ([]Identity, error)
	// UnlinkIdentities removes a member's identities and ends their sessions.
	UnlinkIdentities(ctx context.Context, member id.Member) error

	// TieSession records that a session came from a provider.
	TieSession(ctx context.Context, session Hash, p Proof) error
	// TiedFirms returns the firms in which a Logout would end a session.
	TiedFirms(ctx context.Context, g Logout) ([]id.Firm, error)
	// EndTied ends the sessions that a Logout is about.
	EndTied(ctx context.Context, g Logout) error
}

// SetEmail sets the e-mail address by which a provider may know a member;
// empty: none. A change stops the old one from signing in. The owner may call it.
// Faults: Refused, BadInput, NotFound, Conflict (somebody else of the firm has
// it).
func (s *Service) SetEmail(ctx context.Context, by Person, member id.Member, email string) error {
	return s.in.Do(ctx, by, MayRunFirm, func(tx Tx) (err error) {
		if email != "" {
			if email, err = CheckEmail(email); err != nil {
				return err
			}
		}
		if _, err := present(tx.Member(ctx, member)); err != nil {
			return err
		}
		return tx.SaveEmail(ctx, member, email)
	})
}

// Recognise uses an attempt up and returns the firms in which somebody is
// known: with a one-time link that of its member alone, whoever the provider
// knows. There may be several, or none; Choose signs the person in. Faults:
// NotFound if the attempt was used before, or the link does not work.
func (s *Service) Recognise(ctx context.Context, attempt Hash, link string, p Proof) (places []Place, err error) {
	var known []Place
	err = s.in(ctx, Whole(id.Firm{}), func(tx Tx) error {
		now := s.now()
		if err := tx.InsertAttempt(ctx, attempt, p, now, now.Add(AttemptLifetime)); err != nil {
			return gone(noAttempt, err)
		}
		if link == "" {
			known, err = tx.Known(ctx, p)
		}
		return err
	})
	if link != "" && err == nil {
		var of id.Firm
		if of, _, err = ReadToken(link); err != nil {
			return nil, err
		}
		known = []Place{{Firm: of}}
	}
	seen := map[id.Firm]bool{}
	for _, k := range known {
		if err != nil || seen[k.Firm] {
			continue
		}
		seen[k.Firm] = true
		err = s.in(ctx, Whole(k.Firm), func(tx Tx) error {
			at, err := placeOf(ctx, tx, link, p, s.now())
			if fault.KindOf(err) == fault.NotFound && link == "" {
				return nil
			}
			places = append(places, at)
			return err
		})
	}
	return places, err
}

// placeOf returns where a link, or without one a proof, signs somebody in.
func placeOf(ctx context.Context, tx Tx, link string, p Proof, now time.Time) (at Place, err error) {
	var m Member
	if link == "" {
		m, err = memberOf(ctx, tx, p)
	} else if _, hash, wrong := ReadToken(link); wrong != nil {
		err = wrong
	} else {
		var of id.Member
		if of, err = tx.OneTimeLink(ctx, hash, now); err == nil {
			m, err = present(tx.Member(ctx, of))
		}
	}
	if err != nil {
		return at, err
	}
	tied, err := tx.IdentityMember(ctx, p.Identity)
	if err != nil && fault.KindOf(err) != fault.NotFound {
		return at, err
	}
	f, err := tx.Firm(ctx)
	return Place{m.Firm, f.Name, m.Person, tied.ID != m.ID}, err
}

// Choose starts a session for one of the people whom Recognise returned, once
// for an attempt, and ties the proved identity to them. A link that Recognise was
// given is used up. Faults: NotFound, also if the attempt has expired, or whoever
// signs in there is by now somebody else; Conflict if the identity is another
// member's.
func (s *Service) Choose(ctx context.Context, attempt Hash, link string, of id.Firm, member id.Member) (by Person,
	session string, ties bool, err error) {
	p, err := Ask(ctx, s.in, Whole(id.Firm{}), Anyone,
		func(tx Tx) (Proof, error) { return tx.EndAttempt(ctx, attempt, s.now()) })
	if err != nil {
		return Person{}, "", false, gone(noAttempt, err)
	}
	by, session, err = s.enter(ctx, of, proved{by: &p}, func(tx Tx, now time.Time) (id.Member, error) {
		at, err := placeOf(ctx, tx, link, p, now)
		ties = at.Ties
		if err == nil && link != "" {
			_, hash, _ := ReadToken(link) // placeOf has read it
			_, err = tx.UseOneTimeLink(ctx, hash, now)
		}
		if err != nil || at.Person.ID != member {
			return member, gone(noMember, err)
		}
		return member, nil
	})
	return by, session, ties, err
}

// memberOf finds whom a proof is about in the transaction's firm. An e-mail
// address counts only until the provider has named its subject for the member:
// whoever is later given a leaver's address is not taken for the leaver.
func memberOf(ctx context.Context, tx Tx, p Proof) (Member, error) {
	m, err := tx.IdentityMember(ctx, p.Identity)
	if fault.KindOf(err) == fault.NotFound && p.Email != "" {
		return tx.EmailMember(ctx, p.Email, p.Issuer)
	}
	return m, err
}

// LogOut ends the sessions that a provider's message is about, in every firm.
// There may be none.
func (s *Service) LogOut(ctx context.Context, g Logout) error {
	firms, err := Ask(ctx, s.in, Whole(id.Firm{}), Anyone, func(tx Tx) ([]id.Firm, error) { return tx.TiedFirms(ctx, g) })
	for _, f := range firms {
		if err == nil {
			err = s.in(ctx, Whole(f), func(tx Tx) error { return tx.EndTied(ctx, g) })
		}
	}
	return err
}
