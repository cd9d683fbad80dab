package gate

import (
	"slices"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Kind says what sort of record an obstacle is about.
type Kind string

// The kinds of record, as stored.
const (
	KindGate        Kind = "gate"
	KindPlaster     Kind = "plaster"
	KindFirstHole   Kind = "first_hole"
	KindSurface     Kind = "surface"
	KindDatum       Kind = "datum"
	KindLayer       Kind = "layer"
	KindPosition    Kind = "position"
	KindMeasurement Kind = "measurement"
	KindOpening     Kind = "opening"
	KindSnag        Kind = "snag"
)

// About is the record an obstacle is about.
type About struct {
	Kind Kind `json:"kind,omitzero"`
	// ID is the record's id; for the gate the stage's code; for the plaster
	// and the first hole, of which a room has one each, it is empty.
	ID   string `json:"id"`
	Name string `json:"name,omitzero"` // what people call it, "D4"
}

// Obstacle is a rule that is not met.
type Obstacle struct {
	Code  string      `json:"code"` // the rule's, unique within the stage
	Stage words.Stage `json:"-"`
	Hard  bool        `json:"hard" doc:"Nobody can sign off while it stands; otherwise it can be accepted with a reason."`
	About About       `json:"about"`
	// Wrong says what is wrong and Mend what would mend it, each a sentence
	// of the trade without its full stop.
	Wrong string      `json:"wrong"`
	Mend  string      `json:"mend"`
	Trade words.Trade `json:"trade" doc:"Who mends it."`
	// Surface is where; empty where it is about the whole room.
	Surface id.Surface `json:"-"`
}

// Sentence is the obstacle as people read it: "First fix in the utility
// cannot be signed off: D4 has one offset only. Measure it from a second wall."
func (o Obstacle) Sentence(of string) string {
	return words.Capital(o.Stage.String()) + " in " + place(of) + " cannot be signed off: " + o.Wrong + ". " + o.Mend + "."
}

// Acceptance is a soft obstacle that the foreman accepts, and why.
type Acceptance struct {
	Code   string `json:"code,omitzero"`
	About  About  `json:"about,omitzero"` // the name does not count
	Wrong  string `json:"wrong,omitzero"` // the obstacle's, in the words that were read
	Reason string `json:"reason,omitzero"`
}

// covers reports whether an acceptance is of an obstacle as it stands: one that says
// something else by now was not accepted.
func (a Acceptance) covers(o Obstacle) bool {
	return a.about(o) && a.Wrong == o.Wrong && strings.TrimSpace(a.Reason) != ""
}

func (a Acceptance) about(o Obstacle) bool {
	return a.Code == o.Code && a.About.Kind == o.About.Kind && a.About.ID == o.About.ID
}

// MaySignOff returns the obstacles that refuse the sign-off of stage s: every
// hard one, and each soft one without an accepted reason of its own. None
// means that it may be signed off, if it is offered.
func (j *Judged) MaySignOff(s words.Stage, accepted []Acceptance) []Obstacle {
	var left []Obstacle
	for _, o := range j.obstacles[s] {
		if o.Hard || !covered(o, accepted) {
			left = append(left, o)
		}
	}
	return left
}

// Accepted is a soft obstacle as it was accepted, to be kept with the sign-off.
type Accepted struct {
	Obstacle
	Reason string
}

// AcceptedBy returns the soft obstacles of stage s that the acceptances cover,
// each with its reason. An acceptance of what is no obstacle is left out.
func (j *Judged) AcceptedBy(s words.Stage, accepted []Acceptance) []Accepted {
	var out []Accepted
	for _, o := range j.obstacles[s] {
		i := slices.IndexFunc(accepted, func(a Acceptance) bool { return a.covers(o) })
		if !o.Hard && i >= 0 {
			out = append(out, Accepted{o, strings.TrimSpace(accepted[i].Reason)})
		}
	}
	return out
}

func covered(o Obstacle, accepted []Acceptance) bool {
	return slices.ContainsFunc(accepted, func(a Acceptance) bool { return a.covers(o) })
}

// Refusal is the fault for a sign-off with obstacles left: the first one as a
// sentence, and a field for each, its path "kind/id". left must not be empty.
func Refusal(of string, s words.Stage, left []Obstacle) *fault.Error {
	e := &fault.Error{Kind: fault.Obstacle, Msg: left[0].Sentence(of)}
	for _, o := range left {
		e.Fields = append(e.Fields, fault.Field{
			Path: string(o.About.Kind) + "/" + o.About.ID, Wrong: o.Wrong, Mend: o.Mend})
	}
	return e
}

// place is where a room's sentence happens.
func place(room string) string {
	if room == "" {
		return "this room"
	}
	return words.InWords(room)
}
