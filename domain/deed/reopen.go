package deed

import (
	"context"
	"fmt"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/room"
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

// mayReopen is the fault of a deed that would open signed stages again and does not say that it may. doing and names
// say what it does: "Adding", "L4".
func mayReopen(r *room.Record, stages []words.Stage, doing string, names []string) error {
	var signed []string
	for _, s := range stages {
		if r.Gates[s].State == words.SignedOff {
			signed = append(signed, s.String())
		}
	}
	is, what, follows := " is signed off", words.List(names), ""
	if len(names) > 4 {
		what = words.Count(len(names), "position")
	}
	if len(signed) > 1 {
		is = " are signed off"
	}
	if len(stages) > 1 {
		follows = " and everything after it"
	}
	wrong := words.Capital(words.List(signed)) + " in " + r.Name + is
	mend := doing + " " + what + " opens " + stages[0].String() + " again" + follows +
		". Taking that back later does not bring the sign-offs back"
	return &fault.Error{Kind: fault.Conflict, Msg: wrong + ". " + mend + ".",
		Fields: []fault.Field{{Path: Reopening, Wrong: wrong, Mend: mend}}}
}

// opens opens signed stages again for what a deed does, where whoever asks knows; doing and names say what it does:
// "Adding", "L4". Faults: Conflict (stages would open again, unasked).
func (w *Writing) opens(ctx context.Context, after gate.Gates, stages []words.Stage, knows bool, doing string,
	names []string, says, reason string) error {
	if len(stages) > 0 && !knows {
		return mayReopen(w.Record, stages, doing, names)
	}
	return w.openAgain(ctx, after, stages, says, reason)
}

// Reopening is the field by which a deed says that it may open signed stages again.
const Reopening = "reopen"

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
