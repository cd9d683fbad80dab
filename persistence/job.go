package persistence

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
)

// InsertJob is job.Tx.
func (t *Tx) InsertJob(ctx context.Context, j job.Job) error {
	return t.soon.insert(ctx, insertInto("job", "firm_id, id, name, address, created_at"),
		t.firm, j.ID, j.Name, j.Address, j.CreatedAt)
}

const jobQuery = `select j.id, j.name, j.address, j.created_at, j.closed_at, j.version,
	coalesce((select d.seq from diary d where d.firm_id = j.firm_id and d.job_id = j.id order by d.seq desc limit 1), 0)
	from job j where j.firm_id = $1 and `

var scanJob = fields(func(j *job.Job) []any {
	return []any{&j.ID, &j.Name, &j.Address, &j.CreatedAt, opt(&j.ClosedAt), &j.Version, &j.Seq}
})

// Job is job.Tx.
func (t *Tx) Job(ctx context.Context, of id.Job) (job.Job, error) { return t.oneJob(ctx, of, "") }

// LockJob is job.Tx. Key share locks, as foreign keys take, do not wait for it.
func (t *Tx) LockJob(ctx context.Context, of id.Job) (job.Job, error) {
	return t.oneJob(ctx, of, " for no key update")
}

func (t *Tx) oneJob(ctx context.Context, of id.Job, lock string) (job.Job, error) {
	return one(ctx, t, "job", scanJob, jobQuery+"j.id = $2 and "+within("j.id")+lock, t.firm, of)
}

// JobName is room.Tx.
func (t *Tx) JobName(ctx context.Context, job id.Job) (string, error) {
	j, err := t.Job(ctx, job)
	return j.Name, err
}

var openJobs = jobQuery + "j.closed_at is null and " + within("j.id") + " order by j.created_at desc, j.id desc"

// Jobs is job.Tx.
func (t *Tx) Jobs(ctx context.Context) ([]job.Job, error) {
	return many(ctx, t, scanJob, openJobs, t.firm)
}

// InsertClientLink is job.Tx.
func (t *Tx) InsertClientLink(ctx context.Context, hash firm.Hash, of id.Job, l job.Link) error {
	return t.soon.run(ctx, "insert into client_link (firm_id, hash, job_id, created_at, expires_at) "+
		"values ($1, $2, $3, $4, $5)", t.firm, hash[:], of, l.MadeAt, l.EndsAt)
}

const linkWorks = " and ended_at is null and expires_at > $3"

// ClientLink is job.Tx.
func (t *Tx) ClientLink(ctx context.Context, of id.Job, at time.Time) (l job.Link, err error) {
	err = t.tx.QueryRow(ctx, "select created_at, expires_at from client_link where firm_id = $1 and job_id = $2"+linkWorks,
		t.firm, of, at).Scan(&l.MadeAt, &l.EndsAt)
	return l, missing(err, "link")
}

// RenewClientLink is job.Tx.
func (t *Tx) RenewClientLink(ctx context.Context, of id.Job, at, ends time.Time) error {
	return t.soon.hit(ctx, "link", "update client_link set expires_at = $4 where firm_id = $1 and job_id = $2"+linkWorks,
		t.firm, of, at, ends)
}

// EndClientLinks is job.Tx.
func (t *Tx) EndClientLinks(ctx context.Context, of id.Job, at time.Time) (int, error) {
	tag, err := t.tx.Exec(ctx, "update client_link set ended_at = $3 where firm_id = $1 and job_id = $2"+linkWorks, t.firm,
		of, at)
	return int(tag.RowsAffected()), err
}

// ClientLinkJob is standing.Tx.
func (t *Tx) ClientLinkJob(ctx context.Context, hash firm.Hash, at time.Time) (of id.Job, err error) {
	err = t.tx.QueryRow(ctx, "select job_id from client_link where firm_id = $1 and hash = $2"+linkWorks, t.firm, hash[:],
		at).Scan(&of)
	return of, missing(err, "link")
}
