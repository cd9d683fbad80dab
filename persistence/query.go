package persistence

import (
	"context"
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
	return pgx.CollectRows(rows, scan)
}

// one returns the only row of a query. Faults: NotFound, which names the noun.
func one[T any](ctx context.Context, t *Tx, noun string, scan pgx.RowToFunc[T], sql string, args ...any) (T, error) {
	rows, _ := t.tx.Query(ctx, sql, args...)
	v, err := pgx.CollectExactlyOneRow(rows, scan)
	return v, missing(err, noun)
}

// fields scans a row into fields of a T.
func fields[T any](of func(*T) []any) pgx.RowToFunc[T] {
	return func(row pgx.CollectableRow) (v T, err error) {
		err = row.Scan(of(&v)...)
		return v, err
	}
}
