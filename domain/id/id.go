// Package id holds the ids of records: UUIDs of version 7 (RFC 9562), made by
// the server or by whoever sends the record. Each noun has its own type, so
// that mixing them up does not compile. The zero value means no id.
package id

import (
	"lathmark/domain/fault"

	"github.com/google/uuid"
)

// Of is the id of a record of kind K; K only keeps the types apart.
type Of[K any] [16]byte

// The ids of the nouns.
type (
	Firm        = Of[firm]
	Member      = Of[member]
	Session     = Of[session]
	Key         = Of[key]
	Invitation  = Of[invitation]
	Passkey     = Of[passkey]
	BuildUp     = Of[buildUp]
	Job         = Of[job]
	Room        = Of[room]
	Surface     = Of[surface]
	Datum       = Of[datum]
	Layer       = Of[layer]
	Timber      = Of[timber]
	Way         = Of[way]
	Position    = Of[position]
	Measurement = Of[measurement]
	Photo       = Of[photo]
	Opening     = Of[opening]
	Snag        = Of[snag]
	SignOff     = Of[signOff]
	Act         = Of[act]
)

type (
	firm        struct{}
	member      struct{}
	session     struct{}
	key         struct{}
	invitation  struct{}
	passkey     struct{}
	buildUp     struct{}
	job         struct{}
	room        struct{}
	surface     struct{}
	datum       struct{}
	layer       struct{}
	timber      struct{}
	way         struct{}
	position    struct{}
	measurement struct{}
	photo       struct{}
	opening     struct{}
	snag        struct{}
	signOff     struct{}
	act         struct{}
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
