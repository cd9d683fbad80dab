package gate

import (
	"fmt"
	"strings"

	"lathmark/domain/words"
)

// Next is the one thing next for somebody in a room.
type Next struct {
	// Sentence says it: "3 tails have no record. Measure D4 next."
	Sentence string
	// Task is what the one action leads to; nil where nothing is owed.
	Task *Task
}

// group says several tasks of one code in one sentence: how many and of what,
// and where to begin.
type group struct{ many, begin string }

var groups = map[string]group{
	CodeNoRecord:        {"tails have no record", "Measure %s next"},
	CodeUnrecordedDatum: {"readings do not say what they were taken from", "Correct %s next"},
	CodeNoBuildUp:       {"walls have no build-up planned", "Plan %s next"},
	CodeNoOutcome:       {"holes are cut and nobody has said what was behind them", "Record the %s next"},
	CodeNotChecked:      {"positions are measured once only", "Measure %s a second time next"},
	CodeSuspect:         {"readings do not fit the others", "Take %s again next"},
	CodeDisagree:        {"things are measured twice and the readings disagree", "Look at %s next"},
	CodeTimberHit:       {"holes may cut a timber", "Look at %s next"},
	CodeAllCovered: {"positions are measured only from what will be covered",
		"Measure %s from something fixed next"},
	CodeStageBefore:    {"positions came after first fix was signed off", "Reopen first fix for %s next"},
	CodeTailNotSeen:    {"tails are not seen free", "Look at %s next"},
	CodeNotAsBuilt:     {"layers have no as-built thickness", "Measure the %s next"},
	CodeAsBuiltDiffers: {"layers are not as planned", "Measure the %s again next"},
	CodeNoPhoto:        {"surfaces have no photo before boarding", "Take one of the %s next"},
	CodeNotOpened:      {"positions are not cut yet", "Cut %s next"},
	CodeHeld:           {"positions are held", "Ask about %s next"},
	CodeLostHole:       {"holes wait to be made good", "Begin with the %s"},
	CodeLostTail:       {"tails are lost behind their holes", "Begin with %s"},
	CodePatchOpen:      {"patches are not filled and dry", "Begin with the %s"},
	CodeSnagOpen:       {"snags are open", "Begin with this one: %s"},
	TaskDecide:         {"positions wait for your decision", "Decide about %s next"},
}

func (j *Judged) nextFor(t words.Trade) Next { return j.NextOf(t, j.tasks[t]) }

// NextOf returns the one thing next for somebody of a trade who has tasks to do.
func (j *Judged) NextOf(t words.Trade, tasks []Task) Next {
	if len(tasks) == 0 {
		return Next{Sentence: j.nothing(t)}
	}
	first := tasks[0]
	n := 0
	for _, other := range tasks {
		if other.Code == first.Code && other.Must == first.Must {
			n++
		}
	}
	sentence := words.Capital(first.Why) + ". " + first.What + "."
	if g, ok := groups[first.Code]; ok && n > 1 {
		sentence = fmt.Sprintf("%d %s. "+g.begin+".", n, g.many, first.About.Name)
	}
	if first.Code == CodeNotAsBuilt {
		sentence = strings.TrimSpace(j.closing(tasks) + " " + sentence)
	}
	return Next{Sentence: sentence, Task: &first}
}

// until says what a trade waits for, by the stage that has to be done first.
var until = [...]string{"first fix is done", "the boards are up", "the plaster is on", "the holes are cut",
	"the paint is on"}

// nothing says why there is nothing for a trade: what it waits for.
func (j *Judged) nothing(t words.Trade) string {
	s, open := j.InHand()
	switch {
	case !open && t == words.Client:
		return "This room is finished."
	case !open:
		return "Nothing more for you here: the room is finished."
	case t == words.Client:
		return "Nothing waits for your decision. " + words.Capital(s.String()) + " is next."
	case t == words.Foreman:
		return "Nothing for you here until " + turn(j.WhoNext()) + "."
	case j.Gates[s].State == words.Offered && j.leads(s, t):
		return "Nothing for you here until the foreman has signed off " + s.String() + "."
	case j.Gates[s].State == words.InHand && j.leads(s, t):
		return "Nothing for you here until " + turn(j.WhoNext()) + "."
	}
	for _, later := range s.After() {
		if j.leads(later, t) {
			return "Nothing for you here until " + until[later-1] + "."
		}
	}
	return "Nothing for you here."
}

func turn(t words.Trade) string {
	if t == words.Client {
		return "the client has decided"
	}
	return "the " + t.String() + " has been"
}

// WhoNext tells whose turn it is in the room: who mends the first hard
// obstacle of the current stage, else who offers it, else the foreman, who
// signs it off; empty where every stage is signed off.
func (j *Judged) WhoNext() words.Trade {
	s, open := j.InHand()
	if !open {
		return ""
	}
	for _, o := range j.obstacles[s] {
		if o.Hard {
			return o.Trade
		}
	}
	lead := j.Lead(s)
	if j.Gates[s].State != words.InHand || len(lead) == 0 || s == words.FirstFix && len(j.Positions) == 0 {
		return words.Foreman
	}
	return lead[0]
}
