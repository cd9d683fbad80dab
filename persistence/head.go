package persistence

import (
	"context"
	"fmt"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// headQuery takes which jobs and which rooms of them. A job's last entry is one
// step down an index, and is looked for once, however many rooms the job has.
const headQuery = `with j as materialized (
		select j.firm_id, j.id, j.name, j.created_at, coalesce((select d.seq from diary d
			where d.firm_id = j.firm_id and d.job_id = j.id order by d.seq desc limit 1), 0) as seq
		from job j where j.firm_id = $1 and ($2 or j.id = any($3))%s)
	select r.id, r.job_id, j.name, r.name, r.place, r.revision, j.seq
	from j join room r on r.firm_id = j.firm_id and r.job_id = j.id%s
	order by j.created_at desc, j.id desc, r.place, r.created_at, r.id`

// The questions that a room.Scope can be.
var (
	headsOfRoom = fmt.Sprintf(headQuery, " and j.id = (select job_id from room where firm_id = $1 and id = $4)",
		" and r.id = $4")
	headsOfJob = fmt.Sprintf(headQuery, " and j.id = $4", "")
	// allHeads is of all jobs.
	allHeads = fmt.Sprintf(headQuery, "", "")
)

func scanHead(row pgx.CollectableRow) (h room.Head, err error) {
	err = row.Scan(&h.Room, &h.Job, &h.JobName, &h.Name, &h.Place, &h.Revision, &h.Seq)
	return h, err
}

// Heads is room.Tx.
func (t *Tx) Heads(ctx context.Context, scope room.Scope) ([]room.Head, error) {
	sql, args := allHeads, []any{t.firm, t.reach.every, t.reach.jobs}
	switch {
	case !scope.Room.IsZero():
		sql, args = headsOfRoom, append(args, scope.Room)
	case !scope.Job.IsZero():
		sql, args = headsOfJob, append(args, scope.Job)
	}
	rows, _ := t.tx.Query(ctx, sql, args...)
	return pgx.CollectRows(rows, scanHead)
}

// Revision is room.Tx: what is written moves it on at once, and only once in a
// transaction.
func (t *Tx) Revision(ctx context.Context, of id.Room) (n int64, err error) {
	err = t.tx.QueryRow(ctx, "select revision from room where firm_id = $1 and id = $2 and ($3 or job_id = any($4))",
		t.firm, of, t.reach.every, t.reach.jobs).Scan(&n)
	return n, missing(err, "room")
}
