package deed

import (
	"context"
	"fmt"
	"strings"

	"lathmark/domain/gate"
	"lathmark/domain/words"
)

// Reopen opens a signed stage again, and what follows it. Faults: BadInput (no
// reason), Conflict (it is not signed off).
type Reopen struct {
	Stage  words.Stage `json:"stage"`
	Reason string      `json:"reason"`
}

// reopened is what the diary keeps of each stage that is open again.
type reopened struct {
	Reason string `json:"reason"`
}

func (d Reopen) do(ctx context.Context, t *Taking) error {
	before := gate.Gates(t.Record.Gates)
	after, err := gate.Reopen(before, d.Stage, d.Reason)
	if err != nil {
		return err
	}
	return t.openAgain(ctx, after, gate.ReopenedBy(before, d.Stage), strings.TrimSpace(d.Reason), d.Reason)
}

// openAgain stores the gates and notes each stage that is open again.
func (w *Writing) openAgain(ctx context.Context, after gate.Gates, stages []words.Stage, says, reason string) error {
	w.moveGates(ctx, after, nil)
	for _, s := range stages {
		if err := w.Note(string(gate.ActReopen), &s, fmt.Sprintf("%s in %s is open again: %s",
			words.Capital(s.String()), w.Record.Name, says), reopened{reason}); err != nil {
			return err
		}
	}
	return nil
}
