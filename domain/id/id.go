// Package id holds the ids of records: UUIDs of version 7 (RFC 9562), made by
// the server or by whoever sends the record. Each noun has its own type, so
// that mixing them up does not compile. The zero value means no id.
package id

import (
	"lathmark/domain/fault"

	"github.com/google/uuid"
)

// Of is the id of a record of kind K, which only keeps the types apart.
type Of[K any] [16]byte

// The ids of the nouns.
type (
	Firm        = Of[struct{ Firm int }]
	Member      = Of[struct{ Member int }]
	Session     = Of[struct{ Session int }]
	Key         = Of[struct{ Key int }]
	Invitation  = Of[struct{ Invitation int }]
	Passkey     = Of[struct{ Passkey int }]
	BuildUp     = Of[struct{ BuildUp int }]
	Job         = Of[struct{ Job int }]
	Room        = Of[struct{ Room int }]
	Surface     = Of[struct{ Surface int }]
	Datum       = Of[struct{ Datum int }]
	Layer       = Of[struct{ Layer int }]
	Timber      = Of[struct{ Timber int }]
	Way         = Of[struct{ Way int }]
	Position    = Of[struct{ Position int }]
	Measurement = Of[struct{ Measurement int }]
	Photo       = Of[struct{ Photo int }]
	Opening     = Of[struct{ Opening int }]
	Snag        = Of[struct{ Snag int }]
	SignOff     = Of[struct{ SignOff int }]
	Act         = Of[struct{ Act int }]
	Crew        = Of[struct{ Crew int }]
	Away        = Of[struct{ Away int }]
	Promise     = Of[struct{ Promise int }]
	Owed        = Of[struct{ Owed int }]
)

// New returns a new id; ids sort in the order in which they were made.
func New[T ~[16]byte]() T { return T(uuid.Must(uuid.NewV7())) }

// OrNew returns the id given, or a new one where none is.
func OrNew[T ~[16]byte](given T) T {
	if given == *new(T) {
		return New[T]()
	}
	return given
}

// Parse reads an id. The fault is NotFound: what is no id names no record.
func Parse[T ~[16]byte](text string) (T, error) {
	u, err := uuid.Parse(text)
	if err != nil || len(text) != 36 {
		return T{}, &fault.Error{Kind: fault.NotFound, Msg: "There is no such record.", Err: err}
	}
	return T(u), nil
}

// IsV7 reports whether the id is of version 7.
func IsV7[T ~[16]byte](given T) bool { return uuid.UUID(given).Version() == 7 }

// IsZero reports whether o is no id.
func (o Of[K]) IsZero() bool { return o == Of[K]{} }

// String returns the id as 36 characters; empty for none.
func (o Of[K]) String() string {
	if o.IsZero() {
		return ""
	}
	return uuid.UUID(o).String()
}

// MarshalText returns the id as String does.
func (o Of[K]) MarshalText() ([]byte, error) { return []byte(o.String()), nil }

// UnmarshalText reads what MarshalText writes.
func (o *Of[K]) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*o = Of[K]{}
		return nil
	}
	got, err := Parse[Of[K]](string(text))
	*o = got
	return err
}
