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

// Groups returns tasks by surface and by what to do, what must be done first.
func (j *Judged) Groups(tasks []Task) []Group {
	type key struct {
		code    string
		must    bool
		surface id.Surface
		what    string // of holes: one that is not to be cut yet is not among those that are
	}
	var keys []key
	of, first := map[key][]Task{}, map[id.Surface]string{}
	for _, task := range tasks {
		k := key{code: task.Code, must: task.Must, surface: task.Surface}
		switch {
		case k.code == CodeFirstHole && !task.Surface.IsZero() && hasCut(tasks, task.Surface):
			first[task.Surface] = task.What // it stands beside the holes
			continue
		case k.code == CodeNotOpened:
			k.what = task.What
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
		g := j.group(of[k])
		if says := first[k.surface]; k.code == CodeNotOpened && mayBeCut(of[k][0]) && says != "" {
			g.Says += " " + words.Capital(says) + "."
			delete(first, k.surface)
		}
		out = append(out, g)
	}
	return out
}

func hasCut(tasks []Task, on id.Surface) bool {
	return slices.ContainsFunc(tasks, func(o Task) bool {
		return o.Code == CodeNotOpened && o.Surface == on && mayBeCut(o)
	})
}

// group says tasks of one code.
func (j *Judged) group(all []Task) Group {
	first, h := all[0], heaps[all[0].Code]
	g := Group{Stage: first.Stage, Code: first.Code, Must: first.Must, N: len(all), First: first}
	if s, err := j.Surface(first.Surface); err == nil && !h.room {
		g.Where = words.Capital(s.Name)
	}
	if first.Code == CodeNotOpened && !mayBeCut(first) {
		h.do = "Do not cut %s yet: " + words.Lower(strings.ReplaceAll(words.NoStop(first.What), "%", "%%"))
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
	return g
}

// mayBeCut reports whether a hole that is not cut yet may be.
func mayBeCut(t Task) bool { return t.What == CutIt }
