package deed

import (
	"context"
	"fmt"
	"slices"
	"strings"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/words"
)

// Offer says that a stage is done. The trades that lead the stage may, and the
// foreman. Faults: Refused, Conflict (it is not in hand, or was opened again since
// for a reason that the person does not know yet).
type Offer struct {
	Stage words.Stage `json:"stage"`
}

func readOffer(s *Sent) (Deed, error) {
	of, err := words.ParseStage(strings.ReplaceAll(s.One, "-", "_"))
	if err != nil {
		return nil, &fault.Error{Kind: fault.NotFound, Msg: "There is no such stage.", Err: err}
	}
	return Offer{Stage: of}, nil
}

func (d Offer) do(ctx context.Context, t *Taking) error {
	if s := t.Record.Gates[d.Stage].State; t.phone && (s == words.Offered || s == words.SignedOff) {
		return nil
	}
	reopened := func(e diary.Entry) (bool, error) { return e.Stage == d.Stage.Code(), nil }
	if e, found, err := t.last(reopened, string(gate.ActReopen)); err != nil {
		return err
	} else if found {
		return &fault.Error{Kind: fault.Conflict, Msg: strings.TrimSuffix(e.Says, ".") + ". Look at it, then offer it again."}
	}
	j, err := t.Standing()
	if err != nil {
		return err
	}
	name := words.Capital(d.Stage.String())
	if t.By.Role == firm.Trade && !slices.Contains(j.Gate.Lead(d.Stage), t.By.Trade) {
		return &fault.Error{Kind: fault.Refused, Msg: fmt.Sprintf("%s in %s is not the %s's to offer.", name,
			j.Record.Name, t.By.Trade)}
	}
	after, err := gate.Offer(j.Gate.Gates, d.Stage)
	if err != nil {
		return err
	}
	t.moveGates(ctx, after, nil)
	return t.Note(string(gate.ActOffer), &d.Stage, fmt.Sprintf("%s in %s was offered.", name, j.Record.Name), d)
}
