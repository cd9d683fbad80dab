package persistence

import (
	"database/sql"
	"encoding"
)

// null is a value to store, with its zero value stored as null.
func null[T comparable](v T) *T {
	if v == *new(T) {
		return nil
	}
	return &v
}

// opt scans into dst, null as the zero value.
func opt[T any](dst *T) sql.Scanner { return optional[T]{dst} }

type optional[T any] struct{ dst *T }

// Scan is sql.Scanner.
func (o optional[T]) Scan(src any) error {
	if text, ok := src.(string); ok {
		if u, ok := any(o.dst).(encoding.TextUnmarshaler); ok {
			return u.UnmarshalText([]byte(text))
		}
	}
	var n sql.Null[T]
	err := n.Scan(src)
	*o.dst = n.V
	return err
}
