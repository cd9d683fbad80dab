package persistence

import (
	"context"
	"errors"
	"slices"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"lathmark/domain/firm"
)

// wire is a transaction as it goes over a connection, in as few round trips as can
// be: what nobody waits for goes out with the next thing that somebody does. That
// is the transaction's own beginning, and what was queued.
type wire struct {
	conn  sender
	begin string
	by    firm.Person
	begun bool
	// alone: every batch is a transaction of its own, which reads. It has neither a
	// beginning nor an end: a batch is a transaction unless it begins one.
	alone  bool
	queue  []queued
	broken error // what was not waited for failed, and nothing more goes out
}

// sender is a connection, or the pool of them all.
type sender interface {
	SendBatch(ctx context.Context, b *pgx.Batch) pgx.BatchResults
}

// queued is a statement that waits to go out, and what is made of its answer.
type queued struct {
	sql   string
	args  []any
	check func(pgconn.CommandTag) error // nil: any answer will do
	into  []any                         // of its first row; nil: it has none
}

// answer takes a statement's answer from those of its batch.
func (q queued) answer(from pgx.BatchResults) error {
	if q.into != nil {
		return missing(from.QueryRow().Scan(q.into...), "record")
	}
	tag, err := from.Exec()
	if err == nil && q.check != nil {
		err = q.check(tag)
	}
	return err
}

// errGlance is that of what would write where nothing is committed.
var errGlance = errors.New("a glance writes nothing")

// later has a statement go out with the next that is waited for. Where it fails,
// or its check does, that one fails too.
func (w *wire) later(check func(pgconn.CommandTag) error, sql string, args ...any) error {
	if w.alone {
		w.broken = errGlance
	}
	w.queue = append(w.queue, queued{sql: sql, args: args, check: check})
	return w.broken
}

// laterRow is later for the first row of a query.
func (w *wire) laterRow(into []any, sql string, args ...any) {
	w.queue = append(w.queue, queued{sql: sql, args: args, into: into})
}

// Who asks, as ask_as (migrations/0008) sets it: somebody, the firm itself, and
// nobody.
const (
	askAs    = "select from ask_as($1, $2)"
	askWhole = `select set_config('lathmark.firm', $1::uuid::text, true), set_config('lathmark.every_job', 'true', true),
		set_config('lathmark.jobs', '{}', true)`
	askNobody = `select set_config('lathmark.firm', $1::uuid::text, true), set_config('lathmark.every_job', 'false', true),
		set_config('lathmark.jobs', '{}', true)`
)

// beginReading has a transaction that is not begun read only.
const beginReading = "select set_config('transaction_read_only', 'on', true)"

// opening returns what a transaction begins with.
func (w *wire) opening() []queued {
	begin := queued{sql: w.begin}
	if w.alone {
		begin.sql = beginReading
	}
	if w.by.ID.IsZero() {
		return []queued{begin, {sql: askWhole, args: []any{w.by.Firm}}}
	}
	return []queued{begin, {sql: askAs, args: []any{w.by.Firm, w.by.ID}}}
}

// SendBatch sends a batch, after all that waits.
func (w *wire) SendBatch(ctx context.Context, b *pgx.Batch) pgx.BatchResults {
	if w.broken != nil {
		return pgx.FailedBatchResults(b, w.broken)
	}
	ahead := w.queue
	w.queue = nil
	if !w.begun {
		ahead = append(w.opening(), ahead...)
		w.begun = !w.alone
	}
	whole := &pgx.Batch{}
	for _, q := range ahead {
		whole.Queue(q.sql, q.args...)
	}
	whole.QueuedQueries = append(whole.QueuedQueries, b.QueuedQueries...)
	results := w.conn.SendBatch(ctx, whole)
	for _, q := range ahead {
		if err := q.answer(results); err != nil {
			w.broken = err
			_ = results.Close() // it failed already
			return pgx.FailedBatchResults(b, err)
		}
	}
	return results
}

// Exec runs a statement and waits for it.
func (w *wire) Exec(ctx context.Context, sql string, args ...any) (pgconn.CommandTag, error) {
	b := &pgx.Batch{}
	b.Queue(sql, args...)
	results := w.SendBatch(ctx, b)
	tag, err := results.Exec()
	if closing := results.Close(); err == nil {
		err = closing
	}
	return tag, err
}

// Query runs a query. Nothing else can be asked until its rows are closed.
func (w *wire) Query(ctx context.Context, sql string, args ...any) (pgx.Rows, error) {
	b := &pgx.Batch{}
	b.Queue(sql, args...)
	results := w.SendBatch(ctx, b)
	rows, err := results.Query()
	return &onlyRows{Rows: rows, batch: results}, err
}

// QueryRow is Query for one row.
func (w *wire) QueryRow(ctx context.Context, sql string, args ...any) pgx.Row {
	rows, _ := w.Query(ctx, sql, args...) // its error is the rows' own
	return onlyRow{rows}
}

// commit ends the transaction, and reports whether it came to that. What still waits
// goes out with it, unless its answer decides whether to commit at all.
func (w *wire) commit(ctx context.Context) (tried bool, err error) {
	if slices.ContainsFunc(w.queue, func(q queued) bool { return q.check != nil || q.into != nil }) {
		if err := w.SendBatch(ctx, &pgx.Batch{}).Close(); err != nil {
			return false, err
		}
	}
	if w.broken != nil || !w.begun && len(w.queue) == 0 {
		return false, w.broken
	}
	tag, err := w.Exec(ctx, "commit")
	if err == nil && tag.String() == "ROLLBACK" {
		err = pgx.ErrTxCommitRollback
	}
	return true, err
}

// onlyRows are the rows of a batch's only answer that is waited for, which is
// closed with them.
type onlyRows struct {
	pgx.Rows
	batch pgx.BatchResults
	err   error
}

// Next is pgx.Rows.
func (r *onlyRows) Next() bool {
	if r.Rows.Next() {
		return true
	}
	r.Close()
	return false
}

// Close is pgx.Rows.
func (r *onlyRows) Close() {
	r.Rows.Close()
	r.err = r.batch.Close()
}

// Err is pgx.Rows.
func (r *onlyRows) Err() error {
	if err := r.Rows.Err(); err != nil {
		return err
	}
	return r.err
}

// onlyRow is the first of rows.
type onlyRow struct{ rows pgx.Rows }

// Scan is pgx.Row.
func (r onlyRow) Scan(into ...any) error {
	_, err := pgx.CollectOneRow(r.rows, func(row pgx.CollectableRow) (struct{}, error) {
		return struct{}{}, row.Scan(into...)
	})
	return err
}
