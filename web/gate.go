package web

import (
	"slices"
	"time"

	"lathmark/domain/room"
)

// GateSheet is one stage of a room: its obstacles and the way through.
var GateSheet = Page[GateView]{"gate"}

// GateView is one gate. MayOffer and MaySign say what this person can do now;
// with a hard obstacle MaySign is false for everybody. Signing off sends a
// reason for every soft obstacle, in the field that the row names.
type GateView struct {
	Sheet
	Typed
	Photo     PhotoPart
	Gate      Gate
	Hard      []ObstacleRow
	Soft      []ObstacleRow
	MayOffer  bool
	MaySign   bool
	MayReopen bool
	OfferedBy string // name and trade
	OfferedAt time.Time
	SignedBy  string
	// Withdrawn is why the stage is no longer offered; "" if that is not so.
	Withdrawn string
	// Revision is the room's: what is signed off is what was seen.
	Revision int64
	// Digest is the SHA-256 of the record the sign-off was based on; "" before.
	Digest string
}

// SoftGroups are the soft obstacles rule by rule: one reason may do for all of one.
func (v GateView) SoftGroups() (out [][]ObstacleRow) {
	for _, o := range v.Soft {
		i := slices.IndexFunc(out, func(g []ObstacleRow) bool { return g[0].Code == o.Code && !o.Accepted })
		if i < 0 {
			out = append(out, []ObstacleRow{o})
			continue
		}
		out[i] = append(out[i], o)
	}
	return out
}

// ObstacleRow is one obstacle.
type ObstacleRow struct {
	Code  string // of the rule
	About string // id of the record it is about
	Wrong string // a sentence: what is wrong
	Mend  string // a sentence: the way out
	// Words is what is wrong as the rule says it: it is accepted in those words.
	Words string
	// Before is what was accepted where it says something else by now; else "".
	Before string
	// Act and Href lead to where it is mended; "" if there is nothing to press.
	Act, Href string
	// Accepted and the three below are for a soft obstacle that was accepted.
	Accepted   bool
	Reason     string
	AcceptedBy string
	AcceptedAt time.Time
}

// Field returns the name of the field with the reason for which a soft obstacle is
// accepted.
func (o ObstacleRow) Field() string { return "reason." + o.Code + "." + o.About }

// TickField returns the name of the field that accepts it for the reason of CommonField.
func (o ObstacleRow) TickField() string { return "tick." + o.Code + "." + o.About }

// AllField returns the name of the field that ticks all of its rule.
func (o ObstacleRow) AllField() string { return "all." + o.Code }

// CommonField returns the name of the field with one reason for all of a rule that are
// ticked.
func (o ObstacleRow) CommonField() string { return "for." + o.Code }

// WordsField returns the name of the field with the words in which it is accepted.
func (o ObstacleRow) WordsField() string { return "words." + o.Code + "." + o.About }

// Reopen is the form that opens a signed stage again.
var Reopen = Page[ReopenView]{"reopen"}

// ReopenView is a signed gate about to be opened. Field: reason.
type ReopenView struct {
	Sheet
	Typed
	Gate Gate
	// Undoes lists what is undone, the stage itself first: "Boarding, signed off by Ruth
	// Aldous on Tuesday 3 March".
	Undoes []string
}

// Refusal is the page for a refusal: what is missing, where, and the way out.
var Refusal = Page[RefusalView]{"refusal"}

// RefusalView is a refusal.
type RefusalView struct {
	Sheet
	Says      string // one sentence
	Obstacles []ObstacleRow
	Back      string // address to go back to
}

// AsBuilt is the form for a build-up as it was put on.
var AsBuilt = Page[AsBuiltView]{"as-built"}

// AsBuiltView takes thicknesses, or one span across the room. Fields: one
// "t.<layer id>" per layer asked for; on the other form: span_from, span_to,
// span_state, span, by; for what is the same on several faces, those of SameAsked.
type AsBuiltView struct {
	Sheet
	Typed
	Photo PhotoPart
	Stage string
	// Closing says what must not be covered yet; "" if that is nothing.
	Closing     string
	Walls       []WallChoice // whose build-ups differ from place to place
	Faces       []FaceBuilt
	Same        []SameAsked
	Spans       []Option // pairs of faces that look at each other: "south|north"
	Instruments []Option
	// States a span may have been read in.
	States []Option
	// Cautions are about what has to dry before it is covered.
	Cautions []Caution
}

// FaceBuilt is one face and its layers of this stage.
type FaceBuilt struct {
	Name, Surface string
	Layers        []LayerAsked
}

// SameAsked is a layer that several faces take alike and that none of them has on record. Fields: those of
// deed.SameField and deed.SameOn.
type SameAsked struct {
	Name      string // "board"
	On        string // the layers' ids, with blanks between them
	N         int    // faces
	Field, Of string
}

// LayerAsked is one layer's thickness as planned, and as it is on record with
// its ±, mm; 0 if none is.
type LayerAsked struct {
	room.Layer
	Recorded, PlusMinus float64
}

// Field returns the name of the layer's field.
func (l LayerAsked) Field() string { return "t." + l.ID.String() }

// Finished is the form for the day a stage was finished.
var Finished = Page[FinishedView]{"finished"}

// FinishedView takes a date. Field: date (2026-11-25).
type FinishedView struct {
	Sheet
	Typed
	Photo    PhotoPart
	Stage    string
	Recorded time.Time
	// DryFrom is the earliest day it can be painted or drilled; zero if not
	// known.
	DryFrom  time.Time
	Cautions []Caution
}
