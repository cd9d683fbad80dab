package photo

import (
	"cmp"
	"context"
	"errors"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
)

// Service is what people do with photos. Every method that writes also returns
// the faults of deed.Desk.Do.
type Service struct {
	desk  *deed.Desk
	in    deed.InTx
	store Store
}

// NewService makes the service; in runs the same transactions as the book's.
func NewService(desk *deed.Desk, in deed.InTx, store Store) *Service {
	return &Service{desk, in, store}
}

// Draft is a photo to be put on record.
type Draft struct {
	deed.TakePhoto
	// Picture is nil for a note of where the photo is kept.
	Picture *Developed
}

// Take puts a photo on record, with its picture, which is stored before. The
// people on site may. Faults: as for deed.TakePhoto, and Refused.
func (s *Service) Take(ctx context.Context, by firm.Person, of id.Room, d Draft) (*standing.Standing, error) {
	t := d.TakePhoto
	if d.Picture != nil {
		t.Picture = d.Picture.Picture
		t.Still = func(ctx context.Context) error { return s.restore(ctx, by.Firm, d.Picture) }
	}
	before, err := s.record(ctx, by, of)
	if err != nil {
		return nil, err
	}
	if _, err := t.Photo(before); err != nil { // before anything is stored
		return nil, err
	}
	if err := s.putAll(ctx, by.Firm, d.Picture); err != nil {
		return nil, err
	}
	return s.desk.Do(ctx, by, of, t)
}

// MayTake checks that somebody may put a photo of a room on record, before it
// is read and developed. Faults: Refused, NotFound.
func (s *Service) MayTake(ctx context.Context, by firm.Person, of id.Room) error {
	_, err := s.record(ctx, by, of)
	return err
}

func (s *Service) record(ctx context.Context, by firm.Person, of id.Room) (r *room.Record, err error) {
	if err := firm.MayRecord(by); err != nil {
		return nil, err
	}
	err = s.desk.Look(ctx, by, func(tx deed.Tx) error {
		r, err = tx.Record(ctx, of)
		return err
	})
	return r, err
}

// putAll stores every size.
func (s *Service) putAll(ctx context.Context, of id.Firm, d *Developed) error {
	if d == nil {
		return nil
	}
	for _, size := range Sizes {
		if err := s.store.Put(ctx, Key{of, d.SHA256, size}, d.Data[size]); err != nil {
			return down(err)
		}
	}
	return nil
}

// down is the error of a store: what is no fault is its own.
func down(err error) error {
	if err == nil || fault.KindOf(err) != "" || errors.Is(err, context.Canceled) {
		return err
	}
	return &fault.Error{Kind: fault.Down, Msg: "The photos cannot be reached just now.", Err: err}
}

// Writable returns why no picture can be kept: it keeps one that is nobody's, and
// takes it away.
func Writable(ctx context.Context, store Store) error {
	nobodys := Key{Size: Thumb}
	if err := store.Put(ctx, nobodys, []byte("is this still written?\n")); err != nil {
		return down(err)
	}
	return down(store.Delete(ctx, nobodys))
}

// restore stores again what a sweep has removed in the meantime.
func (s *Service) restore(ctx context.Context, of id.Firm, d *Developed) error {
	for _, size := range Sizes {
		if there, err := s.store.Has(ctx, Key{of, d.SHA256, size}); err != nil || !there {
			return cmp.Or(down(err), s.putAll(ctx, of, d))
		}
	}
	return nil
}

// Find returns what is on record of a photo's picture. The people on site may
// ask. Faults: Refused, NotFound (no such photo, or a note without a picture).
func (s *Service) Find(ctx context.Context, by firm.Person, photo id.Photo) (pic room.Picture, err error) {
	if err := firm.MayRead(by); err != nil {
		return pic, err
	}
	err = s.desk.Look(ctx, by, func(tx deed.Tx) error {
		pic, err = tx.PictureOf(ctx, photo)
		return err
	})
	return pic, err
}

// Open returns a picture in one size. The caller has pic from Find, which
// checked the rights. Faults: NotFound.
func (s *Service) Open(ctx context.Context, by firm.Person, pic room.Picture, size Size) ([]byte, error) {
	data, err := s.store.Get(ctx, Key{by.Firm, pic.SHA256, size})
	return data, down(err)
}
