package deed

import (
	"context"
	"fmt"
	"strings"

	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/words"
)

// KindReopen is a signed stage that is opened again.
const KindReopen Kind = "reopen"

var reopenSort = Sort{Kind: KindReopen, May: firm.MayRunJobs, json: stored[Reopen]}

// Reopen opens a signed stage again, and what follows it. Faults: BadInput (no
// reason), Conflict (it is not signed off).
type Reopen struct {
	Stage  words.Stage `json:"stage"`
	Reason string      `json:"reason"`
}

// Kind is Deed.
func (Reopen) Kind() Kind { return KindReopen }

// reopened is what the diary keeps of each stage that is open again.
type reopened struct {
	Reason string `json:"reason"`
}

func (d Reopen) do(ctx context.Context, t *Taking) error {
	before := t.Record.States()
	after, err := gate.Reopen(before, d.Stage, d.Reason)
	if err != nil {
		return err
	}
	return t.openAgain(ctx, after, gate.ReopenedBy(before, d.Stage), strings.TrimSpace(d.Reason), d.Reason)
}

// openAgain stores the gates and notes each stage that is open again.
func (w *Writing) openAgain(ctx context.Context, after gate.Gates, stages []words.Stage, says, reason string) error {
	if err := w.MoveGates(ctx, after); err != nil {
		return err
	}
	for _, s := range stages {
		if err := w.Note(string(gate.ActReopen), &s, fmt.Sprintf("%s in %s is open again: %s",
			words.Capital(s.String()), w.Record.Name, says), reopened{reason}); err != nil {
			return err
		}
	}
	return nil
}
