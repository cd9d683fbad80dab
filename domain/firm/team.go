package firm

import (
	"context"
	"slices"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// Team is the set of jobs that a member may see and write to.
type Team struct {
	EveryJob bool
	Jobs     []id.Job // those the member is named on, sorted; ignored while EveryJob
}

// TeamTx is what naming jobs needs of a transaction.
type TeamTx interface {
	// MemberJobs returns the jobs that a member is named on, sorted.
	MemberJobs(ctx context.Context, member id.Member) ([]id.Job, error)
	// SaveTeam replaces the jobs of a member, except closed ones, which stay.
	// Faults: NotFound, also for a job of another firm.
	SaveTeam(ctx context.Context, member id.Member, t Team, at time.Time) error
	// NameOnJob names a member on one more job; that the member is on it
	// already is no error. Faults: NotFound (the job).
	NameOnJob(ctx context.Context, member id.Member, job id.Job, at time.Time) error
	// TakeOffJob undoes NameOnJob.
	TakeOffJob(ctx context.Context, member id.Member, job id.Job) error
}

// NameJobs replaces the jobs that a trade works on or a client follows, with
// effect from the member's next request. The owner may call it, and foremen for
// the trades. Faults: Refused, NotFound, BadInput.
func (s *Service) NameJobs(ctx context.Context, by Person, member id.Member, t Team) error {
	t.Jobs = sorted(t.Jobs)
	return s.in.Do(ctx, by, MayRunTeams, func(tx Tx) error {
		m, err := lockForJobs(ctx, tx, by, member)
		if err != nil {
			return err
		}
		if m.Role == Owner || m.Role == Foreman || m.Role == Client && t.EveryJob {
			return fault.Bad("The jobs of "+m.Name+" cannot be saved.", "jobs",
				"owner and foreman see every job, and a client only those that they are named on",
				"Name jobs for a trade, or some for a client")
		}
		return tx.SaveTeam(ctx, member, t, s.now())
	})
}

// lockForJobs returns a member whose jobs by may name, and keeps others from
// changing it; a client's jobs are for the owner.
func lockForJobs(ctx context.Context, tx Tx, by Person, member id.Member) (Member, error) {
	m, err := present(tx.LockMember(ctx, member))
	if err == nil && m.Role == Client {
		err = MayRunFirm(by)
	}
	return m, err
}

// AddToJob names a member on one more job. The owner may call it, and foremen
// for the trades. Faults: Refused, NotFound, BadInput (the member sees the job
// anyway).
func (s *Service) AddToJob(ctx context.Context, by Person, member id.Member, job id.Job) error {
	return s.in.Do(ctx, by, MayRunTeams, func(tx Tx) error {
		m, err := lockForJobs(ctx, tx, by, member)
		if err != nil {
			return err
		}
		if m.EveryJob || m.Role == Owner || m.Role == Foreman {
			return fault.Bad(m.Name+" cannot be added to this job.", "person", m.Name+" is on every job",
				"Choose somebody else")
		}
		return tx.NameOnJob(ctx, member, job, s.now())
	})
}

// RemoveFromJob takes a member off a job; that the member is not named on it is
// no error. It may be called by whoever may call AddToJob. Faults: Refused,
// NotFound.
func (s *Service) RemoveFromJob(ctx context.Context, by Person, member id.Member, job id.Job) error {
	return s.in.Do(ctx, by, MayRunTeams, func(tx Tx) error {
		if _, err := lockForJobs(ctx, tx, by, member); err != nil {
			return err
		}
		return tx.TakeOffJob(ctx, member, job)
	})
}

// Team returns the jobs that a member may see. Owners and foremen may call it,
// and everybody for themselves. Faults: Refused, NotFound.
func (s *Service) Team(ctx context.Context, by Person, member id.Member) (Team, error) {
	may := MayRunTeams
	if member == by.ID {
		may = Anyone
	}
	return Ask(ctx, s.in, by, may, func(tx Tx) (t Team, err error) {
		m, err := tx.Member(ctx, member)
		if err != nil {
			return t, err
		}
		t.EveryJob = m.EveryJob || m.Role == Owner || m.Role == Foreman
		t.Jobs, err = tx.MemberJobs(ctx, member)
		return t, err
	})
}

// sorted returns the jobs sorted, each once.
func sorted(jobs []id.Job) []id.Job {
	return slices.Compact(slices.SortedFunc(slices.Values(jobs),
		func(a, b id.Job) int { return slices.Compare(a[:], b[:]) }))
}
