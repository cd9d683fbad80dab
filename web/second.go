package web

import (
	"html/template"
	"time"

	"lathmark/domain/advice"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// SetOut is the set-out sheet of a room, in today's states.
var SetOut = Page[SetOutView]{"set-out"}

// SetOutView is where to mark today.
type SetOutView struct {
	Sheet
	Surfaces []SetOutSurface
	// Cautions are shown next to the act of cutting.
	Cautions []Caution
	// Learned says what was learned from the holes cut so far; "" before the
	// first.
	Learned string
	// Lost says what is to be done about each hole that was lost.
	Lost []string
	// MayOpen says that second fix is in progress, so outcomes can be recorded.
	MayOpen bool
}

// SetOutSurface is one surface to mark on.
type SetOutSurface struct {
	ID    string
	Name  string
	State string // of the surface itself, in words
	Plan  template.HTML
	// Cautions apply to the kinds of fitting on this surface.
	Cautions []Caution
	First    []HoleRow // each trade's, to be cut first; empty once it is cut or where none can be
	Lines    []LineRow
	Holes    []HoleRow // the others
	// NotYet lists positions without a hole, each with the reason.
	NotYet []NotYetRow
}

// ToCut are the holes that are still to be cut.
func (s SetOutSurface) ToCut() []HoleRow { return s.holes(false) }

// Cut are those that were.
func (s SetOutSurface) Cut() []HoleRow { return s.holes(true) }

func (s SetOutSurface) holes(cut bool) (out []HoleRow) {
	for _, h := range s.Holes {
		if (h.Opening != nil) == cut {
			out = append(out, h)
		}
	}
	return out
}

// marksTable is holes of a surface, under a title.
type marksTable struct {
	View  SetOutView
	On    string
	Rows  []HoleRow
	Title string
}

func newMarksTable(v SetOutView, on string, rows []HoleRow, title string) marksTable {
	return marksTable{v, on, rows, title}
}

// holeCautions is a hole's own cautions, and whether holes are cut now.
type holeCautions struct {
	HoleRow
	MayOpen bool
}

func newHoleCautions(v SetOutView, h HoleRow) holeCautions { return holeCautions{h, v.MayOpen} }

func marksTitle(first []HoleRow) string {
	if len(first) > 0 {
		return "Then the others"
	}
	return "Holes"
}

func holeNames(rows []HoleRow) string {
	var names []string
	for _, h := range rows {
		names = append(names, h.Name)
	}
	return words.Runs(names)
}

// HoleRow is one hole to mark, with what is said of it.
type HoleRow struct {
	*room.Position
	Advice  *advice.Hole  // it can be marked
	Opening *room.Opening // what was behind it; nil if it was not cut
	// Cautions are about this hole alone: its zone, ...
	Cautions []Caution
}

// A is the first offset to mark.
func (h HoleRow) A() advice.Mark { return h.Advice.Marks[0] }

// B is the other.
func (h HoleRow) B() advice.Mark { return h.Advice.Marks[1] }

// LineRow is one line to snap, and what became of it where timber is in its way.
type LineRow struct {
	advice.Mark
	Serves []string // position names
	Says   string
}

// NotYetRow is a position without a hole to mark.
type NotYetRow struct{ Name, Why string }

// Outcome is the form for what was behind a hole.
var Outcome = Page[OutcomeView]{"outcome"}

// OutcomeView takes the outcome of one hole. Fields: outcome (found,
// hooked_out, not_found, on_timber), off_a and off_b (where the tail really
// was), patch (on), new_name, new_place, note, doubt (known) where the record is in
// doubt, and hidden doubt_asked there and those of Marks.
type OutcomeView struct {
	Sheet
	Typed
	Marks
	Photo    PhotoPart
	Hole     HoleRow
	Outcomes []Option
	Cautions []Caution
}

// Marks are the two datums that a hole is marked from, and that off_a and off_b
// are measured from. Hidden fields: from_a and from_b, their ids; side_a and
// side_b, "+" or "-", the side of each that the hole lies on; state_a and
// state_b, how each face was. With them, a form kept for a day still means what
// the person saw, whichever the best two datums are by then.
type Marks struct {
	FromA, SideA, StateA string
	FromB, SideB, StateB string
}

// Patches is the list of patches of a room.
var Patches = Page[PatchesView]{"patches"}

// PatchesView is every patch of a room. Field of the form: opening.
type PatchesView struct {
	Sheet
	Typed
	Rows []PatchRow
	// MayDo says that the record of the patches is open.
	MayDo bool
	// Holes lists those that were cut and have no patch yet.
	Holes []Option
	// Lost says what is to be done about each hole that was lost.
	Lost []string
}

// PatchRow is one patch.
type PatchRow struct {
	room.Patch
	Where, Why string
	Dry        bool
}

// Snags is the list of snags of a room.
var Snags = Page[SnagsView]{"snags"}

// SnagsView is every snag of a room, those that are open first. Fields of the form: what,
// where, who (deed.NoteSnag says how), due.
type SnagsView struct {
	Sheet
	Typed
	Rows []SnagRow
	Who  []Option
}

// SnagRow is one snag.
type SnagRow struct {
	room.Snag
	Who   string // who is to put it right: "Ola Brandt, electrician"; "the foreman"
	Given string // the same as the field who has it
	Photo PhotoPart
	// Mine says that the viewer may say that it is put right; MayRun that they look at
	// it, close it, give it again and open it again.
	Mine, MayRun bool
}

// Tasks is a trade's list across jobs.
var Tasks = Page[TasksView]{"tasks"}

// TasksView is what this person's trade has to do, job by job, room by room.
type TasksView struct {
	Sheet
	Jobs []TaskJob
}

// TaskJob is one job's rooms.
type TaskJob struct {
	Name, Address string
	Rooms         []TaskRoom
}

// TaskRoom is one room's tasks.
type TaskRoom struct {
	At    Place
	Name  string
	Stage string
	// Closing says what must not be covered yet; "" if that is nothing.
	Closing string
	// Tasks are those that stand in the way of the stage; Others are better done, too.
	Tasks, Others []Task
}

// Task is one thing to do: a sentence and where it is done.
type Task struct {
	Where string // "Ceiling"; "" for the whole room
	Says  string // "Cut D1 to D7 (7 holes)."
	Act   string // "Measure"
	Href  string
	Bring string // what to bring, "" for nothing special
}

// Ready is the page of rooms that are ready for a trade.
var Ready = Page[ReadyView]{"ready"}

// ReadyView lists which rooms are ready for the person's trade and since when.
type ReadyView struct {
	Sheet
	Stage string // what the trade does: "boarding"
	Rooms []ReadyRoom
	Soon  []SoonRoom
}

// ReadyRoom is a room that can be started.
type ReadyRoom struct {
	At        Place
	Job, Room string
	Stage     string
	Since     time.Time
	Left      string // what is left to do
	Act, Href string
}

// SoonRoom is a room that is not ready yet, with what it waits for.
type SoonRoom struct{ Job, Room, WaitsFor string }

// BuildUps is the page of the firm's standard build-ups.
var BuildUps = Page[BuildUpsView]{"build-ups"}

// BuildUpsView lists the firm's standard build-ups. Fields of the form: name,
// layers.
type BuildUpsView struct {
	Sheet
	Typed
	Rows    []StandardRow
	MayEdit bool
}

// StandardRow is one standard build-up.
type StandardRow struct {
	Name   string
	Layers []LayerRow
	Total  float64 // mm
}
