package persistence

import (
	"context"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// headQuery is of those jobs, and those rooms of them, for which conditions hold. A
// job's last entry is looked for once, however many rooms the job has.
func headQuery(jobs, rooms string) string {
	return `with j as materialized (
			select j.firm_id, j.id, j.name, j.created_at, f.zone, ` + lastSeq + ` as seq
			from job j join firm f on f.firm_id = j.firm_id where j.firm_id = $1 and ` + within("j.id") + " and " + jobs + `)
		select r.id, r.job_id, j.name, r.name, r.place, r.revision, j.zone, j.seq
		from j join room r on r.firm_id = j.firm_id and r.job_id = j.id where ` + rooms + `
		order by j.created_at desc, j.id desc, r.place, r.created_at, r.id`
}

// markQuery is headQuery for the sums of a room.Mark.
func markQuery(jobs, rooms string) string {
	return "select coalesce(sum(" + lastSeq + `), 0)::bigint, coalesce(sum((select sum(r.revision) from room r
			where r.firm_id = j.firm_id and r.job_id = j.id and ` + rooms + `)), 0)::bigint
		from job j where j.firm_id = $1 and ` + within("j.id") + " and " + jobs
}

// question is what can be asked about a room.Scope.
type question struct{ heads, mark string }

func ask(jobs, rooms string) question {
	return question{headQuery(jobs, rooms), markQuery(jobs, rooms)}
}

// The questions that a room.Scope can be.
var (
	ofRoom = ask("j.id = (select job_id from room where firm_id = $1 and id = $2)", "r.id = $2")
	ofJob  = ask("j.id = $2", "true")
	ofAll  = ask("j.closed_at is null", "true")
)

var scanHead = fields(func(h *room.Head) []any {
	return []any{&h.Room, &h.Job, &h.JobName, &h.Name, &h.Place, &h.Revision, &h.Zone, &h.Seq}
})

// Heads is room.Tx.
func (t *Tx) Heads(ctx context.Context, scope room.Scope) ([]room.Head, error) {
	of, args := scoped(t.firm, scope)
	return many(ctx, t, scanHead, of.heads, args...)
}

// scoped is the question that a scope is, with what it asks about.
func scoped(of id.Firm, scope room.Scope) (question, []any) {
	switch {
	case !scope.Room.IsZero():
		return ofRoom, []any{of, scope.Room}
	case !scope.Job.IsZero():
		return ofJob, []any{of, scope.Job}
	}
	return ofAll, []any{of}
}

const revisionQuery = "select revision from room where firm_id = $1 and id = $2 and "

// Revision is deed.Tx: what is written moves it on at once, and only once in a
// transaction.
func (t *Tx) Revision(ctx context.Context, of id.Room) (n int64, err error) {
	err = t.tx.QueryRow(ctx, revisionQuery+within("job_id"), t.firm, of).Scan(&n)
	return n, missing(err, "room")
}

// RevisionSoon is deed.Tx.
func (t *Tx) RevisionSoon(of id.Room, n *int64) {
	t.tx.laterRow([]any{n}, revisionQuery+within("job_id"), t.firm, of)
}

// Heads asks for heads in one round trip.
func (db *DB) Heads(ctx context.Context, by firm.Person, scope room.Scope) (all []room.Head, err error) {
	err = db.Glance(ctx, by, func(tx *Tx) error {
		all, err = tx.Heads(ctx, scope)
		return err
	})
	return all, err
}

// Marked is standing.Glance. The statements of its batch are one transaction, in which
// the session sets who asks before the mark is looked for.
func (db *DB) Marked(ctx context.Context, of id.Firm, hash firm.Hash, at time.Time,
	scope room.Scope) (s firm.Session, m room.Mark, err error) {
	batch := &pgx.Batch{}
	batch.Queue(askNobody, of)
	batch.Queue(askInSession, of, at, hash[:])
	asked, args := scoped(of, scope)
	batch.Queue(asked.mark, args...)
	results := db.pool.SendBatch(ctx, batch)
	defer results.Close()
	if _, err = results.Exec(); err != nil {
		return s, m, toFault(err)
	}
	if err = results.QueryRow().Scan(append([]any{nil, nil, &m.Firm}, sessionFields(&s)...)...); err != nil {
		return s, m, toFault(missing(err, "session"))
	}
	return s, m, toFault(results.QueryRow().Scan(&m.Entries, &m.Revisions))
}
