package persistence

import (
	"context"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/diary"
)

// Waiting is what waits to be announced after changes were noted.
func Waiting(changes []diary.Change) []diary.Change {
	a := &announcer{pending: map[about]int64{}, wake: make(chan struct{}, 1)}
	a.note(changes)
	return a.take()
}

// Payloads is what is sent for changes.
func Payloads(changes []diary.Change) []string { return payloads(changes) }

// NotifyInside announces inside of the transaction, as the program does not: for
// comparison.
func NotifyInside(ctx context.Context, t *Tx) error {
	for _, p := range payloads(diary.Changes(t.wrote)) {
		if _, err := t.tx.Exec(ctx, "select pg_notify($1, $2)", channel, p); err != nil {
			return err
		}
	}
	return nil
}

// Row asks one thing of the database inside of a transaction.
func Row(ctx context.Context, t *Tx, sql string, args ...any) pgx.Row {
	return t.tx.QueryRow(ctx, sql, args...)
}
