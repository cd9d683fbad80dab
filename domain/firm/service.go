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

// LinkLifetime is how long a newcomer's one-time link can be used.
const LinkLifetime = 48 * time.Hour

// Service does what people can do with a firm.
type Service struct {
	in   In[Tx]
	look In[Tx] // for one question, which it costs a single round trip
	now  func() time.Time
}

// NewService returns a service. in runs transactions, look those that ask once
// and write nothing; now is the clock.
func NewService(in, look In[Tx], now func() time.Time) *Service { return &Service{in, look, now} }

// Found makes a firm with its first owner, and a link that signs the owner in
// once. zone is the name of the time zone in which it works. It is only for the
// command line: no person of a firm may call it. Faults: BadInput.
func (s *Service) Found(ctx context.Context, name, zone, owner string) (Person, string, error) {
	p := Person{Firm: id.New[id.Firm](), ID: id.New[id.Member](), Name: strings.TrimSpace(owner), Role: Owner}
	if err := checkMember(p); err != nil {
		return Person{}, "", err
	}
	if name = strings.TrimSpace(name); name == "" || utf8.RuneCountInString(name) > 120 {
		return Person{}, "", fault.Bad("The firm has no name.", "name", "there is no name", "Give the firm's name")
	}
	at, err := words.ParseZone(zone)
	if err != nil {
		return Person{}, "", err
	}
	now := s.now()
	token, hash := NewToken(p.Firm)
	err = s.in(ctx, Whole(p.Firm), func(tx Tx) error {
		if err := tx.InsertFirm(ctx, Firm{ID: p.Firm, Name: name, CreatedAt: now, Zone: at}); err != nil {
			return err
		}
		if err := tx.InsertMember(ctx, Member{Person: p, CreatedAt: now}); err != nil {
			return err
		}
		return tx.InsertOneTimeLink(ctx, hash, p.ID, now, now.Add(LinkLifetime))
	})
	return p, token, err
}

// Readmit ends whatever signs in an owner who has lost every way in, and makes a link that
// does so once, within CodeLifetime. It is only for the command line: no person of a firm may call it. Faults:
// BadInput.
func (s *Service) Readmit(ctx context.Context, of id.Firm, owner string) (p Person, token string, err error) {
	token, hash := NewToken(of)
	err = s.in(ctx, Whole(of), func(tx Tx) error {
		all, err := tx.Members(ctx)
		if err != nil {
			return err
		}
		i := slices.IndexFunc(all, func(m Member) bool {
			return m.LeftAt.IsZero() && m.Role == Owner && m.Name == strings.TrimSpace(owner)
		})
		if i < 0 {
			return fault.Bad("There is no such owner.", "owner", "no present owner of this firm has this name",
				"Give the firm by its id, and the name as it stands in the firm")
		}
		p = all[i].Person
		if err := tx.EndAccess(ctx, p.ID); err != nil {
			return err
		}
		now := s.now()
		return tx.InsertOneTimeLink(ctx, hash, p.ID, now, now.Add(CodeLifetime))
	})
	return p, token, err
}

// Firm returns the firm of by. Anyone of the firm may ask.
func (s *Service) Firm(ctx context.Context, by Person) (Firm, error) {
	return Ask(ctx, s.in, by, Anyone, func(tx Tx) (Firm, error) { return tx.Firm(ctx) })
}

// Members returns everybody of the firm, those who left last. Everyone on site
// may call it.
func (s *Service) Members(ctx context.Context, by Person) (all []Member, err error) {
	all, err = Ask(ctx, s.in, by, MayRead, func(tx Tx) ([]Member, error) { return tx.Members(ctx) })
	for i := range all {
		if MayRunFirm(by) != nil && all[i].ID != by.ID {
			all[i].Email = ""
		}
	}
	return all, err
}

// EndMember ends a membership: the member's sessions, links, keys and e-mail
// address end at once; what the member wrote keeps its author's name. The owner
// may call it, but not for themselves, so that one is always left. Faults:
// Refused, NotFound.
func (s *Service) EndMember(ctx context.Context, by Person, member id.Member) error {
	return s.in.Do(ctx, by, MayRunFirm, func(tx Tx) error {
		if member == by.ID {
			return &fault.Error{Kind: fault.Refused, Msg: "You cannot remove yourself from the firm."}
		}
		if err := StillOwner(ctx, tx, by); err != nil {
			return err
		}
		if err := tx.EndMember(ctx, member, s.now()); err != nil {
			return err
		}
		if err := tx.UnlinkIdentities(ctx, member); err != nil {
			return err
		}
		if err := tx.SaveEmail(ctx, member, ""); err != nil {
			return err
		}
		return tx.EndAccess(ctx, member)
	})
}

// OneTimeLink makes a link that signs a member in once, within LinkLasts. The owner
// may call it. Faults: Refused, NotFound, BadInput (too many wait).
func (s *Service) OneTimeLink(ctx context.Context, by Person, member id.Member) (token string, err error) {
	token, hash := NewToken(by.Firm)
	return token, s.in.Do(ctx, by, MayRunFirm, func(tx Tx) error {
		m, err := present(tx.Member(ctx, member))
		if err != nil {
			return err
		}
		now := s.now()
		return addLink(ctx, tx, hash, member, now, now.Add(m.LinkLasts()))
	})
}

// MaxLinks is how many unused links a member may have at a time.
const MaxLinks = 10

// addLink adds a link for a member, whom it keeps from getting others meanwhile.
func addLink(ctx context.Context, tx Tx, hash Hash, member id.Member, now, ends time.Time) error {
	if _, err := present(tx.LockMember(ctx, member)); err != nil {
		return err
	}
	waiting, err := tx.WaitingLinks(ctx, member, now)
	if err == nil && waiting >= MaxLinks {
		return &fault.Error{Kind: fault.BadInput, Msg: "There are as many unused links as one person may have. " +
			"Use one of them, or wait until they have run out."}
	}
	if err != nil {
		return err
	}
	return tx.InsertOneTimeLink(ctx, hash, member, now, ends)
}

// SignIn uses up a one-time link and starts a session. Anyone may call it.
// Faults: NotFound, also for a link that was used or has expired.
func (s *Service) SignIn(ctx context.Context, link string) (Person, string, error) {
	firm, hash, err := ReadToken(link)
	if err != nil {
		return Person{}, "", err
	}
	return s.enter(ctx, firm, proved{}, byLink(ctx, hash))
}

// byLink identifies a member by a one-time link, which it uses up.
func byLink(ctx context.Context, hash Hash) func(Tx, time.Time) (id.Member, error) {
	return func(tx Tx, now time.Time) (id.Member, error) {
		member, err := tx.UseOneTimeLink(ctx, hash, now)
		if err != nil {
			err = gone(noLink, err)
		}
		return member, err
	}
}

// BuildUps returns the firm's standard build-ups. Everyone on site may call it.
func (s *Service) BuildUps(ctx context.Context, by Person) ([]BuildUp, error) {
	return Ask(ctx, s.in, by, MayRead, func(tx Tx) ([]BuildUp, error) { return tx.BuildUps(ctx) })
}

// SaveBuildUp adds a standard build-up or changes one; rooms for which it was
// planned keep what was planned. Owners and foremen may call it. Faults:
// Refused, BadInput, Conflict (another one has the name).
func (s *Service) SaveBuildUp(ctx context.Context, by Person, b BuildUp) (BuildUp, error) {
	b.ID, b.Name = id.OrNew(b.ID), strings.TrimSpace(b.Name)
	return b, s.in.Do(ctx, by, MayRunJobs, func(tx Tx) error {
		if err := b.Check(); err != nil {
			return err
		}
		return tx.SaveBuildUp(ctx, b, s.now())
	})
}
