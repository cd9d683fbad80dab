package deed

import (
	"context"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// TakePhoto puts a photo on record. It belongs to the stage in hand, or to the
// one that it is of. A repeat with the same id adds nothing. Faults: NotFound,
// BadInput, Conflict (the id is of another photo), Obstacle (the stage is signed
// off, or waits).
type TakePhoto struct {
	ID id.Photo `json:"id"`
	// What it shows: one of these five; OfStage the stage as a whole.
	Surface  id.Surface   `json:"surface,omitzero"`
	Datum    id.Datum     `json:"datum,omitzero"`
	Position id.Position  `json:"position,omitzero"`
	Snag     id.Snag      `json:"snag,omitzero"`
	OfStage  *words.Stage `json:"of_stage,omitzero"`
	Says     string       `json:"says,omitzero"`
	// At is when it was taken; zero: now. It is taken to be no earlier than the
	// room, and not to come.
	At time.Time `json:"at,omitzero"`
	// Picture is zero for a note of where the photo is kept.
	Picture room.Picture `json:"picture,omitzero"`
	// Still makes sure that the picture is kept, once no sweep can take it away.
	Still func(context.Context) error `json:"-"`
}

func (d TakePhoto) do(ctx context.Context, t *Taking) error {
	d.ID = id.OrNew(d.ID)
	p, err := d.Photo(t.Record)
	if err != nil {
		return err
	}
	if old, err := t.Record.Photo(d.ID); err == nil {
		if old.Surface != p.Surface || old.Datum != p.Datum || old.Position != p.Position ||
			old.Snag != p.Snag {
			return &fault.Error{Kind: fault.Conflict, Msg: "Another photo was saved with this id."}
		}
		return nil
	}
	if !d.At.IsZero() {
		t.AsOf(d.At, t.By.ID)
	}
	p.By, p.At, p.RecordedAt = t.MadeBy, t.Made, t.Now
	if d.Still != nil {
		if err := t.Tx.LockPictures(ctx, false); err != nil {
			return err
		}
		if err := d.Still(ctx); err != nil {
			return err
		}
	}
	put(ctx, t.Writing, &t.Record.Photos, p, Tx.InsertPhoto)
	what, _, err := t.Record.Shows(&p)
	if err != nil {
		return err
	}
	says := "A photo of " + what + " was taken"
	if p.Says != "" {
		says += ": " + strings.TrimSuffix(p.Says, ".")
	}
	return t.Note("photo", &p.Stage, says+".", p)
}

// Photo is the photo as it would be in the room. Faults as for the deed.
func (d TakePhoto) Photo(r *room.Record) (room.Photo, error) {
	p := room.Photo{ID: d.ID, Surface: d.Surface, Datum: d.Datum, Position: d.Position, Snag: d.Snag,
		Says: strings.TrimSpace(d.Says), Picture: d.Picture}
	if words.Characters(d.Says) > longest {
		return p, bad("says", "the text is over 400 characters", "Keep them short: what the photo shows")
	}
	given := 0
	for _, is := range []bool{!d.Surface.IsZero(), !d.Datum.IsZero(), !d.Position.IsZero(), !d.Snag.IsZero(),
		d.OfStage != nil} {
		if is {
			given++
		}
	}
	if given != 1 {
		return p, bad("on", "it does not say what the photo shows",
			"Choose a surface, a face, a position, a snag or the stage")
	}
	p.Stage, _ = r.InHand()
	if d.OfStage != nil {
		p.Stage = *d.OfStage
	}
	if _, _, err := r.Shows(&p); err != nil {
		return p, err
	}
	if old, err := r.Photo(d.ID); err == nil { // a repeat, whatever was signed since
		p.Stage = old.Stage
		return p, nil
	}
	return p, begun(r, p.Stage)
}

// StrikePhoto strikes a photo out, with a reason; its picture stays to be seen.
// Struck out already is no error. Faults: NotFound, BadInput (no reason),
// Obstacle (its stage is signed off).
type StrikePhoto struct {
	Photo id.Photo `json:"photo"`
	Why   string   `json:"why"`
}

func (d StrikePhoto) do(ctx context.Context, t *Taking) error {
	p, err := t.Record.Photo(d.Photo)
	if err != nil || !p.Stands() {
		return err
	}
	if d.Why = strings.TrimSpace(d.Why); d.Why == "" || words.Characters(d.Why) > longest {
		return bad("reason", "there is no reason, or it is over 400 characters",
			"Say in a sentence why the photo is struck out")
	}
	if err := begun(t.Record, p.Stage); err != nil {
		return err
	}
	out := *p
	out.StruckBy, out.StruckAt, out.StruckWhy = t.By.ID, t.Now, d.Why
	put(ctx, t.Writing, &t.Record.Photos, out,
		func(tx Tx, ctx context.Context, _ id.Room, p room.Photo) error { return tx.StrikePhoto(ctx, p) })
	what, _, err := t.Record.Shows(p)
	if err != nil {
		return err
	}
	return t.Note("strike_photo", &p.Stage, "A photo of "+what+" was struck out: "+strings.TrimSuffix(d.Why, ".")+".", d)
}
