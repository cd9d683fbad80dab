package firm

import (
	"context"
	"slices"
	"strings"
	"time"
	"unicode"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Invitation lets one person into the firm, once. Whoever has its code signs in
// with it and states their own name.
type Invitation struct {
	ID id.Invitation
	By id.Member // who made it
	// What the person is going to be: a trade, on every job or on those named,
	// or a foreman.
	Role     Role
	Trade    words.Trade
	EveryJob bool
	Jobs     []id.Job
	// JobNames are the names of Jobs in their order, ByName is that of By. They are
	// read and never written.
	JobNames []string
	ByName   string
	// Printed: the code is meant for paper and lasts until the day ends.
	Printed           bool
	CreatedAt, EndsAt time.Time
}

// CodeLifetime is how long a code on a phone's screen can be used. It lets in
// whoever sees it, as a code sent to a phone does: 10 minutes at most (OWASP
// ASVS 5.0, 6.5.5). A printed one has to last until its person comes by: an
// activation code that expires soon and works once (6.4.1).
const CodeLifetime = 10 * time.Minute

// MaxInvitations is how many unused codes a firm may have at a time.
const MaxInvitations = 50

// InvitationTx is what invitations need of a transaction.
type InvitationTx interface {
	// InsertInvitation adds an invitation, and deletes those that expired
	// unused. Faults: NotFound for a job that is not the firm's.
	InsertInvitation(ctx context.Context, hash Hash, i Invitation) error
	// Invitation returns an invitation that can be used.
	Invitation(ctx context.Context, hash Hash, at time.Time) (Invitation, error)
	// UseInvitation marks an invitation as used, and returns it: once, no
	// matter how many try at the same time.
	UseInvitation(ctx context.Context, hash Hash, at time.Time) (Invitation, error)
	// Invitations returns all that can be used, the newest first.
	Invitations(ctx context.Context, at time.Time) ([]Invitation, error)
	// DeleteInvitation deletes an unused invitation. Faults: NotFound.
	DeleteInvitation(ctx context.Context, invitation id.Invitation) error
}

// MayInvite checks that a person may invite somebody as i says: nil, or a fault
// of kind Refused. A foreman invites trades, the owner foremen too.
func MayInvite(by Person, i Invitation) error {
	if i.Role == Foreman {
		return MayRunFirm(by)
	}
	return May(Invite)(by)
}

// Invite makes an invitation and returns its code, which is not stored. The
// owner and the foreman may; see MayInvite. Faults: Refused, BadInput,
// NotFound.
func (s *Service) Invite(ctx context.Context, by Person, i Invitation) (made Invitation, code string, err error) {
	now := s.now()
	i.ID, i.By, i.CreatedAt, i.EndsAt = id.New[id.Invitation](), by.ID, now, now.Add(CodeLifetime)
	i.Jobs = sorted(i.Jobs)
	token, hash := NewToken(by.Firm)
	may := func(by Person) error { return MayInvite(by, i) }
	made, err = Ask(ctx, s.in, by, may, func(tx Tx) (made Invitation, err error) {
		if err := i.check(); err != nil {
			return made, err
		}
		waiting, err := tx.Invitations(ctx, now)
		if err != nil {
			return made, err
		}
		of, err := tx.Firm(ctx)
		if err != nil {
			return made, err
		}
		if i.Printed {
			i.EndsAt = endOfDay(of.Zone, now)
		}
		if len(waiting) >= MaxInvitations {
			return made, badInvitation("jobs", "there are too many unused codes", "Remove those that nobody will use")
		}
		if err := tx.InsertInvitation(ctx, hash, i); err != nil {
			return made, err
		}
		return tx.Invitation(ctx, hash, now)
	})
	return made, token, err
}

// endOfDay returns the last second of a day in a zone, or of the next ten minutes
// if that is later.
func endOfDay(in words.Zone, now time.Time) time.Time {
	end, least := in.Begins(in.Day(now).AddDate(0, 0, 1)).Add(-time.Second), now.Add(CodeLifetime)
	if end.Before(least) {
		return least
	}
	return end
}

func (i Invitation) check() error {
	switch {
	case i.Role == Foreman && (i.Trade != "" || i.EveryJob || len(i.Jobs) > 0):
		return badInvitation("jobs", "a foreman has no trade and no list of jobs", "Leave them out: a foreman sees every job")
	case i.Role == Foreman:
		return nil
	case i.Role != Trade || !worksAs(i.Trade):
		return badInvitation("trade", "it does not say what the person does", "Choose the trade")
	case i.EveryJob == (len(i.Jobs) > 0):
		return badInvitation("jobs", "it does not say which jobs", "Name one job or more, or say every job")
	}
	return nil
}

func badInvitation(path, wrong, mend string) error {
	return fault.Bad("This code cannot be made.", path, wrong, mend)
}

// Invitations returns the unused invitations, the newest first. Owners and
// foremen may call it. Faults: Refused.
func (s *Service) Invitations(ctx context.Context, by Person) ([]Invitation, error) {
	return Ask(ctx, s.in, by, May(Invite), func(tx Tx) ([]Invitation, error) { return tx.Invitations(ctx, s.now()) })
}

// RevokeInvitation revokes an unused invitation; its code no longer works.
// Owners and foremen may call it. Faults: Refused, NotFound.
func (s *Service) RevokeInvitation(ctx context.Context, by Person, invitation id.Invitation) error {
	return s.in.Do(ctx, by, May(Invite), func(tx Tx) error { return tx.DeleteInvitation(ctx, invitation) })
}

// InvitationByCode returns what a code is for, and the firm, without using it
// up. Anyone may call it. Faults: NotFound, also for a code that was used or
// revoked, or has expired.
func (s *Service) InvitationByCode(ctx context.Context, code string) (i Invitation, f Firm, err error) {
	firm, hash, err := ReadToken(code)
	if err != nil {
		return i, f, gone(noCode, err)
	}
	err = s.in(ctx, Whole(firm), func(tx Tx) error {
		if i, err = invitedBy(ctx, tx, hash, tx.Invitation, s.now()); err == nil {
			f, err = tx.Firm(ctx)
		}
		return err
	})
	return i, f, err
}

// Join uses a code up: a person called name then belongs to the firm, as the
// invitation says, and has a session. Anyone may call it. Faults: NotFound,
// also for a code that was used or revoked, or has expired; BadInput, after
// which the code can still be used.
func (s *Service) Join(ctx context.Context, code, name string) (Person, string, error) {
	firm, hash, err := ReadToken(code)
	if err != nil {
		return Person{}, "", gone(noCode, err)
	}
	return s.enter(ctx, firm, proved{}, func(tx Tx, now time.Time) (id.Member, error) {
		i, err := invitedBy(ctx, tx, hash, tx.UseInvitation, now)
		if err != nil {
			return id.Member{}, err
		}
		p := Person{Firm: firm, ID: id.New[id.Member](), Name: plainName(name), Role: i.Role, Trade: i.Trade,
			EveryJob: i.EveryJob}
		if err := checkNewcomer(ctx, tx, p); err != nil {
			return p.ID, err
		}
		if err := tx.InsertMember(ctx, Member{Person: p, CreatedAt: now}); err != nil {
			return p.ID, err
		}
		return p.ID, tx.SaveTeam(ctx, p.ID, Team{EveryJob: i.EveryJob, Jobs: i.Jobs}, now)
	})
}

// invitedBy returns the invitation that find finds, if whoever made it may still
// do so.
func invitedBy(ctx context.Context, tx Tx, hash Hash, find func(context.Context, Hash, time.Time) (Invitation, error),
	now time.Time) (Invitation, error) {
	i, err := find(ctx, hash, now)
	if err != nil {
		return i, gone(noCode, err)
	}
	m, err := tx.Member(ctx, i.By)
	if err == nil && (MayInvite(m.Person, i) != nil || !m.LeftAt.IsZero()) {
		err = gone(noCode, nil)
	}
	return i, err
}

// checkNewcomer returns what is wrong with a name that a newcomer states.
// Nobody can take a present member's name: the diary tells people apart by it.
func checkNewcomer(ctx context.Context, tx Tx, p Person) error {
	if err := checkMember(p); err != nil {
		return err
	}
	all, err := tx.Members(ctx)
	if err == nil && taken(all, p) {
		return fault.Bad(cannotBeAdded, "name", called, "Add a middle name or your firm's name")
	}
	return err
}

// called is what is wrong with a name that is taken.
const called = "somebody in the firm already has that name"

// taken reports whether another member who has not left has a person's name.
func taken(all []Member, p Person) bool {
	return slices.ContainsFunc(all,
		func(m Member) bool { return m.ID != p.ID && m.LeftAt.IsZero() && sameName(m.Name, p.Name) })
}

// plainName returns a name as somebody typed it, on one line, with single
// spaces and without characters that turn the direction of the text beside it.
// It shortens nothing.
func plainName(name string) string {
	name = strings.Map(func(r rune) rune {
		if unicode.Is(unicode.Bidi_Control, r) {
			return -1
		}
		return r
	}, name)
	return strings.Join(strings.Fields(oneLine(name, 200)), " ")
}

// NewDeviceLink makes a one-time link with which people sign in on another
// device of theirs, within CodeLifetime. Faults: Refused, BadInput (too many wait).
func (s *Service) NewDeviceLink(ctx context.Context, by Person) (link string, ends time.Time, err error) {
	now := s.now()
	link, hash := NewToken(by.Firm)
	ends = now.Add(CodeLifetime)
	return link, ends, s.in.Do(ctx, by, MayManageSelf,
		func(tx Tx) error { return addLink(ctx, tx, hash, by.ID, now, ends) })
}
