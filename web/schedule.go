package web

import (
	"html/template"

	"lathmark/domain/room"
	"lathmark/domain/verdict"
)

// Schedule is the list of positions of a room and the forms that add to it.
var Schedule = Page[ScheduleView]{"schedule"}

// ScheduleView is the schedule of a room with three ways to add to it. Fields of
// one position: name, kind, surface, cut_out, place: "900 600"; of pasted lines:
// lines_surface, lines: "D1 downlight 76"; of rows and columns, half a space to
// the walls: spaced_surface, spaced_kind, prefix, rows, columns, spaced_cut_out.
type ScheduleView struct {
	Sheet
	Typed
	Rows     []PositionRow
	Surfaces []Option
	Kinds    []Option
	// Near lists positions planned on or near a timber, with the move off it.
	Near []NearTimber
	// Measured lists those that would land on a timber where their readings have them.
	Measured []NearTimber
	// Copies says that the form to copy another room's schedule is open; Others are the rooms. Field: from.
	Copies bool
	Others []Option
	// Cautions are about what is planned: zones of a bath or shower, heights.
	Cautions []Caution
	// MayEdit says that the schedule is open.
	MayEdit bool
	// Plans are the surfaces' plans, on which a place can be touched.
	Plans []PlanningView
	// Asks is the question that one of the forms has come back with.
	Asks Asks
}

// PlanningView is the plan of a surface for the forms that add to it.
type PlanningView struct {
	Surface string // its id
	Plan    template.HTML
	Timbers int // that are drawn in it
}

// planned is such a plan where it stands on a page.
type planned struct {
	Plan   PlanningView
	Hidden bool   // another surface is chosen
	Link   string // to its timbers; "": none
}

func newPlanned(plan PlanningView, hidden bool, link string) planned {
	return planned{plan, hidden, link}
}

// Asks is a question before signed stages open again: the same form, pressed by the button that says so, does it.
// Field: reopen.
type Asks struct {
	Form string // one, lines, spaced, copy, omit, want-again; "": nothing is asked
	Says string
	Does string // on the button: "Add L4 and reopen"
}

// NearTimber is a planned position that would land on a timber.
type NearTimber struct {
	Position string
	Timber   string
	Gap      float64 // mm, negative where they overlap
	Move     string  // "62 towards east wall"
}

// Position is the form of one position.
var Position = Page[PositionFormView]{"position-form"}

// PositionFormView changes one position of an open schedule. Fields: those of
// ScheduleView for one, and reach.
type PositionFormView struct {
	Sheet
	Typed
	PositionID string
	Plans      []PlanningView
	Kinds      []Option
	Surfaces   []Option
}

// Measure is the form for a measurement.
var Measure = Page[MeasureView]{"measure"}

// MeasureView is the form for a measurement, with the result of the one before.
type MeasureView struct {
	Sheet
	Typed
	Form MeasureForm
	// Positions are those of the surface being measured: Owing a reading, or
	// Settled. Elsewhere are those of the room's other surfaces.
	Positions, Owing, Settled []Option
	Elsewhere                 []*room.Position
	Datums                    []DatumChoice
	// Kinds of reading: offset, span, distance.
	Kinds       []Option
	Instruments []Option
	// SurfaceStates are the states of the surface itself, asked for only if a
	// face leans; else none.
	SurfaceStates []Option
	// Last is the result of the reading just recorded; nil before any.
	// LastID is its id, for correcting it or taking it back; "" if that is not
	// possible.
	Last   *verdict.Verdict
	LastID string
	// OnRecord are the readings that stand. Where the form is about some, Asks says
	// that it asks what becomes of them: Again are the choices, and Apart says that what
	// was typed disagrees with them. Differs is how the page's script says that.
	OnRecord       []OnRecord
	Asks           bool
	Again          []Option
	Apart, Differs string
	// Plan is the surface's plan; "" if there is none yet.
	Plan template.HTML
	// Owed lists the positions that still need something, in walking order.
	Owed []OwedReading
	// Steps are the readings that are still to do, in order, for the page's script.
	Steps any
}

// GoesTo is what the reading will be of, by the choices that are made: "D2".
func (v MeasureView) GoesTo() string {
	for _, all := range [][]Option{v.Owing, v.Settled} {
		for _, o := range all {
			if o.Value == v.Form.Position {
				return o.Label
			}
		}
	}
	return ""
}

// GoesFrom is what it is measured from: "west wall, bare".
func (v MeasureView) GoesFrom() string {
	for _, g := range newDatumInput(nil, "", "", "", "", v.Datums).Groups {
		for _, o := range g.Options {
			if v.Form.Datum != "" && o.Value == JoinDatum(v.Form.Datum, v.Form.State) {
				return o.Label
			}
		}
	}
	return ""
}

// OnRecord is a reading that stands, to be told when its thing is measured again.
type OnRecord struct {
	Key    string // of the thing
	Shown  string // the reading, as the form sends it
	Says   string // "611 was recorded by Ola Brandt on Tuesday 3 March"
	Value  float64
	Limits []Limit
	Frozen bool // it cannot be replaced
	Here   bool // the form is about it
}

// Limit is from how far on two readings disagree, the second by an instrument.
type Limit struct {
	By string
	MM float64
}

// DatumChoice is a datum with the states it can be in today.
type DatumChoice struct {
	Value string
	Label string
	// States are the states as Options; none for what no layer covers.
	States []Option
	// Likely is the state it is likely to be in now; "" if none is.
	Likely string
	Fixed  bool // no layer covers it
}

// MeasureForm is a reading as typed. Fields: kind, position, value, by; datum
// and to, each a datum with its state as JoinDatum makes it; to_position; and,
// if a face leans, surface_state.
type MeasureForm struct {
	Kind     string // offset, span, distance
	Position string
	Datum    string
	State    string // state of the datum; "" is not yet chosen
	To       string // the other face of a span, the other position of a distance
	ToState  string
	Value    string // mm
	By       string // tape, laser, rule
	// SurfaceState is how far the surface itself was built up; it counts only
	// if a face leans.
	SurfaceState string
	Again        string // what becomes of those on record
}

// OwedReading is what positions still need. Says it of the first of them.
type OwedReading struct {
	Of          []Option // each position's id and name
	Needs, Says string
}

// Tails is the page of tails to be seen free before boarding is signed off.
var Tails = Page[TailsView]{"tails"}

// TailsView is the list of tails. Field: seen (position ids, one per tick).
type TailsView struct {
	Sheet
	Typed
	Tails []TailRow
	MayDo bool
	// Unseen are the ids of those that nobody has seen free, with blanks between them; "" for fewer than two.
	Unseen string
	Photo  PhotoPart
}

// TailRow is one tail.
type TailRow struct {
	room.Position
	On   string         // the name of its surface
	Seen *room.TailSeen // nil if it was not
}

// Hold is the form that holds, omits or releases a position.
var Hold = Page[HoldView]{"hold"}

// HoldView is one position that is held, or is going to be. Field: reason; on
// the other form: omit_reason.
type HoldView struct {
	Sheet
	Typed
	PositionID, PositionName, Kind string
	Held                           bool
	HeldReason                     string
	// OmittedReason is what the client said when it was left out; "" if it is
	// wanted.
	OmittedReason string
	// Asks is the question of leaving it out or putting it back, where signed stages open again.
	Asks Asks
}

// Reading is the form that corrects one reading, or strikes it out.
var Reading = Page[ReadingView]{"reading"}

// ReadingView is one reading on record. The fields are those of MeasureForm,
// without position; on the other form: reason.
type ReadingView struct {
	Sheet
	Typed
	ReadingID     string
	Row           MeasurementRow
	Form          MeasureForm
	Datums        []DatumChoice
	Instruments   []Option
	SurfaceStates []Option
}
