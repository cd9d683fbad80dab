package web

import (
	"html/template"
	"slices"
	"strings"
	"time"

	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Room is one room's page: its plan, then its schedules.
var Room = Page[RoomView]{"room"}

// RoomView is the current state of one room.
type RoomView struct {
	Sheet
	Line     RoomLine
	Surfaces []SurfaceView
	// MayEdit says that the viewer may change the room's outline, datums,
	// timbers and schedule (foreman, while first fix is open).
	MayEdit bool
	// MayMeasure says that the viewer may record measurements now.
	MayMeasure bool
	// MayRename: may give the room another name, or remove it.
	MayRename bool
	// Frozen says in a sentence why the record cannot be changed; "" if it can.
	Frozen string
	// Cautions are shown above the schedules that they guard.
	Cautions []Caution
	// Walls are those whose build-ups differ from place to place.
	Walls []WallChoice
	// Choices wait for the viewer.
	Choices []ChoiceRow
}

// Caution is a rule of the trade, shown next to the act that it guards.
type Caution struct {
	Says   string // what to do or not to do
	Source string // where it comes from, and who decides
}

// SurfaceView is one surface: its plan and four schedules. ID is the
// surface's id in the room sheet; the rows' anchors and the plan's are made
// from it.
type SurfaceView struct {
	ID       string
	Name     string        // "Ceiling"
	Plan     template.HTML // drawing.Plan.SVG; "" if there is no datum
	Unplaced []string      // names of the positions without a place on it

	Positions []PositionRow
	Datums    []DatumRow
	Timbers   []room.Timber
	// Others are the readings of no position: spans between faces, thicknesses.
	Others []MeasurementRow
	Photos []PhotoRow

	// Open says that its plan and its groups are shown; Lines is how many positions of it may be.
	Open  bool
	Lines int
}

// Unplanned are the faces whose build-up nobody has planned.
func (s SurfaceView) Unplanned() (out []string) {
	for _, d := range s.Datums {
		if d.Unplanned() {
			out = append(out, d.Name)
		}
	}
	return out
}

// PositionRow is one position of the schedule. Name is its id in the room
// sheet.
type PositionRow struct {
	ID     string // for addresses
	Name   string // "D1"
	Kind   string // "downlight"
	CutOut float64
	// OnPlan says that the plan shows it, so the row can lead there.
	OnPlan bool
	// Record is its state in words: "measured and checked", "one offset only",
	// "no record".
	Record string
	// Owed says that it still needs something, so the words stand out.
	Owed bool
	// PlusMinus is the half-length in mm within which it lies 19 times in 20; 0
	// if it has no place.
	PlusMinus float64
	Check     string // "checked: a misread of about 14 mm or more would have shown"; "" if it has no place
	State     string // "held", "omitted", "found", ...; "" if there is nothing to say
	Reason    string // of a hold or an omission
	// Readings are those of the position, as they were taken, struck ones too.
	Readings []MeasurementRow
}

// Standing counts the readings that stand.
func (p PositionRow) Standing() (n int) {
	for _, m := range p.Readings {
		if m.Struck == "" {
			n++
		}
	}
	return n
}

// Last is the reading that was taken last of those that stand: "1802 from steel"; "" where none does.
func (p PositionRow) Last() string {
	for _, m := range slices.Backward(p.Readings) {
		if m.Struck == "" {
			return words.MM(m.Value) + " " + strings.TrimPrefix(m.What, p.Name+" ")
		}
	}
	return ""
}

// Doubts are the readings with which something is wrong.
func (p PositionRow) Doubts() []MeasurementRow { return doubts(p.Readings) }

// DatumRow is one datum of a surface. Name is its id in the room sheet.
type DatumRow struct {
	ID     string
	Name   string // "south wall"
	Key    string // id in the room sheet: "south"
	Kind   string // "face", "fixed line", "fixed point"
	Now    string // state today in words: "skimmed"; "" for what no layer covers
	Layers []LayerRow
	// StaysBare says that it is marked as never to be covered.
	StaysBare bool
}

// Unplanned reports whether it is a face of which nobody said what goes on it, or that it stays bare.
func (d DatumRow) Unplanned() bool { return d.Now != "" && !d.StaysBare && len(d.Layers) == 0 }

// LayerRow is one layer of a build-up.
type LayerRow struct {
	Name    string
	Stage   string
	Planned float64 // mm
	// Built is the thickness as built, mm; 0 if not recorded.
	Built, BuiltPlusMinus float64
	On                    bool // it is on today
}

// MeasurementRow is one reading as it was taken.
type MeasurementRow struct {
	ID    string // for addresses; "" if it cannot be corrected here
	What  string // "D1 from south wall"
	State string // "bare"; "state not recorded"
	Value float64
	By    string // "tape"
	Who   string
	When  time.Time
	// Struck says why it was struck out and no longer counts; "" if it was not.
	Struck string
	// Doubt says what is wrong with it: "does not fit: reads as if boarded"; ""
	// if it fits.
	Doubt string
}

// readings is a table of them; Of is what they are of.
type readings struct {
	At         Place
	MayMeasure bool
	Rows       []MeasurementRow
	Of         string
}

func newReadings(v RoomView, rows []MeasurementRow, of string) readings {
	return readings{v.At, v.MayMeasure, rows, of}
}

// doubt is a reading with which something is wrong, and where it can be corrected; "": nowhere.
type doubt struct {
	MeasurementRow
	Href string
}

func newDoubt(v RoomView, m MeasurementRow) doubt {
	if !v.MayMeasure || m.ID == "" {
		return doubt{m, ""}
	}
	return doubt{m, v.At.Reading(m.ID)}
}

// Surface is the form of one surface.
var Surface = Page[SurfaceFormView]{"surface-form"}

// SurfaceFormView is the form for a surface. Fields: name; kind: ceiling, floor,
// "wall 1", "slope 2"; pitch of a slope, in degrees, and length up it; outline, a
// line per corner: "0 0"; build_up, the id of a standard one; layers, a line each:
// "board 12.5 boarding".
type SurfaceFormView struct {
	Sheet
	Typed
	SurfaceID string // "" for a new one
	Kinds     []Option
	BuildUps  []Option // the firm's standard build-ups
}

// Datum is the form of one datum.
var Datum = Page[DatumFormView]{"datum-form"}

// DatumFormView is the form for a datum. Fields: name; kind: face, line, point;
// from and to, the ends of a line; point: "3300 2100"; sigma, mm; lean, degrees;
// stays_bare.
type DatumFormView struct {
	Sheet
	Typed
	SurfaceID, SurfaceName string
	DatumID                string // "" for a new one
	// MayRemove says that nothing was measured from it yet.
	MayRemove bool
	Kinds     []Option
}

// BuildUp is the form of the planned build-up of one face.
var BuildUp = Page[BuildUpFormView]{"build-up-form"}

// BuildUpFormView is what will go on a face. Fields: standard, the id of one;
// layers, a line each: "board 12.5 boarding"; others, stays_bare.
type BuildUpFormView struct {
	Sheet
	Typed
	DatumID, DatumName string
	// AlsoOn says where else the same wall is drawn, "" where it is not.
	AlsoOn string
	// Others names the faces of the surface for which nothing is planned yet,
	// "" if there are none.
	Others    string
	Standards []Option
}

// Timber is the form for timbers of a surface.
var Timber = Page[TimberFormView]{"timber-form"}

// TimberFormView adds timbers, one by one or spaced. Fields: shape ("spaced"
// or "single"); name of the first; width, depth; of a run, face, the id of what
// the centres are counted from, first, spacing from centre to centre, count; of a
// single one, from and to, the ends of its centre line.
type TimberFormView struct {
	Sheet
	Typed
	SurfaceID, SurfaceName string
	Plan                   PlanningView
	Timbers                []room.Timber
	Datums                 []Option // faces to count from
	Cautions               []Caution
	Cables                 WaysView
}
