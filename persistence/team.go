package persistence

import (
	"context"
	"slices"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// reach is which jobs the person sees who asks. The policies of the tables hold
// it, too; here it stands in the queries.
type reach struct {
	every bool
	jobs  []id.Job
}

// job is a NotFound where a job is out of reach, as for one that never was.
func (r reach) job(of id.Job) error {
	if r.every || slices.Contains(r.jobs, of) {
		return nil
	}
	return &fault.Error{Kind: fault.NotFound, Msg: "There is no such job."}
}

// askAs begins what a person does: see the function in migrations/0008.
func askAs(ctx context.Context, tx pgx.Tx, by firm.Person) (r reach, err error) {
	err = tx.QueryRow(ctx, "select every_job, jobs from ask_as($1, $2)", by.Firm, null(by.ID)).Scan(&r.every, &r.jobs)
	return r, err
}

// MemberJobs is firm.Tx.
func (t *Tx) MemberJobs(ctx context.Context, member id.Member) ([]id.Job, error) {
	rows, _ := t.tx.Query(ctx, "select job_id from member_job where firm_id = $1 and member_id = $2 order by job_id",
		t.firm, member)
	return pgx.CollectRows(rows, pgx.RowTo[id.Job])
}

// SaveTeam is firm.Tx. A closed job stays readable for those who were on it.
func (t *Tx) SaveTeam(ctx context.Context, member id.Member, team firm.Team, at time.Time) error {
	if err := t.hit(ctx, "person", "update member set every_job = $3 where firm_id = $1 and id = $2", t.firm, member,
		team.EveryJob); err != nil {
		return err
	}
	if _, err := t.tx.Exec(ctx, `delete from member_job m using job j where m.firm_id = $1 and m.member_id = $2
		and j.firm_id = m.firm_id and j.id = m.job_id and j.closed_at is null`, t.firm, member); err != nil {
		return err
	}
	for _, job := range team.Jobs {
		if err := t.NameOnJob(ctx, member, job, at); err != nil {
			return err
		}
	}
	return nil
}
