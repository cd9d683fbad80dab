package deed

import (
	"context"
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// CorrectOutcome puts right what was written down of a hole. Faults: BadInput,
// NotFound, Obstacle (second fix is signed off).
type CorrectOutcome struct {
	Opening id.Opening    `json:"opening"`
	Outcome words.Outcome `json:"outcome"`
	Says    string        `json:"says,omitzero"`
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
	w.updateOpening(ctx, o)
	return w.Note("correct_outcome", &secondFix, "A hole's outcome was put right: "+outcome.String()+".",
		changed[room.Opening]{*old, o})
}
