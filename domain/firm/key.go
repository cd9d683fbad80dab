package firm

import (
	"context"
	"slices"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// Key lets another program act in a member's name.
type Key struct {
	ID     id.Key
	Member id.Member
	Name   string // what it is for: "the office's spreadsheet"
	Scope  Scope
	// UsedAt is when it was last used, within SeenEvery; zero means never.
	CreatedAt, EndsAt, UsedAt time.Time
}

// How long a key lasts, and how many one member may have.
const (
	MaxKeyLifetime = 366 * 24 * time.Hour
	MaxKeys        = 20
)

// keyMark begins every key, so that people and programs that look for leaked
// secrets recognise one.
const keyMark = "lathmark_"

// KeyTx is what keys need of a transaction.
type KeyTx interface {
	InsertKey(ctx context.Context, hash Hash, k Key) error
	// Key returns a valid key, and the member it acts for, who has not left.
	Key(ctx context.Context, hash Hash, at time.Time) (Key, Session, error)
	// UseKey records that a key was used.
	UseKey(ctx context.Context, key id.Key, at time.Time) error
	// Keys returns all keys of a member, the newest first.
	Keys(ctx context.Context, member id.Member) ([]Key, error)
	// EndKey deletes a member's key. Faults: NotFound.
	EndKey(ctx context.Context, member id.Member, key id.Key) error
}

// MakeKey makes a key for another program, in the name of by, and returns its
// secret, which is not stored. It is valid for lasts. Everyone on site may call
// it. Faults: Refused, BadInput.
func (s *Service) MakeKey(ctx context.Context, by Person, name string, scope Scope, lasts time.Duration) (k Key,
	secret string, err error) {
	now := s.now()
	k = Key{ID: id.New[id.Key](), Member: by.ID, Name: strings.TrimSpace(name), Scope: scope, CreatedAt: now,
		EndsAt: now.Add(lasts)}
	token, hash := NewToken(by.Firm)
	return k, keyMark + token, s.in.Do(ctx, by, MayMakeKeys, func(tx Tx) error {
		if err := k.check(by); err != nil {
			return err
		}
		have, err := tx.Keys(ctx, by.ID)
		if err != nil {
			return err
		}
		if len(have) >= MaxKeys {
			return fault.Bad(noNewKey, "name", "you have as many keys as one person may have",
				"Remove one that is no longer used")
		}
		return tx.InsertKey(ctx, hash, k)
	})
}

// noNewKey begins the faults of a key that is to be made.
const noNewKey = "This key cannot be made."

func (k Key) check(by Person) error {
	var wrong fault.Fields
	wrong.If(k.Name == "" || k.Name != oneLine(k.Name, 60), "name", "there is no name, or it is too long",
		"Say in up to 60 characters which program the key is for")
	wrong.If(!slices.Contains(Scopes, k.Scope), "scope", "it is not said what the key is good for",
		"Choose reading, recording or running jobs")
	wrong.If(k.Scope == KeyRuns && MayRunJobs(by) != nil, "scope", "a key cannot do more than you can",
		"Choose reading or recording")
	lasts := k.EndsAt.Sub(k.CreatedAt)
	wrong.If(lasts < 24*time.Hour || lasts > MaxKeyLifetime, "days", "the days that it lasts are out of range",
		"Give 1 to 366 days")
	return wrong.Err(noNewKey)
}

// AuthenticateKey returns the session in which a key acts, one without an id;
// Person.Key is its scope. Anyone may call it. Faults: NotFound if it has
// expired or never existed.
func (s *Service) AuthenticateKey(ctx context.Context, secret string) (as Session, err error) {
	token, marked := strings.CutPrefix(secret, keyMark)
	firm, hash, err := ReadToken(token)
	if err != nil || !marked {
		return Session{}, gone(noKey, err)
	}
	var k Key
	now := s.now()
	if err = s.look(ctx, Whole(firm), func(tx Tx) error {
		k, as, err = tx.Key(ctx, hash, now)
		return err
	}); err != nil {
		return Session{}, gone(noKey, err)
	}
	as.Person.Key = k.Scope
	if now.Sub(k.UsedAt) >= SeenInterval {
		err = noted(s.in(ctx, Whole(firm), func(tx Tx) error { return tx.UseKey(ctx, k.ID, now) }))
	}
	return as, err
}

// Keys returns the caller's own keys, the newest first, expired ones too.
// Faults: Refused.
func (s *Service) Keys(ctx context.Context, by Person) ([]Key, error) {
	return Ask(ctx, s.in, by, MayMakeKeys, func(tx Tx) ([]Key, error) { return tx.Keys(ctx, by.ID) })
}

// EndKey ends one of the caller's own keys at once. Faults: Refused, NotFound,
// also for somebody else's.
func (s *Service) EndKey(ctx context.Context, by Person, key id.Key) error {
	return s.in.Do(ctx, by, MayMakeKeys, func(tx Tx) error { return tx.EndKey(ctx, by.ID, key) })
}
