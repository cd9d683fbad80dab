package persistence

import (
	"context"
	"slices"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// headQuery is of those jobs, and those rooms of them, for which conditions hold. A
// job's last entry is looked for once, however many rooms the job has.
func headQuery(jobs, rooms string) string {
	return `with j as materialized (
			select j.firm_id, j.id, j.name, j.created_at, ` + lastSeq + ` as seq
			from job j where j.firm_id = $1 and ` + within("j.id") + " and " + jobs + `)
		select r.id, r.job_id, j.name, r.name, r.place, r.revision, j.seq
		from j join room r on r.firm_id = j.firm_id and r.job_id = j.id where ` + rooms + `
		order by j.created_at desc, j.id desc, r.place, r.created_at, r.id`
}

// The questions that a room.Scope can be.
var (
	headsOfRoom = headQuery("j.id = (select job_id from room where firm_id = $1 and id = $2)", "r.id = $2")
	headsOfJob  = headQuery("j.id = $2", "true")
	allHeads    = headQuery("j.closed_at is null", "true")
)

func scanHead(row pgx.CollectableRow) (h room.Head, err error) {
	err = row.Scan(&h.Room, &h.Job, &h.JobName, &h.Name, &h.Place, &h.Revision, &h.Seq)
	return h, err
}

// Heads is room.Tx.
func (t *Tx) Heads(ctx context.Context, scope room.Scope) ([]room.Head, error) {
	sql, args := scoped(scope)
	rows, _ := t.tx.Query(ctx, sql, append([]any{t.firm}, args...)...)
	return pgx.CollectRows(rows, scanHead)
}

// scoped is the question that a scope is, with what it asks about besides the
// firm.
func scoped(scope room.Scope) (sql string, args []any) {
	switch {
	case !scope.Room.IsZero():
		return headsOfRoom, []any{scope.Room}
	case !scope.Job.IsZero():
		return headsOfJob, []any{scope.Job}
	}
	return allHeads, nil
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

// Mark asks in one round trip for all that pages about the rooms in scope rest
// on: the firm's revision and the rooms' heads.
func (db *DB) Mark(ctx context.Context, by firm.Person, scope room.Scope) (m room.Mark, err error) {
	err = db.Glance(ctx, by, func(tx *Tx) error {
		sql, args := scoped(scope)
		rows, _ := tx.tx.Query(ctx, "select f.revision, h.* from firm f left join ("+sql+
			") h on true where f.firm_id = $1", append([]any{tx.firm}, args...)...)
		heads, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (h room.Head, err error) {
			err = row.Scan(&m.Firm, opt(&h.Room), opt(&h.Job), opt(&h.JobName), opt(&h.Name), opt(&h.Place),
				opt(&h.Revision), opt(&h.Seq))
			return h, err
		})
		m.Heads = slices.DeleteFunc(heads, func(h room.Head) bool { return h.Room.IsZero() })
		return err
	})
	return m, err
}
