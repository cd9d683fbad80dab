package firm

import (
	"context"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Session is somebody's sign-in on one device.
type Session struct {
	ID       id.Session // identifies it for its owner; it signs nobody in
	Person   Person
	FirmName string
	Zone     words.Zone // the firm's
	Device   string     // coarse: "Chrome on Android"; empty: not known
	// SeenAt is when it was last used, within SeenInterval.
	CreatedAt, SeenAt time.Time
	// EndsAt is when it ends at the latest, however much it is used.
	EndsAt time.Time
	// SignedAt is when the person last proved who they are: when the session began, or what
	// a provider says; zero: it does not say.
	SignedAt time.Time
	// ByPasskey says that it began with a passkey, or that one was made in it.
	ByPasskey bool
	// HasPasskey says that the person has one, NeedsPasskey that the firm wants it of them.
	HasPasskey, NeedsPasskey bool
}

// FreshFor is how long after a sign-in people may change who gets in, and take records out,
// without signing in again: long enough to add a few people one after the other, and too
// short for a phone that was left behind on site or for a cookie that was copied.
const FreshFor = 10 * time.Minute

// Fresh reports whether the person proved who they are less than FreshFor ago.
func (s Session) Fresh(now time.Time) bool {
	return !s.SignedAt.IsZero() && now.Sub(s.SignedAt) < FreshFor
}

// LacksPasskey reports whether nothing may be opened yet because the firm wants a passkey:
// none is there, or the session did not come by one.
func (s Session) LacksPasskey() bool { return s.NeedsPasskey && !(s.ByPasskey && s.HasPasskey) }

// PasskeyOf says of whom a firm wants a passkey.
type PasskeyOf string

// All of them, as stored.
const (
	OfNobody    PasskeyOf = "nobody"
	OfRunners   PasskeyOf = "runners" // owners and foremen
	OfEverybody PasskeyOf = "everybody"
)

// PasskeysOf lists them.
var PasskeysOf = []PasskeyOf{OfNobody, OfRunners, OfEverybody}

// SeenInterval is how coarse SeenAt is: not every request writes.
const SeenInterval = 5 * time.Minute

// Limits are how long a firm's sessions last.
type Limits struct {
	Idle     time.Duration // without being used; 15 minutes to 60 days
	Absolute time.Duration // however much it is used; an hour to 180 days, and no less than Idle
}

// DefaultLimits holds the limits of a firm that has set none: weeks lie between
// a trade's visits to a house.
var DefaultLimits = Limits{Idle: 14 * 24 * time.Hour, Absolute: 60 * 24 * time.Hour}

// Check returns what is wrong with limits.
func (l Limits) Check() error {
	const day = 24 * time.Hour
	var wrong fault.Fields
	wrong.If(l.Idle < 15*time.Minute || l.Idle > 60*day, "idle", "the time without use is out of range",
		"Give 15 minutes to 60 days")
	wrong.If(l.Absolute < time.Hour || l.Absolute > 180*day || l.Absolute < l.Idle, "absolute",
		"the longest time is out of range", "Give an hour to 180 days, and no less than the time unused")
	return wrong.Err("These times cannot be saved.")
}

// SessionTx is what sessions need of a transaction.
type SessionTx interface {
	// SaveLimits stores the firm's limits, in whole minutes.
	SaveLimits(ctx context.Context, l Limits) error
	// SaveNeedPasskey stores of whom the firm wants passkeys.
	SaveNeedPasskey(ctx context.Context, of PasskeyOf) error
	// Arrive records that a member signed in for the first time, and ends their unused links.
	Arrive(ctx context.Context, member id.Member) error
	// InsertSession adds a session of s.Person, and deletes the person's ended
	// ones.
	InsertSession(ctx context.Context, hash Hash, s Session) error
	// Session returns a session that has not ended, of a member who has not
	// left.
	Session(ctx context.Context, hash Hash, at time.Time) (Session, error)
	// ProveSession records that a session's person made a passkey in it.
	ProveSession(ctx context.Context, member id.Member, session id.Session) error
	// SeeSession records that a session was used, and on which device if one is
	// given.
	SeeSession(ctx context.Context, hash Hash, device string, at time.Time) error
	// Sessions returns a member's sessions that have not ended, the last one
	// used first.
	Sessions(ctx context.Context, member id.Member, at time.Time) ([]Session, error)
	DeleteSession(ctx context.Context, hash Hash) error
	// EndSession ends one session of a member. Faults: NotFound.
	EndSession(ctx context.Context, member id.Member, session id.Session) error
	// EndSessions ends all sessions of a member but one, or all if keep is
	// zero.
	EndSessions(ctx context.Context, member id.Member, keep id.Session) error
	// EndAccess ends whatever signs a member in, or others on the member's
	// invitation: sessions, unused links, keys, unused invitations.
	EndAccess(ctx context.Context, member id.Member) error
}

// StartSession starts a session for a member whom the caller has authenticated.
// Faults: NotFound.
func (s *Service) StartSession(ctx context.Context, firm id.Firm, member id.Member) (Person, string, error) {
	return s.enter(ctx, firm, proved{}, func(Tx, time.Time) (id.Member, error) { return member, nil })
}

// proved is by what somebody signs in, where it is more than a link or a code.
type proved struct {
	by      *Proof // a provider's
	passkey bool
}

// enter starts a session for the member whom who identifies in a transaction of
// the firm: every sign-in ends here. What a provider proved, if anything, is tied
// to the member and to the session.
func (s *Service) enter(ctx context.Context, firm id.Firm, by proved,
	who func(Tx, time.Time) (id.Member, error)) (p Person, session string, err error) {
	err = s.in(ctx, Whole(firm), func(tx Tx) error {
		now := s.now()
		member, err := who(tx, now)
		if err != nil {
			return err
		}
		p, session, err = start(ctx, tx, member, by, now)
		return err
	})
	return p, session, err
}

func start(ctx context.Context, tx Tx, member id.Member, by proved, now time.Time) (Person, string, error) {
	m, err := present(tx.Member(ctx, member))
	if err != nil {
		return Person{}, "", err
	}
	f, err := tx.Firm(ctx)
	if err == nil && by.by != nil {
		err = tx.LinkIdentity(ctx, member, by.by.Identity, now)
	}
	if err != nil {
		return Person{}, "", err
	}
	if !m.HasSignedIn {
		if err := tx.Arrive(ctx, member); err != nil {
			return Person{}, "", err
		}
	}
	signed := now
	if by.by != nil {
		signed = by.by.SignedAt
	}
	token, hash := NewToken(m.Firm)
	err = tx.InsertSession(ctx, hash, Session{ID: id.New[id.Session](), Person: m.Person, CreatedAt: now, SeenAt: now,
		EndsAt: now.Add(f.Limits.Absolute), SignedAt: signed, ByPasskey: by.passkey})
	if err == nil && by.by != nil {
		err = tx.TieSession(ctx, hash, *by.by)
	}
	return m.Person, token, err
}

// Look finds the session of a firm that has a secret at a time. Faults: NotFound.
type Look func(ctx context.Context, of id.Firm, secret Hash, at time.Time) (Session, error)

// Authenticate returns the session with a secret, and records that it was used.
// Faults: NotFound if it has ended or never existed.
func (s *Service) Authenticate(ctx context.Context, session string) (Session, error) {
	return s.AuthenticateBy(ctx, session, s.find)
}

// AuthenticateBy is Authenticate for a look that learns more than the session on
// its way.
func (s *Service) AuthenticateBy(ctx context.Context, session string, look Look) (Session, error) {
	firm, hash, err := ReadToken(session)
	if err != nil {
		return Session{}, err
	}
	now := s.now()
	got, err := look(ctx, firm, hash, now)
	if err == nil && now.Sub(got.SeenAt) >= SeenInterval {
		err = noted(s.in(ctx, Whole(firm), func(tx Tx) error { return tx.SeeSession(ctx, hash, "", now) }))
	}
	return got, err
}

// noted is the error of noting that something was used: while nothing can be written
// that is not noted, and people go on reading.
func noted(err error) error {
	if fault.KindOf(err) == fault.Down {
		return nil
	}
	return err
}

// find is a Look.
func (s *Service) find(ctx context.Context, firm id.Firm, hash Hash, at time.Time) (got Session, err error) {
	err = s.look(ctx, Whole(firm), func(tx Tx) error {
		got, err = tx.Session(ctx, hash, at)
		return err
	})
	return got, err
}

// Session returns the person of a session without recording that it was used:
// for requests that go on by themselves, such as those of a page that listens.
// Faults: NotFound if it has ended.
func (s *Service) Session(ctx context.Context, session string) (Person, error) {
	got, _, err := s.session(ctx, session)
	return got.Person, err
}

// NameDevice records on which device a session was begun, and returns the
// session. Faults: NotFound.
func (s *Service) NameDevice(ctx context.Context, session, device string) (Session, error) {
	got, hash, err := s.session(ctx, session)
	if err != nil {
		return Session{}, err
	}
	return got, s.in(ctx, Whole(got.Person.Firm), func(tx Tx) error {
		return tx.SeeSession(ctx, hash, oneLine(device, 60), s.now())
	})
}

func (s *Service) session(ctx context.Context, session string) (got Session, hash Hash, err error) {
	firm, hash, err := ReadToken(session)
	if err != nil {
		return Session{}, hash, err
	}
	got, err = s.find(ctx, firm, hash, s.now())
	return got, hash, err
}

// Sessions returns the caller's own sessions, the last one used first. Faults:
// Refused.
func (s *Service) Sessions(ctx context.Context, by Person) ([]Session, error) {
	return Ask(ctx, s.in, by, MayManageSelf, func(tx Tx) ([]Session, error) { return tx.Sessions(ctx, by.ID, s.now()) })
}

// EndSession ends a session by its secret; one that has ended already is no error.
func (s *Service) EndSession(ctx context.Context, session string) error {
	if firm, hash, err := ReadToken(session); err == nil {
		return s.in(ctx, Whole(firm), func(tx Tx) error { return tx.DeleteSession(ctx, hash) })
	}
	return nil // no session at all has ended already
}

// EndOwnSession ends one of the caller's own sessions. Faults: Refused,
// NotFound, also for somebody else's.
func (s *Service) EndOwnSession(ctx context.Context, by Person, session id.Session) error {
	return s.in.Do(ctx, by, MayManageSelf, func(tx Tx) error { return tx.EndSession(ctx, by.ID, session) })
}

// EndOtherSessions ends all of the caller's own sessions but one. Faults:
// Refused.
func (s *Service) EndOtherSessions(ctx context.Context, by Person, keep id.Session) error {
	return s.in.Do(ctx, by, MayManageSelf, func(tx Tx) error { return tx.EndSessions(ctx, by.ID, keep) })
}

// EndAccess ends at once whatever signs a member in: sessions, unused links,
// keys and passkeys, and the invitations that the member made. The membership
// goes on. The owner may call it, for instance when a phone was lost. Faults:
// Refused, NotFound.
func (s *Service) EndAccess(ctx context.Context, by Person, member id.Member) error {
	return s.in.Do(ctx, by, MayRunFirm, func(tx Tx) error {
		if _, err := tx.Member(ctx, member); err != nil {
			return gone(noMember, err)
		}
		return tx.EndAccess(ctx, member)
	})
}

// Settle sets how long the firm's sessions last, existing ones included, and the
// time zone in which it works, by its IANA name; "" leaves that as it is. From then
// on every day, past ones included, is one there; what is on record as a day stays
// that day. need says who opens nothing without a passkey, "" leaves that as it is; whoever
// asks for one has one, so that somebody gets in. The owner may call it. Faults: Refused,
// BadInput.
func (s *Service) Settle(ctx context.Context, by Person, l Limits, zone string, need PasskeyOf) error {
	l = Limits{l.Idle.Truncate(time.Minute), l.Absolute.Truncate(time.Minute)}
	return s.in.Do(ctx, by, MayRunFirm, func(tx Tx) error {
		if err := l.Check(); err != nil {
			return err
		}
		if zone != "" {
			z, err := words.ParseZone(zone)
			if err != nil {
				return err
			}
			if err := tx.SaveZone(ctx, z); err != nil {
				return err
			}
		}
		if err := settleNeed(ctx, tx, by, need); err != nil {
			return err
		}
		return tx.SaveLimits(ctx, l)
	})
}

func settleNeed(ctx context.Context, tx Tx, by Person, need PasskeyOf) error {
	if need == "" {
		return nil
	}
	if !slices.Contains(PasskeysOf, need) {
		return fault.Bad("These settings cannot be saved.", "need_passkey", "it does not say who needs a passkey",
			"Choose nobody, owners and foremen, or everybody")
	}
	if have, err := tx.Passkeys(ctx, by.ID); err != nil {
		return err
	} else if need != OfNobody && len(have) == 0 {
		return fault.Bad("Nobody would get in.", "need_passkey", "you have no passkey yourself",
			"Make one first, under Where you are signed in, then ask for it of others")
	}
	return tx.SaveNeedPasskey(ctx, need)
}

// oneLine returns the beginning of a text, on one line and without unprintable
// characters.
func oneLine(text string, most int) string {
	text = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == utf8.RuneError {
			return ' '
		}
		return r
	}, text)
	if runes := []rune(text); len(runes) > most {
		text = string(runes[:most])
	}
	return strings.TrimSpace(text)
}
