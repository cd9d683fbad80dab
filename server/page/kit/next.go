package kit

import (
	"strings"

	"lathmark/domain/gate"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/web"
)

// NextOf is the one thing next in a room for a trade, with its one action.
func NextOf(at web.Place, j *standing.Standing, t words.Trade) web.Next {
	if len(j.Record.Surfaces) == 0 && t == words.Foreman {
		return web.Next{Sentence: "Draw the ceiling first: most holes are there.", Action: "Draw a surface",
			Href: at.NewSurface()}
	}
	n := j.Gate.Next(t)
	out := web.Next{Sentence: n.Sentence}
	if n.Task != nil {
		out.Action, out.Href = Doing(at, *n.Task)
	}
	return out
}

// Doing leads to where a task is done. The id of a layer is "datum/layer".
func Doing(at web.Place, t gate.Task) (act, href string) {
	switch t.Code {
	case gate.TaskSchedule:
		return "Begin the schedule", at.Schedule()
	case gate.TaskOffer:
		return "Offer " + t.Stage.String(), at.Gate(t.Stage.Slug())
	case gate.TaskSignOff:
		return "Sign off " + t.Stage.String(), at.Gate(t.Stage.Slug())
	case gate.CodeTailNotSeen:
		return "See the tails", at.Tails()
	case gate.CodeNotOpened, gate.CodeFirstHole:
		return "Open the holes", at.Holes()
	case gate.CodeHeld, gate.TaskDecide:
		return "Decide about " + t.About.Name, at.Hold(t.About.ID)
	case gate.CodeTimberHit:
		return "Look at " + t.About.Name, at.NearTimber(t.About.Name)
	case gate.CodeLostHole, gate.CodePatchOpen:
		return "See to the patches", at.Patches()
	case gate.CodeStageBefore:
		return "Look at the stage", at.Gate("first-fix")
	case gate.CodeNotDry:
		return "When it is dry", at.Finished()
	case gate.CodeNoOutcome:
		return "Write down what it showed", at.SetOut()
	}
	return wayOut(at, string(t.About.Kind)+"/"+t.About.ID)
}

// wayOut leads to where something is mended. about is "kind/id", as the faults
// of the gates have it.
func wayOut(at web.Place, about string) (act, href string) {
	kind, of, _ := strings.Cut(about, "/")
	switch gate.Kind(kind) {
	case gate.KindPosition:
		return "Measure it", at.MeasureAt(of)
	case gate.KindMeasurement:
		return "Mend the reading", at.Reading(of)
	case gate.KindDatum:
		return "Plan its build-up", at.BuildUp(of)
	case gate.KindLayer:
		return "Record it as put on", at.AsBuilt()
	case gate.KindPlaster:
		return "Give the day", at.Finished()
	case gate.KindFirstHole:
		return "Set-out sheet", at.SetOut()
	case gate.KindOpening:
		return "See to the patches", at.Patches()
	case gate.KindSnag:
		return "See to the snags", at.Snags()
	case gate.KindSurface:
		return "Photo taken", at.Tails()
	}
	return "", ""
}
