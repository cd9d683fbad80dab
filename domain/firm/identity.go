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

// Place is a firm that knows somebody.
type Place struct {
	Firm     id.Firm
	FirmName string
	Person   Person
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
// known. There may be several, or none; Choose signs the person in. Faults:
// NotFound if the attempt was used before.
func (s *Service) Recognise(ctx context.Context, attempt Hash, p Proof) (places []Place, err error) {
	var known []Place
	err = s.in(ctx, Whole(id.Firm{}), func(tx Tx) error {
		now := s.now()
		if err := tx.InsertAttempt(ctx, attempt, p, now, now.Add(AttemptLifetime)); err != nil {
			return gone(noAttempt, err)
		}
		known, err = tx.Known(ctx, p)
		return err
	})
	seen := map[id.Firm]bool{}
	for _, k := range known {
		if err != nil || seen[k.Firm] {
			continue
		}
		seen[k.Firm] = true
		err = s.in(ctx, Whole(k.Firm), func(tx Tx) error {
			m, err := memberOf(ctx, tx, p)
			if fault.KindOf(err) == fault.NotFound {
				return nil
			}
			if err != nil {
				return err
			}
			f, err := tx.Firm(ctx)
			places = append(places, Place{k.Firm, f.Name, m.Person})
			return err
		})
	}
	return places, err
}

// Choose starts a session in one of the firms that Recognise returned, once for
// an attempt. Faults: NotFound, also if the attempt has expired.
func (s *Service) Choose(ctx context.Context, attempt Hash, firm id.Firm) (Person, string, error) {
	p, err := Ask(ctx, s.in, Whole(id.Firm{}), Anyone,
		func(tx Tx) (Proof, error) { return tx.EndAttempt(ctx, attempt, s.now()) })
	if err != nil {
		return Person{}, "", gone(noAttempt, err)
	}
	return s.enter(ctx, firm, &p, func(tx Tx, _ time.Time) (id.Member, error) {
		m, err := memberOf(ctx, tx, p)
		if err != nil {
			err = gone(noMember, err)
		}
		return m.ID, err
	})
}

// SignInAndLink uses up a one-time link and ties the proved identity to its
// member, who signs in with it from now on. Faults: NotFound, also if link or
// attempt were used before; Conflict if the identity is another member's.
func (s *Service) SignInAndLink(ctx context.Context, link string, attempt Hash, p Proof) (Person, string, error) {
	firm, hash, err := ReadToken(link)
	if err != nil {
		return Person{}, "", err
	}
	now := s.now()
	if err := s.in(ctx, Whole(id.Firm{}), func(tx Tx) error {
		if err := tx.InsertAttempt(ctx, attempt, p, now, now.Add(AttemptLifetime)); err != nil {
			return err
		}
		_, err := tx.EndAttempt(ctx, attempt, now)
		return err
	}); err != nil {
		return Person{}, "", gone(noAttempt, err)
	}
	return s.enter(ctx, firm, &p, byLink(ctx, hash))
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
