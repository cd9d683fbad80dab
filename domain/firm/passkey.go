package firm

import (
	"context"
	"crypto/sha256"
	"slices"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// Passkey is a key pair on somebody's device, of which the public half is here
// (WebAuthn Level 2). It signs its owner in without anybody's help.
type Passkey struct {
	ID     id.Passkey
	Member id.Member
	Name   string // "my phone"
	// Credential is the device's own name for it, PublicKey a COSE key.
	Credential, PublicKey []byte
	// Count is how often the device says it has signed; always 0 if it does not
	// count.
	Count uint32
	// Synced says that the device may copy it to the same person's other
	// devices.
	Synced            bool
	CreatedAt, UsedAt time.Time // UsedAt zero: never
}

// How long a challenge waits for its answer, and how many passkeys a member may
// have.
const (
	ChallengeLifetime = 5 * time.Minute
	MaxPasskeys       = 10
)

// PasskeyTx is what passkeys need of a transaction.
type PasskeyTx interface {
	// InsertChallenge adds a challenge, of no firm, and deletes expired ones.
	InsertChallenge(ctx context.Context, hash Hash, made, ends time.Time) error
	// UseChallenge removes a challenge that has not expired. Faults: NotFound.
	UseChallenge(ctx context.Context, hash Hash, at time.Time) error
	InsertPasskey(ctx context.Context, k Passkey) error
	// Passkeys returns those of a member, the newest first.
	Passkeys(ctx context.Context, member id.Member) ([]Passkey, error)
	// UsePasskey records that a passkey was used, with the device's new count,
	// if it still has the old one. Faults: NotFound.
	UsePasskey(ctx context.Context, passkey id.Passkey, old, count uint32, at time.Time) error
	// DeletePasskey deletes one of a member's passkeys. Faults: NotFound.
	DeletePasskey(ctx context.Context, member id.Member, passkey id.Passkey) error
}

// Handle returns what tells a device whose a passkey is: firm and member.
func Handle(firm id.Firm, member id.Member) []byte { return append(firm[:], member[:]...) }

// NewChallenge stores a challenge, so that its answer is accepted only once and
// soon.
func (s *Service) NewChallenge(ctx context.Context, challenge []byte) error {
	now := s.now()
	return s.in(ctx, Person{}, func(tx Tx) error {
		return tx.InsertChallenge(ctx, sha256.Sum256(challenge), now, now.Add(ChallengeLifetime))
	})
}

// useChallenge uses a challenge up, whatever comes of its answer.
func (s *Service) useChallenge(ctx context.Context, challenge []byte) error {
	return s.in(ctx, Person{}, func(tx Tx) error {
		if err := tx.UseChallenge(ctx, sha256.Sum256(challenge), s.now()); err != nil {
			return gone(noPasskey, err)
		}
		return nil
	})
}

// AddPasskey stores a passkey for the caller, made in a session. check makes it from the
// answer to a challenge, which is used up. Faults: Refused, BadInput, NotFound for a
// challenge that has expired or was answered before, and those of check.
func (s *Service) AddPasskey(ctx context.Context, by Person, in id.Session, challenge []byte, name string,
	check func() (Passkey, error)) (Passkey, error) {
	if err := MayManageSelf(by); err != nil {
		return Passkey{}, err
	}
	if err := s.useChallenge(ctx, challenge); err != nil {
		return Passkey{}, err
	}
	k, err := check()
	if err != nil {
		return Passkey{}, err
	}
	k.ID, k.Member, k.Name, k.CreatedAt = id.New[id.Passkey](), by.ID, oneLine(name, 60), s.now()
	if k.Name == "" {
		k.Name = "A passkey"
	}
	return k, s.in(ctx, by, func(tx Tx) error {
		have, err := tx.Passkeys(ctx, by.ID)
		if err != nil {
			return err
		}
		if len(have) >= MaxPasskeys {
			return &fault.Error{Kind: fault.BadInput,
				Msg: "You have as many passkeys as one person may have. Remove one first."}
		}
		if err := tx.InsertPasskey(ctx, k); err != nil {
			return err
		}
		return tx.ProveSession(ctx, by.ID, in)
	})
}

// SignInWithPasskey starts a session for the member whom a handle names. check
// finds which of the member's passkeys signed the challenge, and returns it
// with its new count; the challenge is used up. Anyone may call it. Faults:
// NotFound.
func (s *Service) SignInWithPasskey(ctx context.Context, handle, challenge []byte,
	check func([]Passkey) (Passkey, error)) (p Person, session string, err error) {
	if err := s.useChallenge(ctx, challenge); err != nil {
		return Person{}, "", err
	}
	if len(handle) != 32 {
		return Person{}, "", gone(noPasskey, nil)
	}
	of, member := id.Firm(handle[:16]), id.Member(handle[16:])
	p, session, err = s.enter(ctx, of, proved{passkey: true}, func(tx Tx, now time.Time) (id.Member, error) {
		all, err := tx.Passkeys(ctx, member)
		if err != nil {
			return member, err
		}
		k, err := check(all)
		i := slices.IndexFunc(all, func(old Passkey) bool { return old.ID == k.ID })
		if err != nil || i < 0 {
			return member, &fault.Error{Kind: fault.NotFound, Msg: noPasskey, Err: err}
		}
		return member, tx.UsePasskey(ctx, k.ID, all[i].Count, k.Count, now)
	})
	if err != nil {
		return Person{}, "", gone(noPasskey, err)
	}
	return p, session, nil
}

// Passkeys returns the caller's own passkeys, the newest first. Faults:
// Refused.
func (s *Service) Passkeys(ctx context.Context, by Person) ([]Passkey, error) {
	return Ask(ctx, s.in, by, MayManageSelf, func(tx Tx) ([]Passkey, error) { return tx.Passkeys(ctx, by.ID) })
}

// EndPasskey deletes one of the caller's own passkeys. Faults: Refused,
// NotFound, also for somebody else's.
func (s *Service) EndPasskey(ctx context.Context, by Person, passkey id.Passkey) error {
	return s.in.Do(ctx, by, MayManageSelf, func(tx Tx) error { return tx.DeletePasskey(ctx, by.ID, passkey) })
}
