package persistence

import (
	"context"
	"errors"
	"slices"
	"strconv"
	"strings"

	"github.com/jackc/pgx/v5"
)

// insertInto inserts a row of a table: the columns' values are the arguments in
// their order.
func insertInto(table, columns string) string {
	sql := "insert into " + table + " (" + columns + ") values ($1"
	for n := range strings.Count(columns, ",") {
		sql += ", $" + strconv.Itoa(n+2)
	}
	return sql + ")"
}

// many returns all rows of a query.
func many[T any](ctx context.Context, t *Tx, scan pgx.RowToFunc[T], sql string, args ...any) ([]T, error) {
	rows, _ := t.tx.Query(ctx, sql, args...)
	return pgx.CollectRows(rows, readable(scan))
}

// sift is many for a list that goes on without the rows that cannot be read; key is the
// column of their ids.
func sift[T any](ctx context.Context, t *Tx, scan pgx.RowToFunc[T], columns, from, order, key string,
	args ...any) ([]T, error) {
	all, err := many(ctx, t, scan, "select "+columns+" from "+from+" order by "+order, args...)
	var bad *unreadable
	if !errors.As(err, &bad) {
		return all, err
	}
	keys, err := many(ctx, t, pgx.RowTo[[16]byte], "select "+key+" from "+from+" order by "+order, args...)
	for _, k := range keys {
		found, err := many(ctx, t, scan, "select "+columns+" from "+from+" and "+key+" = $"+strconv.Itoa(len(args)+1),
			append(slices.Clone(args), k)...)
		if err != nil && !errors.As(err, &bad) {
			return nil, err
		}
		all = append(all, found...)
	}
	return all, err
}

// unreadable is the error of a row that no program of ours wrote: the connection and the
// database are well.
type unreadable struct {
	noun  string // of what it is; empty where that is not known
	cause error
}

// Error says which row, and why.
func (u *unreadable) Error() string {
	return "a row that cannot be read, " + u.noun + ": " + u.cause.Error()
}

// Unwrap returns the cause.
func (u *unreadable) Unwrap() error { return u.cause }

// readable tells the rows that cannot be read from everything else that can go wrong.
func readable[T any](scan pgx.RowToFunc[T]) pgx.RowToFunc[T] {
	return func(row pgx.CollectableRow) (T, error) {
		v, err := scan(row)
		if err != nil {
			err = &unreadable{cause: err}
		}
		return v, err
	}
}

// one returns the only row of a query. Faults: NotFound, which names the noun.
func one[T any](ctx context.Context, t *Tx, noun string, scan pgx.RowToFunc[T], sql string, args ...any) (T, error) {
	rows, _ := t.tx.Query(ctx, sql, args...)
	v, err := pgx.CollectExactlyOneRow(rows, readable(scan))
	return v, missing(err, noun)
}

// fields scans a row into fields of a T.
func fields[T any](of func(*T) []any) pgx.RowToFunc[T] {
	return func(row pgx.CollectableRow) (v T, err error) {
		err = row.Scan(of(&v)...)
		return v, err
	}
}
