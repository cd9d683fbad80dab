package photo

import (
	"cmp"
	"context"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Service does what people can do with photos. Every method that writes also
// returns the faults of room.Book.Write.
type Service struct {
	book  *deed.Book
	in    deed.InTx
	store Store
}

// NewService returns a service; in must run the same transactions as the
// book's.
func NewService(book *deed.Book, in deed.InTx, store Store) *Service {
	return &Service{book, in, store}
}

// Draft is a photo to be put on record.
type Draft struct {
	ID id.Photo
	// What it shows: one of these four; OfStage the stage as a whole.
	Surface  id.Surface
	Datum    id.Datum
	Position id.Position
	OfStage  *words.Stage
	Says     string
	// At is when it was taken; zero means now. It is clamped to between the
	// room's creation and now.
	At time.Time
	// Picture is nil for a note of where the photo is kept.
	Picture *Developed
}

// Take puts a photo on record, with its picture. Everyone on site may call it.
// It belongs to the current stage, or to the one that it shows. Repeating it
// with the same id adds nothing. Faults: Refused, NotFound, BadInput, Conflict
// (another photo has the id), Obstacle (the stage is signed off, or waits).
func (s *Service) Take(ctx context.Context, by firm.Person, of id.Room, d Draft) (*standing.Standing, error) {
	if err := d.check(); err != nil {
		return nil, err
	}
	before, err := s.record(ctx, by, of)
	if err != nil {
		return nil, err
	}
	if _, err := d.photo(before); err != nil { // before anything is stored
		return nil, err
	}
	if err := s.putAll(ctx, by.Firm, d.Picture); err != nil {
		return nil, err
	}
	d.ID = id.OrNew(d.ID)
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *deed.Writing) error { return s.write(ctx, w, d) })
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
	err = s.book.Look(ctx, by, func(tx deed.Tx) error {
		r, err = tx.Record(ctx, of)
		return err
	})
	return r, err
}

func (d *Draft) check() error {
	if utf8.RuneCountInString(d.Says) > 400 {
		return bad("says", "the words are over 400 characters", "Keep them short: what the photo shows")
	}
	return nil
}

// putAll stores every size.
func (s *Service) putAll(ctx context.Context, of id.Firm, d *Developed) error {
	if d == nil {
		return nil
	}
	for _, size := range Sizes {
		if err := s.store.Put(ctx, Key{of, d.SHA256, size}, d.Data[size]); err != nil {
			return fmt.Errorf("keep a picture: %w", err)
		}
	}
	return nil
}

// restore stores again what a sweep has removed in the meantime.
func (s *Service) restore(ctx context.Context, of id.Firm, d *Developed) error {
	for _, size := range Sizes {
		if there, err := s.store.Has(ctx, Key{of, d.SHA256, size}); err != nil || !there {
			return cmp.Or(err, s.putAll(ctx, of, d))
		}
	}
	return nil
}

// write writes the row. Before the transaction can end, it makes sure that the
// picture is still there: after LockPictures no sweep can remove it.
func (s *Service) write(ctx context.Context, w *deed.Writing, d Draft) error {
	p, err := d.photo(w.Record)
	if err != nil {
		return err
	}
	if old, err := w.Record.Photo(d.ID); err == nil {
		if old.Surface != p.Surface || old.Datum != p.Datum || old.Position != p.Position {
			return &fault.Error{Kind: fault.Conflict, Msg: "Another photo was put on record under this id."}
		}
		return nil
	}
	if !d.At.IsZero() {
		w.AsOf(d.At, w.By.ID)
	}
	p.By, p.At, p.RecordedAt = w.MadeBy, w.Made, w.Now
	if d.Picture != nil {
		if err := w.Tx.LockPictures(ctx, false); err != nil {
			return err
		}
		if err := s.restore(ctx, w.By.Firm, d.Picture); err != nil {
			return err
		}
	}
	if err := w.InsertPhoto(ctx, w.Record.ID, p); err != nil {
		return err
	}
	what, _, err := w.Record.Shows(&p)
	if err != nil {
		return err
	}
	says := "A photo of " + what + " was taken"
	if p.Says != "" {
		says += ": " + strings.TrimSuffix(p.Says, ".")
	}
	return w.Note("photo", &p.Stage, says+".", p)
}

// photo returns the row as it would be in the room.
func (d *Draft) photo(r *room.Record) (room.Photo, error) {
	p := room.Photo{ID: d.ID, Surface: d.Surface, Datum: d.Datum, Position: d.Position, Says: strings.TrimSpace(d.Says)}
	given := 0
	for _, is := range []bool{!d.Surface.IsZero(), !d.Datum.IsZero(), !d.Position.IsZero(), d.OfStage != nil} {
		if is {
			given++
		}
	}
	if given != 1 {
		return p, bad("on", "it does not say what the photo shows", "Choose a surface, a face, a position or the stage")
	}
	var open bool
	if p.Stage, open = r.InHand(); !open {
		p.Stage = words.Decoration
	}
	if d.OfStage != nil {
		p.Stage = *d.OfStage
	}
	if d.Picture != nil {
		p.Picture = d.Picture.Picture
	}
	if _, _, err := r.Shows(&p); err != nil {
		return p, err
	}
	if old, err := r.Photo(d.ID); err == nil { // a repeat, whatever was signed since
		p.Stage = old.Stage
		return p, nil
	}
	return p, checkOpen(r, p.Stage)
}

// checkOpen refuses what belongs to a stage that waits or is signed off.
func checkOpen(r *room.Record, s words.Stage) error {
	switch r.Gates[s].State {
	case words.Waiting:
		before, _ := s.Before()
		return &fault.Error{Kind: fault.Obstacle, Msg: fmt.Sprintf("%s in %s waits: %s is not signed off yet.",
			words.Capital(s.String()), r.Name, before)}
	case words.SignedOff:
		return &fault.Error{Kind: fault.Obstacle, Msg: fmt.Sprintf("%s in %s is signed off. Reopen it first.",
			words.Capital(s.String()), r.Name)}
	}
	return nil
}

// Strike strikes a photo out, with a reason; its picture stays visible.
// Everyone on site may call it. That it is struck out already is no error.
// Faults: Refused, NotFound, BadInput (no reason), Obstacle (its stage is
// signed off).
func (s *Service) Strike(ctx context.Context, by firm.Person, of id.Room, photo id.Photo,
	why string) (*standing.Standing,
	error) {
	why = strings.TrimSpace(why)
	noReason := why == "" || utf8.RuneCountInString(why) > 400
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *deed.Writing) error {
		p, err := w.Record.Photo(photo)
		if err != nil || !p.Stands() {
			return err
		}
		if noReason {
			return bad("reason", "there is no reason, or it is over 400 characters",
				"Say in a sentence why the photo is struck out")
		}
		if err := checkOpen(w.Record, p.Stage); err != nil {
			return err
		}
		out := *p
		out.StruckBy, out.StruckAt, out.StruckWhy = by.ID, w.Now, why
		if err := w.StrikePhoto(ctx, out); err != nil {
			return err
		}
		what, _, err := w.Record.Shows(p)
		if err != nil {
			return err
		}
		return w.Note("strike_photo", &p.Stage, "A photo of "+what+" was struck out: "+strings.TrimSuffix(why, ".")+".",
			struct {
				Photo id.Photo
				Why   string
			}{photo, why})
	})
}

// Find returns what is on record of a photo's picture. Everyone on site may
// call it. Faults: Refused, NotFound (no such photo, or a note without a
// picture).
func (s *Service) Find(ctx context.Context, by firm.Person, photo id.Photo) (pic room.Picture, err error) {
	if err := firm.MayRead(by); err != nil {
		return pic, err
	}
	err = s.book.Look(ctx, by, func(tx deed.Tx) error {
		pic, err = tx.PictureOf(ctx, photo)
		return err
	})
	return pic, err
}

// Open returns a picture in one size. The caller has pic from Find, which
// checked the rights. Faults: NotFound.
func (s *Service) Open(ctx context.Context, by firm.Person, pic room.Picture, size Size) ([]byte, error) {
	return s.store.Get(ctx, Key{by.Firm, pic.SHA256, size})
}

func bad(path, wrong, mend string) error {
	return &fault.Error{Kind: fault.BadInput, Msg: words.Capital(wrong) + ".",
		Fields: []fault.Field{{Path: path, Wrong: wrong, Mend: mend}}}
}
