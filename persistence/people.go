package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// LockOwners is firm.Tx. What only refers to a member is not kept waiting.
func (t *Tx) LockOwners(ctx context.Context) ([]id.Member, error) {
	return many(ctx, t, pgx.RowTo[id.Member],
		"select id from member where firm_id = $1 and role = 'owner' and left_at is null order "+
			"by id for no key update", t.firm)
}

// LockMember is firm.Tx.
func (t *Tx) LockMember(ctx context.Context, member id.Member) (firm.Member, error) {
	return one(ctx, t, "person", scanMember,
		"select "+memberColumns+" from member where firm_id = $1 and id = $2 for no key update",
		t.firm, member)
}

// SaveMember is firm.Tx.
func (t *Tx) SaveMember(ctx context.Context, p firm.Person) error {
	return t.hit(ctx, "person", "update member set name = $3, role = $4, trade = $5, every_job = $6 where firm_id = $1 "+
		"and id = $2",
		t.firm, p.ID, p.Name, p.Role, null(p.Trade), p.EveryJob)
}

// Teams is firm.Tx.
func (t *Tx) Teams(ctx context.Context) (map[id.Member][]id.Job, error) {
	out := map[id.Member][]id.Job{}
	rows, _ := t.tx.Query(ctx, "select member_id, job_id from member_job where firm_id = $1 order by member_id, job_id",
		t.firm)
	var member id.Member
	var job id.Job
	_, err := pgx.ForEachRow(rows, []any{&member, &job}, func() error {
		out[member] = append(out[member], job)
		return nil
	})
	return out, err
}

// NameOnJob is firm.Tx.
func (t *Tx) NameOnJob(ctx context.Context, member id.Member, job id.Job, at time.Time) error {
	return t.hit(ctx, "job", `with named as (insert into member_job (firm_id, member_id, job_id, named_at)
			select firm_id, $2, id, $4 from job where firm_id = $1 and id = $3 on conflict do nothing)
		select from job where firm_id = $1 and id = $3`, t.firm, member, job, at)
}

// TakeOffJob is firm.Tx.
func (t *Tx) TakeOffJob(ctx context.Context, member id.Member, job id.Job) error {
	return t.hit(ctx, "job", `with off as (delete from member_job where firm_id = $1 and member_id = $2
		and job_id = (select id from job where firm_id = $1 and id = $3))
		select from job where firm_id = $1 and id = $3`, t.firm, member, job)
}
