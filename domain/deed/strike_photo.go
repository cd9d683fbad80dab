package deed

import (
	"context"
	"strings"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// KindStrikePhoto is a photo that is struck out.
const KindStrikePhoto Kind = "strike-photo"

var strikePhotoSort = Sort{Kind: KindStrikePhoto, May: firm.MayRecord, json: stored[StrikePhoto]}

// StrikePhoto strikes a photo out, with a reason; its picture stays to be seen.
// Struck out already is no error. Faults: NotFound, BadInput (no reason),
// Obstacle (its stage is signed off).
type StrikePhoto struct {
	Photo id.Photo `json:"photo"`
	Why   string   `json:"why"`
}

// Kind is Deed.
func (StrikePhoto) Kind() Kind { return KindStrikePhoto }

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
	if err := t.StrikePhoto(ctx, out); err != nil {
		return err
	}
	what, _, err := t.Record.Shows(p)
	if err != nil {
		return err
	}
	return t.Note("strike_photo", &p.Stage, "A photo of "+what+" was struck out: "+strings.TrimSuffix(d.Why, ".")+".", d)
}
