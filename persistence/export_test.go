package persistence

import (
	"context"
	"regexp"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
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

// PartsOfARecord are the queries that a record is read with.
func PartsOfARecord() (all []string) {
	for _, p := range parts {
		all = append(all, p.sql)
	}
	return append(all, recordQuery)
}

// TablesOfARecord are the tables that a record is read from, but for the diary, whose
// last number is of the job and not of the room.
func TablesOfARecord() (all []string) {
	for _, sql := range PartsOfARecord() {
		for _, m := range regexp.MustCompile(`(?:from|join) ([a-z_]+) `).FindAllStringSubmatch(sql, -1) {
			if m[1] != "diary" && m[1] != "lateral" {
				all = append(all, m[1])
			}
		}
	}
	return all
}

// Inside runs transactions inside one that a connection is in already.
func Inside(conn *pgx.Conn) func(context.Context, firm.Person, func(*Tx) error) error {
	return func(_ context.Context, by firm.Person, do func(*Tx) error) error {
		return do(begin(conn, "select 1", by))
	}
}
