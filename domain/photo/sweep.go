package photo

import (
	"context"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// SweepAge is how old a picture that no photo names has to be before a sweep
// removes it: far longer than any photo takes from its store to its row.
const SweepAge = 24 * time.Hour

// Swept is what a sweep did.
type Swept struct {
	Kept, Removed int // sizes of pictures, not photos
}

// batch is how many of a firm's pictures a sweep removes in one transaction, so
// that nobody who takes a photo waits for long.
const batch = 100

// Sweep removes the pictures that no photo names and that were last stored
// before a time. It is for whoever runs the server.
func (s *Service) Sweep(ctx context.Context, before time.Time) (out Swept, err error) {
	old := map[id.Firm][]Key{}
	err = s.store.Each(ctx, func(key Key, put time.Time) error {
		out.Kept++
		if put.Before(before) {
			old[key.Firm] = append(old[key.Firm], key)
		}
		return nil
	})
	if err != nil {
		return out, err
	}
	for of, keys := range old {
		for len(keys) > 0 {
			n := min(batch, len(keys))
			taken, err := s.sweep(ctx, of, keys[:n])
			out.Removed, out.Kept = out.Removed+taken, out.Kept-taken
			if err != nil {
				return out, err
			}
			keys = keys[n:]
		}
	}
	return out, nil
}

// sweep removes those of keys that no photo of the firm names. Meanwhile no
// photo can be put on record: see write.
func (s *Service) sweep(ctx context.Context, of id.Firm, keys []Key) (taken int, err error) {
	err = s.in(ctx, firm.Whole(of), func(tx deed.Tx) error {
		if err := tx.LockPictures(ctx, true); err != nil {
			return err
		}
		all, err := tx.Pictures(ctx)
		if err != nil {
			return err
		}
		named := map[room.Sum]bool{}
		for _, sum := range all {
			named[sum] = true
		}
		for _, key := range keys {
			if named[key.Sum] {
				continue
			}
			if err := s.store.Delete(ctx, key); err != nil {
				return err
			}
			taken++
		}
		return nil
	})
	return taken, err
}
