package deed

import (
	"context"
	"strings"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// KindCorrectOutcome is a hole's outcome that is put right.
const KindCorrectOutcome Kind = "correct-outcome"

var correctOutcomeSort = Sort{Kind: KindCorrectOutcome, May: firm.MayRecord, json: stored[CorrectOutcome]}

// CorrectOutcome puts right what was written down of a hole. Faults: BadInput,
// NotFound, Obstacle (second fix is signed off).
type CorrectOutcome struct {
	Opening id.Opening    `json:"opening"`
	Outcome words.Outcome `json:"outcome"`
	Says    string        `json:"says,omitzero"`
}

// Kind is Deed.
func (CorrectOutcome) Kind() Kind { return KindCorrectOutcome }

// outcomeCorrected is what the diary keeps of it.
type outcomeCorrected struct {
	Before room.Opening `json:"before"`
	After  room.Opening `json:"after"`
}

func (d CorrectOutcome) do(ctx context.Context, t *Taking) error {
	return t.correctOutcome(ctx, d.Opening, d.Outcome, d.Says)
}

func (w *Writing) correctOutcome(ctx context.Context, of id.Opening, outcome words.Outcome, says string) error {
	if err := checkOutcome(outcome, says); err != nil {
		return err
	}
	old, err := w.Record.Opening(of)
	if err != nil {
		return err
	}
	o := *old
	o.Outcome, o.Says = outcome, strings.TrimSpace(says)
	if o == *old {
		return nil
	}
	if err := w.UpdateOpening(ctx, o); err != nil {
		return err
	}
	return w.Note("correct_outcome", &secondFix, "A hole's outcome was put right: "+outcome.String()+".",
		outcomeCorrected{*old, o})
}
