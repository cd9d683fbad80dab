package gate

import (
	"fmt"
	"slices"
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Group is what one trade has to do of one sort in one place, told once: "Ceiling: cut D1
// to D7 (7 holes). Cut D1 first."
type Group struct {
	Stage words.Stage `json:"stage"`
	Code  string      `json:"code" doc:"That of its first task."`
	Must  bool        `json:"must" doc:"It stands in the way of the sign-off."`
	// Where is the surface; empty where it is about the room or several surfaces.
	Where string `json:"where,omitempty" doc:"The surface; left out where it is about the whole room."`
	Says  string `json:"says" doc:"In full sentences."`
	N     int    `json:"count" doc:"How many tasks it stands for."`
	// First leads to the page where all of it is done.
	First Task `json:"-"`
}

// heap is how several tasks of one code are said together: what to do with them (their
// names stand where %s is), what they are, and what the names of the tasks begin with.
type heap struct {
	do, noun, prefix string
	room             bool // of all surfaces together
}

var heaps = map[string]heap{
	CodeNoRecord:        {do: "Measure %s from two walls", noun: "position"},
	CodeUnrecordedDatum: {do: "Say what these were measured from: %s", noun: "reading"},
	CodeNoBuildUp:       {do: "Plan the build-up of %s, or say that they stay bare", noun: "wall", room: true},
	CodeNoOutcome:       {do: "Record what was behind %s", noun: "hole", prefix: "hole at "},
	CodeNotChecked:      {do: "Measure %s a second time each way", noun: "position"},
	CodeDisagree:        {do: "Look at what was read twice: %s", noun: "reading"},
	CodeSuspect:         {do: "Take these again: %s", noun: "reading"},
	CodeTimberHit:       {do: "Move %s off the timber", noun: "position"},
	CodeAllCovered:      {do: "Measure %s from something fixed: a steel, a reveal, a stack", noun: "position"},
	CodeStageBefore:     {do: "Reopen first fix and measure %s", noun: "position"},
	CodeTailNotSeen:     {do: "Check that the tails of %s are free, before the boards go up", noun: "tail"},
	CodeNotAsBuilt:      {do: "Measure what is on: %s", noun: "layer", room: true},
	CodeAsBuiltDiffers:  {do: "Measure again what is not as planned: %s", noun: "layer", room: true},
	CodeNoPhoto:         {do: "Take a photo of %s before the boards go up", noun: "surface", room: true},
	CodeNotOpened:       {do: "Cut %s", noun: "hole"},
	CodeHeld:            {do: "Have these decided: %s", noun: "position", room: true},
	CodeLostHole:        {do: "Patch %s, or add new positions", noun: "hole", prefix: "hole at "},
	CodeLostTail:        {do: "Find the tails of %s, add new positions, or have the client leave them out", noun: "tail"},
	CodePatchOpen:       {do: "See to the patches at %s", noun: "patch", prefix: "hole at ", room: true},
	CodeSnagOpen:        {do: "Put right: %s", noun: "snag", room: true},
	TaskDecide:          {do: "Decide about %s", noun: "position", room: true},
}

// Groups returns Tasks by surface and by what to do, what must be done first.
func (j *Judged) Groups(t words.Trade) []Group {
	type key struct {
		code    string
		must    bool
		surface id.Surface
	}
	var keys []key
	of := map[key][]Task{}
	for _, task := range j.tasks[t] {
		k := key{task.Code, task.Must, task.Surface}
		if k.code == CodeFirstHole && j.proofs[t] != nil && j.hasTask(t, CodeNotOpened, task.Surface) {
			continue // "Cut D1 first" stands beside the holes
		}
		if heaps[k.code].room {
			k.surface = id.Surface{}
		}
		if of[k] == nil {
			keys = append(keys, k)
		}
		of[k] = append(of[k], task)
	}
	out := make([]Group, 0, len(keys))
	for _, k := range keys {
		out = append(out, j.group(t, of[k]))
	}
	return out
}

func (j *Judged) hasTask(t words.Trade, code string, on id.Surface) bool {
	return slices.ContainsFunc(j.tasks[t], func(o Task) bool { return o.Code == code && o.Surface == on })
}

// group says tasks of a trade, of one code.
func (j *Judged) group(t words.Trade, all []Task) Group {
	first, h := all[0], heaps[all[0].Code]
	g := Group{Stage: first.Stage, Code: first.Code, Must: first.Must, N: len(all), First: first}
	if s, err := j.Surface(first.Surface); err == nil && !h.room {
		g.Where = words.Capital(s.Name)
	}
	if len(all) == 1 || h.do == "" {
		g.Says = words.Capital(first.Why) + ". " + words.Capital(first.What) + "."
	} else {
		names := make([]string, 0, len(all))
		for _, t := range all {
			names = append(names, strings.TrimPrefix(t.About.Name, h.prefix))
		}
		g.Says = fmt.Sprintf(h.do+" (%s).", words.Runs(names), words.Count(len(all), h.noun))
	}
	if p := j.proofs[t]; first.Code == CodeNotOpened && p != nil && p.Surface == first.Surface {
		g.Says += " Cut " + p.Name + " first and record where its tail was."
	}
	return g
}
