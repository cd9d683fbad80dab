package deed

import (
	"bytes"
	"context"
	"fmt"

	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/words"
)

// part says who writes, without the name, which may be taken out of the diary one day.
func (w *Writing) part() string {
	if w.By.Role == firm.Trade {
		return "the " + w.By.Trade.String()
	}
	return "the " + string(w.By.Role)
}

// withdraw takes back the offer of a stage of which something was changed that it rests
// on: who offered it spoke of another record, and who signs has seen another. The line says
// who changed what.
func (w *Writing) withdraw(ctx context.Context) error {
	for s, g := range w.before.Record.Gates {
		s := words.Stage(s)
		if g.State != words.Offered || w.Record.Gates[s].State != words.Offered {
			continue
		}
		was, err := gate.Evidence(w.before.Record, s, gate.Standing)
		if err != nil {
			return err
		}
		is, err := gate.Evidence(w.Record, s, gate.Standing)
		if err != nil || bytes.Equal(was, is) {
			return err
		}
		changes := w.Says()
		says := fmt.Sprintf("%s in %s is no longer offered, because %s changed it: %s", words.Capital(s.String()),
			w.Record.Name, w.part(), changes[0])
		if n := len(changes) - 1; n > 0 {
			says += " And " + words.Count(n, "thing") + " more."
		}
		says += " Look at it, then offer it again."
		after, err := gate.Withdraw(w.Record.Gates, s, says)
		if err != nil {
			return err
		}
		w.moveGates(ctx, after, nil)
		return w.Note(string(gate.ActWithdraw), &s, says, Offer{s})
	}
	return nil
}
