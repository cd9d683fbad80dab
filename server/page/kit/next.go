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
		return "Start the schedule", at.Schedule()
	case gate.TaskOffer:
		return "Offer " + t.Stage.String() + " for sign-off", at.Gate(t.Stage.Slug())
	case gate.TaskSignOff:
		return "Sign off " + t.Stage.String(), at.Gate(t.Stage.Slug())
	case gate.CodeTailNotSeen:
		return "Check the tails", at.Tails()
	case gate.CodeNotOpened, gate.CodeFirstHole:
		return "Cut the holes", at.Holes()
	case gate.CodeHeld, gate.TaskDecide:
		return "Decide about " + t.About.Name, at.Hold(t.About.ID)
	case gate.CodeTimberHit:
		return "Look at " + t.About.Name, at.NearTimber(t.About.Name)
	case gate.CodeLostHole, gate.CodePatchOpen:
		return "Go to the patches", at.Patches()
	case gate.CodeLostTail:
		if t.Stage != words.SecondFix {
			return "See second fix", at.Gate(words.SecondFix.Slug())
		}
		return "Record what is behind " + t.About.Name, at.Outcome(t.About.ID)
	case gate.CodeStageBefore:
		return "Go to the stage", at.Gate("first-fix")
	case gate.CodeNotDry:
		return "See the drying dates", at.Finished()
	case gate.CodeNoOutcome:
		return "Record what it showed", at.SetOut()
	}
	return wayOut(at, string(t.About.Kind)+"/"+t.About.ID)
}

// DoingAll leads to where several tasks of the sort of t are done, which begins with t
// where that has no page of its own.
func DoingAll(at web.Place, t gate.Task) (act, href string) {
	switch t.Code {
	case gate.CodeNoBuildUp:
		return "Plan them", at.RoomPage()
	case gate.CodeNoRecord, gate.CodeNotChecked, gate.CodeAllCovered:
		_, href = Doing(at, t)
		return "Measure", href
	case gate.CodeUnrecordedDatum, gate.CodeSuspect, gate.CodeDisagree, gate.CodeHeld, gate.TaskDecide:
		_, href = Doing(at, t)
		return "Begin with " + t.About.Name, href
	case gate.CodeTimberHit:
		return "See the schedule", at.Schedule()
	case gate.CodeNoOutcome:
		return "Record them", at.SetOut()
	}
	return Doing(at, t)
}

// wayOut leads to where something is corrected. about is "kind/id", as the faults
// of the gates have it.
func wayOut(at web.Place, about string) (act, href string) {
	kind, of, _ := strings.Cut(about, "/")
	switch gate.Kind(kind) {
	case gate.KindPosition:
		return "Measure it", at.MeasureAt(of)
	case gate.KindMeasurement:
		return "Correct the reading", at.Reading(of)
	case gate.KindDatum:
		return "Plan its build-up", at.BuildUp(of)
	case gate.KindLayer:
		return "Record it as built", at.AsBuilt()
	case gate.KindPlaster:
		return "Enter the day", at.Finished()
	case gate.KindFirstHole:
		return "Setting-out sheet", at.SetOut()
	case gate.KindOpening:
		return "Go to the patches", at.Patches()
	case gate.KindSnag:
		return "Go to the snags", at.Snags()
	case gate.KindSurface:
		return "Take a photo", at.Tails()
	}
	return "", ""
}
