package firm

import (
	"context"
	"slices"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// Team is which jobs a member may see and write to.
type Team struct {
	EveryJob bool
	Jobs     []id.Job // those he is named on, sorted; of no account while EveryJob
}

// TeamTx is what naming jobs needs of a transaction.
type TeamTx interface {
	// MemberJobs returns the jobs that a member is named on, sorted.
	MemberJobs(ctx context.Context, member id.Member) ([]id.Job, error)
	// SaveTeam puts the jobs of a member in the place of those before, but for
	// closed ones, which stay. Faults: NotFound, also for a job of another firm.
	SaveTeam(ctx context.Context, member id.Member, t Team, at time.Time) error
	// NameOnJob names a member on one more job; one that he is on already is no
	// error. Faults: NotFound (the job).
	NameOnJob(ctx context.Context, member id.Member, job id.Job, at time.Time) error
	// TakeOffJob is its reverse.
	TakeOffJob(ctx context.Context, member id.Member, job id.Job) error
}

// NameJobs says which jobs a trade or a client works on or follows, in place of
// what was said before; it holds from his next request on. The owner may, and the
// foreman for the trades. Faults: Refused, NotFound, BadInput.
func (s *Service) NameJobs(ctx context.Context, by Person, member id.Member, t Team) error {
	if err := MayRunTeams(by); err != nil {
		return err
	}
	t.Jobs = slices.Clone(t.Jobs)
	sortJobs(t.Jobs)
	t.Jobs = slices.Compact(t.Jobs)
	return s.in(ctx, by, func(tx Tx) error {
		m, err := placeable(ctx, tx, by, member)
		if err != nil {
			return err
		}
		if m.Role == Owner || m.Role == Foreman || m.Role == Client && t.EveryJob {
			return &fault.Error{Kind: fault.BadInput, Msg: "The jobs of " + m.Name + " cannot be named.",
				Fields: []fault.Field{{Path: "jobs",
					Wrong: "owner and foreman see every job, and a client only those he is named on",
					Mend:  "Name jobs for a trade, or some for a client"}}}
		}
		return tx.SaveTeam(ctx, member, t, s.now())
	})
}

// placeable returns a member, kept from being changed by others, whose jobs by may
// name: a client's are for the owner.
func placeable(ctx context.Context, tx Tx, by Person, member id.Member) (Member, error) {
	m, err := tx.LockMember(ctx, member)
	if err != nil || !m.LeftAt.IsZero() {
		return Member{}, noMember(err)
	}
	if m.Role == Client {
		return m, MayRunFirm(by)
	}
	return m, nil
}

// PutOn names a member on one more job. The owner may, and the foreman for the
// trades. Faults: Refused, NotFound, BadInput (he sees the job anyway).
func (s *Service) PutOn(ctx context.Context, by Person, member id.Member, job id.Job) error {
	if err := MayRunTeams(by); err != nil {
		return err
	}
	return s.in(ctx, by, func(tx Tx) error {
		m, err := placeable(ctx, tx, by, member)
		if err != nil {
			return err
		}
		if m.EveryJob || m.Role == Owner || m.Role == Foreman {
			return &fault.Error{Kind: fault.BadInput, Msg: m.Name + " cannot be put on this job.",
				Fields: []fault.Field{{Path: "person",
					Wrong: m.Name + " is on every job", Mend: "Choose somebody else"}}}
		}
		return tx.NameOnJob(ctx, member, job, s.now())
	})
}

// TakeOff takes a member off a job; one that he is not named on is no error. Who
// may is as with PutOn. Faults: Refused, NotFound.
func (s *Service) TakeOff(ctx context.Context, by Person, member id.Member, job id.Job) error {
	if err := MayRunTeams(by); err != nil {
		return err
	}
	return s.in(ctx, by, func(tx Tx) error {
		if _, err := placeable(ctx, tx, by, member); err != nil {
			return err
		}
		return tx.TakeOffJob(ctx, member, job)
	})
}

// Team returns which jobs a member may see. The owner and the foreman may ask,
// and everybody for himself. Faults: Refused, NotFound.
func (s *Service) Team(ctx context.Context, by Person, member id.Member) (t Team, err error) {
	if err := MayRunTeams(by); err != nil && member != by.ID {
		return Team{}, err
	}
	err = s.in(ctx, by, func(tx Tx) error {
		m, err := tx.Member(ctx, member)
		if err != nil {
			return err
		}
		t.EveryJob = m.EveryJob || m.Role == Owner || m.Role == Foreman
		t.Jobs, err = tx.MemberJobs(ctx, member)
		return err
	})
	return t, err
}

func sortJobs(jobs []id.Job) {
	slices.SortFunc(jobs, func(a, b id.Job) int { return slices.Compare(a[:], b[:]) })
}
