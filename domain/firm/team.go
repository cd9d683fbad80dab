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
	// MemberJobs gives the jobs that a member is named on, sorted.
	MemberJobs(ctx context.Context, member id.Member) ([]id.Job, error)
	// SaveTeam puts the jobs of a member in the place of those before. Faults:
	// NotFound, also for a job of another firm.
	SaveTeam(ctx context.Context, member id.Member, t Team, at time.Time) error
}

// NameJobs says which jobs a trade or a client works on or follows, in place of
// what was said before; it holds from his next request on. The owner and the
// foreman may. Faults: Refused, NotFound, BadInput.
func (s *Service) NameJobs(ctx context.Context, by Person, member id.Member, t Team) error {
	if err := MayRunTeams(by); err != nil {
		return err
	}
	t.Jobs = slices.Clone(t.Jobs)
	sortJobs(t.Jobs)
	t.Jobs = slices.Compact(t.Jobs)
	return s.in(ctx, by, func(tx Tx) error {
		m, err := tx.Member(ctx, member)
		if err != nil || !m.LeftAt.IsZero() {
			return noMember(err)
		}
		if m.Role == Owner || m.Role == Foreman || m.Role == Client && t.EveryJob {
			return &fault.Error{Kind: fault.BadInput, Msg: "The jobs of " + m.Name + " cannot be named.", Fields: []fault.Field{{Path: "jobs",
				Wrong: "owner and foreman see every job, and a client only those he is named on", Mend: "Name jobs for a trade, or some for a client"}}}
		}
		return tx.SaveTeam(ctx, member, t, s.now())
	})
}

// Team gives which jobs a member may see. The owner and the foreman may ask,
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
