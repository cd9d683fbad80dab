package persistence

import (
	"context"

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
