package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// within is the condition that a job, which a column names, is one that whoever asks
// may see. The policies of the tables hold it, too; here it stands in the queries.
// What it compares with ask_as has set (migrations/0008), for this transaction.
func within(column string) string {
	return "((select current_setting('lathmark.every_job')::boolean) or " + column +
		" = any ((select current_setting('lathmark.jobs')::uuid[])::uuid[]))"
}

// MemberJobs is firm.Tx.
func (t *Tx) MemberJobs(ctx context.Context, member id.Member) ([]id.Job, error) {
	return many(ctx, t, pgx.RowTo[id.Job],
		"select job_id from member_job where firm_id = $1 and member_id = $2 order by job_id",
		t.firm, member)
}

// SaveTeam is firm.Tx. A closed job stays readable for those who were on it.
func (t *Tx) SaveTeam(ctx context.Context, member id.Member, team firm.Team, at time.Time) error {
	if err := t.hit(ctx, "person", "update member set every_job = $3 where firm_id = $1 and id = $2", t.firm, member,
		team.EveryJob); err != nil {
		return err
	}
	if err := t.run(ctx, `delete from member_job m using job j where m.firm_id = $1 and m.member_id = $2
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
