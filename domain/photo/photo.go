// Package photo keeps photos: the rows with the room's record, the pictures
// outside the database in a store. A picture is stored before the row that
// names it, and deleted only by a sweep, and only when no row names it: there
// is never a row without its picture.
package photo

import (
	"context"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// Size is one of the sizes that every picture is kept in.
type Size string

// The sizes, by the most that the longer side may have.
const (
	Full  Size = "full"  // 2560 px
	Page  Size = "page"  // 1280 px: as wide as a page
	Thumb Size = "thumb" // 320 px: in a row of them
)

// Sizes lists all sizes, the largest first.
var Sizes = []Size{Full, Page, Thumb}

// Long returns the most that the longer side of a picture of this size has, in px.
// A smaller picture is not enlarged.
func (s Size) Long() int { return map[Size]int{Full: 2560, Page: 1280, Thumb: 320}[s] }

// Fit returns the sides of a picture of w by h px in this size, in the same
// proportion; neither is 0.
func (s Size) Fit(w, h int) (int, int) {
	long := s.Long()
	if max(w, h) <= long {
		return w, h
	}
	part := func(side int) int { return max(1, (side*long+max(w, h)/2)/max(w, h)) }
	return part(w), part(h)
}

// ParseSize reads a size. Faults: NotFound.
func ParseSize(text string) (Size, error) {
	for _, s := range Sizes {
		if string(s) == text {
			return s, nil
		}
	}
	return "", &fault.Error{Kind: fault.NotFound, Msg: "No picture of that size."}
}

// MaxBytes is the largest size of a picture as it is sent: 15 MiB.
const MaxBytes = 15 << 20

// Developed is a picture ready to be stored: encoded anew from what was sent,
// upright, without metadata, in every size.
type Developed struct {
	room.Picture
	Data map[Size][]byte
}

// Key names one size of a picture in a store.
type Key struct {
	Firm id.Firm
	Sum  room.Sum // of the full size
	Size Size
}

// Store keeps pictures. Its methods are safe for concurrent use.
type Store interface {
	// Put stores data under key, whole or not at all. If it is there already,
	// its time becomes now.
	Put(ctx context.Context, key Key, data []byte) error
	// Get returns what Put stored. Faults: NotFound.
	Get(ctx context.Context, key Key) ([]byte, error)
	// Has reports whether Get would find it.
	Has(ctx context.Context, key Key) (bool, error)
	// Delete removes what is stored under key; that there is nothing is no
	// error.
	Delete(ctx context.Context, key Key) error
	// Each calls do for everything stored, with the time of its last Put. An
	// error from do ends it and is returned.
	Each(ctx context.Context, do func(key Key, put time.Time) error) error
}
