package firm

import (
	"context"
	"errors"
	"hash/fnv"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Particulars are what the owner says of a member.
type Particulars struct {
	Name  string
	Role  Role
	Trade words.Trade // of a Trade; else empty
	Email string      // by which a provider may know the member; empty: none
	Team  Team        // of a trade or a client; an owner and a foreman see every job
}

// OwnersTx is what a firm needs in order to keep an owner.
type OwnersTx interface {
	// LockOwners returns the present owners, in a fixed order, and keeps others
	// from changing them until the transaction ends.
	LockOwners(ctx context.Context) ([]id.Member, error)
}

// PeopleTx is what managing people needs of a transaction.
type PeopleTx interface {
	OwnersTx
	// LockMember is Member, kept from being changed by others until the transaction
	// ends.
	LockMember(ctx context.Context, member id.Member) (Member, error)
	// SaveMember sets a member's name, role and trade, and whether the member
	// is on every job. Faults: NotFound.
	SaveMember(ctx context.Context, p Person) error
	// Teams returns the jobs that each member is named on.
	Teams(ctx context.Context) (map[id.Member][]id.Job, error)
}

// Profile is all that the owner sees of a member.
type Profile struct {
	Member
	Team     Team
	Sessions []Session  // not ended, the last one used first
	Keys     []Key      // the newest first
	Passkeys []Passkey  // the newest first
	KnownBy  []Identity // the providers that know the member
}

// Version identifies a state of a member's particulars, so that two owners who
// change the same member learn of each other. It is never 0.
func (s Profile) Version() int64 {
	h := fnv.New64a()
	write := func(text string) { _, _ = h.Write([]byte(strconv.Quote(text))) } // writing to a hash never fails
	for _, text := range []string{s.Name, string(s.Role), string(s.Trade), s.Email, strconv.FormatBool(s.EveryJob),
		strconv.FormatBool(s.LeftAt.IsZero())} {
		write(text)
	}
	for _, j := range s.Team.Jobs {
		write(j.String())
	}
	return int64(h.Sum64()>>1) | 1
}

// Profile returns a member with their jobs, sessions, keys and passkeys. The owner may call it.
// Faults: Refused, NotFound.
func (s *Service) Profile(ctx context.Context, by Person, member id.Member) (Profile, error) {
	return Ask(ctx, s.in, by, MayRunFirm, func(tx Tx) (st Profile, err error) {
		m, err := tx.Member(ctx, member)
		if err != nil {
			return st, gone(noMember, err)
		}
		if st, err = profile(ctx, tx, m); err != nil {
			return st, err
		}
		if st.Sessions, err = tx.Sessions(ctx, member, s.now()); err != nil {
			return st, err
		}
		if st.Keys, err = tx.Keys(ctx, member); err != nil {
			return st, err
		}
		if st.Passkeys, err = tx.Passkeys(ctx, member); err != nil {
			return st, err
		}
		st.KnownBy, err = tx.Identities(ctx, member)
		return st, err
	})
}

func profile(ctx context.Context, tx Tx, m Member) (Profile, error) {
	jobs, err := tx.MemberJobs(ctx, m.ID)
	return Profile{Member: m, Team: Team{EveryJob: m.EveryJob, Jobs: jobs}}, err
}

// Roster returns everybody of the firm with the jobs they are named on, those
// who left last. Owners and foremen may call it; e-mail addresses are for the
// owner alone. Faults: Refused.
func (s *Service) Roster(ctx context.Context, by Person) ([]Profile, error) {
	return Ask(ctx, s.in, by, MayRunTeams, func(tx Tx) (all []Profile, err error) {
		members, err := tx.Members(ctx)
		if err != nil {
			return nil, err
		}
		teams, err := tx.Teams(ctx)
		for _, m := range members {
			if MayRunFirm(by) != nil {
				m.Email = ""
			}
			all = append(all, Profile{Member: m, Team: Team{m.EveryJob, teams[m.ID]}})
		}
		return all, err
	})
}

// TakeOn adds a member with the given particulars. The owner may call it.
// Repeating it with the same id and particulars is no error. Faults: Refused,
// BadInput, NotFound (a job), Conflict.
func (s *Service) TakeOn(ctx context.Context, by Person, member id.Member, p Particulars) (Profile, error) {
	return Ask(ctx, s.in, by, MayRunFirm, func(tx Tx) (st Profile, err error) {
		person, p, err := p.person(by.Firm, id.OrNew(member))
		if err != nil {
			return st, err
		}
		if err := StillOwner(ctx, tx, by); err != nil {
			return st, err
		}
		if old, err := tx.Member(ctx, person.ID); err == nil {
			if st, err = profile(ctx, tx, old); err == nil && !st.matches(person, p) {
				err = &fault.Error{Kind: fault.Conflict, Msg: "Somebody else was added with this id."}
			}
			return st, err
		}
		st = Profile{Member: Member{Person: person, Email: p.Email, CreatedAt: s.now()}, Team: p.Team}
		if err := tx.InsertMember(ctx, st.Member); err != nil {
			return st, err
		}
		return st, s.save(ctx, tx, person, p)
	})
}

// UpdateMember changes a member's particulars, with effect from the member's
// next request. version is that of the Profile that was changed; 0 skips the
// check. The owner may call it; an owner's role is changed only by another
// owner. Faults: Refused, BadInput, NotFound, Conflict (it was changed in the
// meantime, or somebody else has the e-mail address).
func (s *Service) UpdateMember(ctx context.Context, by Person, member id.Member, version int64, p Particulars) error {
	return s.in.Do(ctx, by, MayRunFirm, func(tx Tx) error {
		person, p, err := p.person(by.Firm, member)
		if err != nil {
			return err
		}
		if err := StillOwner(ctx, tx, by); err != nil {
			return err
		}
		m, err := tx.LockMember(ctx, member)
		if err != nil {
			return gone(noMember, err)
		}
		was, err := profile(ctx, tx, m)
		switch {
		case err != nil:
			return err
		case version != 0 && version != was.Version():
			return &fault.Error{Kind: fault.Conflict, Msg: "Somebody else changed " + m.Name + " in the meantime."}
		case !m.LeftAt.IsZero():
			return gone(noMember, nil)
		case member == by.ID && p.Role != Owner:
			return fault.Bad("You are still the owner.", "role", "an owner cannot give up the role of owner alone",
				"Make somebody else an owner, and let them do it")
		}
		if err := tx.SaveMember(ctx, person); err != nil {
			return err
		}
		return s.save(ctx, tx, person, p)
	})
}

// save writes a member's jobs and e-mail address.
func (s *Service) save(ctx context.Context, tx Tx, who Person, p Particulars) error {
	if err := tx.SaveTeam(ctx, who.ID, p.Team, s.now()); err != nil {
		return err
	}
	all, err := tx.Members(ctx)
	if err != nil {
		return err
	}
	if taken(all, who) {
		return fault.Bad("This name is taken.", "name", called,
			"Add a middle name: the diary tells people apart by their names")
	}
	for _, m := range all {
		if p.Email != "" && m.Email == p.Email && m.ID != who.ID && m.LeftAt.IsZero() {
			return &fault.Error{Kind: fault.Conflict, Msg: "This e-mail is taken.",
				Fields: []fault.Field{{Path: "email", Wrong: m.Name + " has this e-mail",
					Mend: "Give everybody their own, or leave it empty"}}}
		}
	}
	return tx.SaveEmail(ctx, who.ID, p.Email)
}

// person checks particulars and returns them normalised, with the person that
// they make.
func (p Particulars) person(of id.Firm, member id.Member) (Person, Particulars, error) {
	p.Name = strings.TrimSpace(p.Name)
	if p.Role == Owner || p.Role == Foreman {
		p.Team = Team{}
	}
	if p.Team.EveryJob {
		p.Team.Jobs = nil
	}
	p.Team.Jobs = sorted(p.Team.Jobs)
	who := Person{Firm: of, ID: member, Name: p.Name, Role: p.Role, Trade: p.Trade, EveryJob: p.Team.EveryJob}
	err := checkMember(who)
	if p.Email != "" {
		email, wrong := CheckEmail(p.Email)
		p.Email, err = email, joinFaults(err, wrong)
	}
	return who, p, err
}

// joinFaults makes one fault of two, so that a form says at once all that has
// to be mended.
func joinFaults(a, b error) error {
	var first, second *fault.Error
	if !errors.As(a, &first) {
		return b
	}
	if errors.As(b, &second) {
		first.Fields = append(first.Fields, second.Fields...)
	}
	return first
}

// matches reports whether a member has the same particulars as a person.
func (s Profile) matches(who Person, p Particulars) bool {
	return s.Person == who && s.Email == p.Email && slices.Equal(s.Team.Jobs, p.Team.Jobs) && s.LeftAt.IsZero()
}

// StillOwner checks that somebody is an owner at this moment, and keeps others
// from removing an owner before the transaction ends: so two owners who remove
// each other do not leave a firm without one.
func StillOwner(ctx context.Context, tx OwnersTx, by Person) error {
	owners, err := tx.LockOwners(ctx)
	if err == nil && !slices.Contains(owners, by.ID) {
		return May(RunFirm)(Person{})
	}
	return err
}

// EndSessionOf ends one session of a member. The owner may call it. Faults:
// Refused, NotFound.
func (s *Service) EndSessionOf(ctx context.Context, by Person, member id.Member, session id.Session) error {
	return s.in.Do(ctx, by, MayRunFirm, func(tx Tx) error { return tx.EndSession(ctx, member, session) })
}

// EndKeyOf deletes one key of a member. The owner may call it. Faults: Refused,
// NotFound.
func (s *Service) EndKeyOf(ctx context.Context, by Person, member id.Member, key id.Key) error {
	return s.in.Do(ctx, by, MayRunFirm, func(tx Tx) error { return tx.EndKey(ctx, member, key) })
}

// EndPasskeyOf deletes one passkey of a member. The owner may call it. Faults:
// Refused, NotFound.
func (s *Service) EndPasskeyOf(ctx context.Context, by Person, member id.Member, passkey id.Passkey) error {
	return s.in.Do(ctx, by, MayRunFirm, func(tx Tx) error { return tx.DeletePasskey(ctx, member, passkey) })
}
