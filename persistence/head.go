package persistence

import (
	"context"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// headQuery is of those jobs, and those rooms of them, for which conditions hold. A
// job's last entry is one step down an index, and is looked for once, however many
// rooms the job has.
func headQuery(jobs, rooms string) string {
	return `with j as materialized (
			select j.firm_id, j.id, j.name, j.created_at, coalesce((select d.seq from diary d
				where d.firm_id = j.firm_id and d.job_id = j.id order by d.seq desc limit 1), 0) as seq
			from job j where j.firm_id = $1 and ` + within("j.id") + " and " + jobs + `)
		select r.id, r.job_id, j.name, r.name, r.place, r.revision, j.seq
		from j join room r on r.firm_id = j.firm_id and r.job_id = j.id where ` + rooms + `
		order by j.created_at desc, j.id desc, r.place, r.created_at, r.id`
}

// The questions that a room.Scope can be.
var (
	headsOfRoom = headQuery("j.id = (select job_id from room where firm_id = $1 and id = $2)", "r.id = $2")
	headsOfJob  = headQuery("j.id = $2", "true")
	allHeads    = headQuery("true", "true") // the first condition is which of the firm's jobs
)

func scanHead(row pgx.CollectableRow) (h room.Head, err error) {
	err = row.Scan(&h.Room, &h.Job, &h.JobName, &h.Name, &h.Place, &h.Revision, &h.Seq)
	return h, err
}

// Heads is room.Tx.
func (t *Tx) Heads(ctx context.Context, scope room.Scope) ([]room.Head, error) {
	sql, args := allHeads, []any{t.firm}
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
	err = t.tx.QueryRow(ctx, "select revision from room where firm_id = $1 and id = $2 and "+within("job_id"),
		t.firm, of).Scan(&n)
	return n, missing(err, "room")
}

// Heads asks for heads in one round trip.
func (db *DB) Heads(ctx context.Context, by firm.Person, scope room.Scope) (all []room.Head, err error) {
	err = db.Glance(ctx, by, func(tx *Tx) error {
		all, err = tx.Heads(ctx, scope)
		return err
	})
	return all, err
}
