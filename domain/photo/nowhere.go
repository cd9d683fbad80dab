package photo

import (
	"context"
	"errors"
	"time"

	"lathmark/domain/fault"
)

// Nowhere is the store of a program that keeps no pictures: nothing is in it,
// and nothing can be put there.
type Nowhere struct{}

// Put implements Store. It always fails.
func (Nowhere) Put(context.Context, Key, []byte) error {
	return errors.New("this program has no place for pictures")
}

// Get implements Store. It finds nothing.
func (Nowhere) Get(context.Context, Key) ([]byte, error) { return nil, NoPicture(nil) }

// Has implements Store.
func (Nowhere) Has(context.Context, Key) (bool, error) { return false, nil }

// Delete implements Store.
func (Nowhere) Delete(context.Context, Key) error { return nil }

// Each implements Store.
func (Nowhere) Each(context.Context, func(Key, time.Time) error) error { return nil }

// NoPicture returns the fault of a store that has no such picture; cause is for the log.
func NoPicture(cause error) error {
	return &fault.Error{Kind: fault.NotFound, Msg: "This picture is missing.", Err: cause}
}
