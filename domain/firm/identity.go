package firm

import (
	"context"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// Identity is somebody as a provider knows him: the provider's issuer, and the
// subject, which the issuer returns to nobody else, ever (OpenID Connect Core 1.0,
// section 2). It is not an e-mail: those change hands.
type Identity struct {
	Issuer, Subject string
}

// Proof is what a provider says of somebody who comes in, after all of it was
// checked.
type Proof struct {
	Identity
	// Email is one that the provider has made sure of, as CheckEmail returns it;
	// empty: none.
	Email string
	// Session is the provider's own session (its sid); empty: it named none.
	Session string
	// IssuedAt is when the provider said all this, by the provider's clock.
	IssuedAt time.Time
}

// Goodbye is a provider's word that somebody went out there. One of Subject and
// Session may be empty, not both.
type Goodbye struct {
	Identity
	Session string
	// At is by the provider's clock: what came in later stays in, so that a word
	// that is said again ends nothing.
	At time.Time
}

// Place is a firm in which somebody is known.
type Place struct {
	Firm     id.Firm
	FirmName string
	Person   Person
}

// AttemptLasts is how long somebody may take at the provider, and again to
// choose one of several firms.
const AttemptLasts = 10 * time.Minute

// IdentityTx is what coming in with a provider needs of a transaction. The
// attempts are of no firm: their transaction is that of Whole(id.Firm{}), and so
// is that of the two searches across firms.
type IdentityTx interface {
	// InsertAttempt keeps what was proved in an attempt, and sweeps out those that
	// are over. Faults: Conflict where the attempt was used before.
	InsertAttempt(ctx context.Context, attempt Hash, p Proof, made, expires time.Time) error
	// EndAttempt returns what was proved, once. Faults: NotFound, also where it is over.
	EndAttempt(ctx context.Context, attempt Hash, at time.Time) (Proof, error)

	// Known returns who might be meant, across firms: for exactly this identity or
	// exactly this e-mail, firm and member and nothing else.
	Known(ctx context.Context, p Proof) ([]Place, error)
	// IdentityMember returns the member, not left, who has an identity.
	IdentityMember(ctx context.Context, i Identity) (Member, error)
	// EmailMember returns the member, not left, who has an e-mail and no identity
	// of the issuer yet.
	EmailMember(ctx context.Context, email, issuer string) (Member, error)
	// SaveEmail sets a member's e-mail, or takes it out where it is empty. Where
	// it is another than before it takes his identities out and ends their
	// sessions. Faults: NotFound, Conflict (somebody else has it).
	SaveEmail(ctx context.Context, member id.Member, email string) error
	// LinkIdentity returns a member an identity, in place of the one that he had of
	// this issuer, whose sessions end. Faults: Conflict where it is another member's.
	LinkIdentity(ctx context.Context, member id.Member, i Identity, at time.Time) error
	// Identities returns the issuers by which a member is known, sorted.
	Identities(ctx context.Context, member id.Member) ([]Identity, error)
	// UnlinkIdentities takes a member's identities out and ends their sessions.
	UnlinkIdentities(ctx context.Context, member id.Member) error

	// TieSession notes that a session came from a provider.
	TieSession(ctx context.Context, session Hash, p Proof) error
	// TiedFirms returns the firms in which a Goodbye would end a session.
	TiedFirms(ctx context.Context, g Goodbye) ([]id.Firm, error)
	// EndTied ends the sessions that a Goodbye is about.
	EndTied(ctx context.Context, g Goodbye) error
}

// SetEmail says by which e-mail a provider may know a member; empty: by none.
// Another e-mail than before ends what the old one let in. The owner may. Faults:
// Refused, BadInput, NotFound, Conflict (somebody else of the firm has it).
func (s *Service) SetEmail(ctx context.Context, by Person, member id.Member, email string) error {
	if err := MayRunFirm(by); err != nil {
		return err
	}
	if email != "" {
		var err error
		if email, err = CheckEmail(email); err != nil {
			return err
		}
	}
	return s.in(ctx, by, func(tx Tx) error {
		if m, err := tx.Member(ctx, member); err != nil || !m.LeftAt.IsZero() {
			return noMember(err)
		}
		return tx.SaveEmail(ctx, member, email)
	})
}

// Recognise uses an attempt up and returns the firms in which somebody is known.
// There may be several, or none; Choose lets him in. Faults: NotFound where the
// attempt was used before.
func (s *Service) Recognise(ctx context.Context, attempt Hash, p Proof) (places []Place, err error) {
	var known []Place
	err = s.in(ctx, Whole(id.Firm{}), func(tx Tx) error {
		now := s.now()
		if err := tx.InsertAttempt(ctx, attempt, p, now, now.Add(AttemptLasts)); err != nil {
			return noAttempt(err)
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

// Choose starts a session in one of the firms that Recognise gave, once for an
// attempt. Faults: NotFound, also where the attempt is over.
func (s *Service) Choose(ctx context.Context, attempt Hash, firm id.Firm) (by Person, session string, err error) {
	var p Proof
	if err = s.in(ctx, Whole(id.Firm{}), func(tx Tx) error {
		p, err = tx.EndAttempt(ctx, attempt, s.now())
		return err
	}); err != nil {
		return Person{}, "", noAttempt(err)
	}
	err = s.in(ctx, Whole(firm), func(tx Tx) error {
		m, err := memberOf(ctx, tx, p)
		if err != nil {
			return noMember(err)
		}
		by, session, err = StartKnown(ctx, tx, m.ID, p, s.now())
		return err
	})
	return by, session, err
}

// ComeInKnown uses up a one-time link and returns its member the identity that was
// proved, by which he comes in from now on. Faults: NotFound, also where link or
// attempt were used before; Conflict where the identity is another member's.
func (s *Service) ComeInKnown(ctx context.Context, link string, attempt Hash, p Proof) (by Person, session string,
	err error) {
	firm, hash, err := ReadToken(link)
	if err != nil {
		return Person{}, "", err
	}
	now := s.now()
	if err := s.in(ctx, Whole(id.Firm{}), func(tx Tx) error {
		if err := tx.InsertAttempt(ctx, attempt, p, now, now.Add(AttemptLasts)); err != nil {
			return err
		}
		_, err := tx.EndAttempt(ctx, attempt, now)
		return err
	}); err != nil {
		return Person{}, "", noAttempt(err)
	}
	err = s.in(ctx, Whole(firm), func(tx Tx) error {
		member, err := tx.UseOneTimeLink(ctx, hash, now)
		if err != nil {
			return noLink(err)
		}
		by, session, err = StartKnown(ctx, tx, member, p, now)
		return err
	})
	return by, session, err
}

// StartKnown returns a member the identity that was proved and starts a session
// for him: the end of every way in with a provider. It is for a transaction of
// the member's firm in which the caller has made sure of the member, by an
// e-mail, or by an invitation that is being used.
func StartKnown(ctx context.Context, tx Tx, member id.Member, p Proof, now time.Time) (by Person, session string,
	err error) {
	m, err := tx.Member(ctx, member)
	if err != nil || !m.LeftAt.IsZero() {
		return Person{}, "", noMember(err)
	}
	if err := tx.LinkIdentity(ctx, member, p.Identity, now); err != nil {
		return Person{}, "", err
	}
	if by, session, err = start(ctx, tx, m.Firm, member, now); err != nil {
		return Person{}, "", err
	}
	_, hash, err := ReadToken(session)
	if err != nil {
		return Person{}, "", err
	}
	return by, session, tx.TieSession(ctx, hash, p)
}

// memberOf finds whom a proof is about in the transaction's firm. An e-mail
// counts as long as the provider has not named its subject for the member: who
// gets a leaver's e-mail later does not get his place.
func memberOf(ctx context.Context, tx Tx, p Proof) (Member, error) {
	m, err := tx.IdentityMember(ctx, p.Identity)
	if fault.KindOf(err) == fault.NotFound && p.Email != "" {
		return tx.EmailMember(ctx, p.Email, p.Issuer)
	}
	return m, err
}

// GoOut ends the sessions that a provider's word is about, in every firm. There
// may be none.
func (s *Service) GoOut(ctx context.Context, g Goodbye) error {
	var firms []id.Firm
	err := s.in(ctx, Whole(id.Firm{}), func(tx Tx) (err error) {
		firms, err = tx.TiedFirms(ctx, g)
		return err
	})
	for _, f := range firms {
		if err == nil {
			err = s.in(ctx, Whole(f), func(tx Tx) error { return tx.EndTied(ctx, g) })
		}
	}
	return err
}

func noAttempt(err error) error {
	if kind := fault.KindOf(err); kind != fault.Conflict && kind != fault.NotFound {
		return err
	}
	return &fault.Error{Kind: fault.NotFound, Msg: "This way in was used before, or took too long. Start again.", Err: err}
}
