package gate

import (
	"lathmark/domain/words"
	"time"
)

// Ids of the records that a gate looks at. They are types of their own, so
// that mixing them does not compile.
type (
	SurfaceID     string
	DatumID       string
	LayerID       string
	PositionID    string
	MeasurementID string
	OpeningID     string
	SnagID        string
)

// Record is all that the rules need to know of one room, as plain values. The
// caller fills it from the store and from the geometry's answer; a zero time
// always means "not yet". Records that were struck out are left out.
type Record struct {
	Room         string // its name, "Utility"
	Surfaces     []Surface
	Datums       []Datum
	Positions    []Position
	Measurements []Measurement
	Openings     []Opening
	Snags        []Snag
	// PlasterFinished is the day the plaster was finished.
	PlasterFinished time.Time
	// EarliestDry is the first day on which the plaster can be dry
	// (caution.Dry works it out); zero where nothing has to dry.
	EarliestDry time.Time
	// FirstHole is the hole that the set-out wants opened first; empty where
	// it does not say.
	FirstHole PositionID
	// FirstProved is when a tail was first found and written down where it
	// was, so that the other holes could take its lesson.
	FirstProved time.Time
	Gates       Gates
}

// Surface is a ceiling, slope, wall or floor of the room.
type Surface struct {
	ID   SurfaceID
	Name string // "ceiling"
	// Photos taken of it while it was open, that is before its boards.
	Photos int
}

// Datum is what people measure from.
type Datum struct {
	ID      DatumID
	Surface SurfaceID
	Name    string // "south wall"
	Kind    words.DatumKind
	// StaysBare: nothing will go on this face, and somebody said so.
	StaysBare bool
	// Layers (face only) are the planned build-up in the order it goes on.
	Layers []Layer
}

// Covered reports whether layers are planned on the datum.
func (d *Datum) Covered() bool { return d.Kind == words.Face && len(d.Layers) > 0 }

// Layer is one layer of a face: as planned and, once it is on, as built.
type Layer struct {
	ID    LayerID
	Name  string      // "board", "skim", "tile"
	Stage words.Stage // in which it goes on
	// Trade puts it on; empty: told from the stage and the name.
	Trade words.Trade
	// AsBuilt: its thickness as put on is recorded, by thickness or by a span.
	AsBuilt bool
	// Planned and Built thickness, mm; Built counts only with AsBuilt.
	Planned, Built float64
	// Sigmas is how far built lies from planned, in standard deviations of
	// that difference, either sign; counts only with AsBuilt.
	Sigmas float64
}

// Position is a place where something will come through a surface, with the
// geometry's verdicts on it.
type Position struct {
	ID      PositionID
	Surface SurfaceID
	Name    string      // "D4"
	Kind    string      // "downlight", "fan", "switch drop", "pipe tail", "waste" ...
	Trade   words.Trade // whose tail it is; empty: told from the kind
	Cutout  float64
	AddedAt time.Time
	// Held: no hole is listed for it, for the reason given in HeldWhy.
	Held    bool
	HeldWhy string
	// OmittedAt is when the client gave the position up.
	OmittedAt time.Time
	// SeenFree is when its tail was seen free, by name, before the boards.
	SeenFree time.Time

	// The geometry's verdicts.

	// Determinate: its own measurements fix where it is.
	Determinate bool
	// Ambiguous: two places fit its measurements.
	Ambiguous bool
	// Checked: an error in any one of its measurements would show.
	Checked bool
	// Hit is the worst chance, 0 to 1, that its hole, unmoved, cuts a timber.
	Hit float64
	// HitTimber names the timber of Hit, "J1".
	HitTimber string
	// Move is the least move of the hole in mm that clears every timber; 0
	// where none does or none is needed.
	Move float64
}

// Omitted reports whether the client gave the position up.
func (p *Position) Omitted() bool { return !p.OmittedAt.IsZero() }

// Measurement is one reading, with the geometry's verdicts on it.
type Measurement struct {
	ID   MeasurementID
	Kind words.MeasurementKind
	// Position measured (offset, distance); empty for the others.
	Position PositionID
	// To is the other position of a distance.
	To PositionID
	// Ends are the datums measured from: one for an offset or a thickness, two
	// for a span, none for a distance.
	Ends []End

	// The geometry's verdicts.

	// Suspect: it does not fit the others (|w| over 3.29).
	Suspect bool
	// ReadsAs is the state of the face under which a suspect reading would
	// fit, "skim"; empty where there is none.
	ReadsAs string
}

// End is one end of a measurement: the datum and the state it was in.
type End struct {
	Datum DatumID // empty: nobody wrote down what it was measured from
	// State names the outermost layer that was on, Bare before any; empty:
	// nobody wrote it down.
	State string
}

// Opening is one hole that was cut for a position.
type Opening struct {
	ID       OpeningID
	Position PositionID
	At       time.Time
	Outcome  words.Outcome
	// Patch is nil where none is owed or promised.
	Patch *Patch
	// NewPosition takes the lost hole's place, if one was put on the schedule.
	NewPosition PositionID
}

// Patch is the making good of a hole.
type Patch struct {
	FilledAt time.Time
	// DryAt is when it is dry, by the filler's own time or by somebody's look.
	DryAt time.Time
}

// Snag is a fault that somebody noted and that has to be put right.
type Snag struct {
	ID     SnagID
	Text   string      // "scratch on the sill"
	Trade  words.Trade // who puts it right; empty: the foreman sees to it
	Closed time.Time
}

// Gate is the gate of one stage.
type Gate struct {
	State    words.State
	SignedAt time.Time // counts only while signed off
	SignedBy string    // initials, for the frame
}

// Gates are the five gates of a room, indexed by Stage.
type Gates [5]Gate

func (p *Position) trade() words.Trade {
	if p.Trade != "" {
		return p.Trade
	}
	return words.TradeOfKind(p.Kind)
}

func (l *Layer) trade() words.Trade {
	if l.Trade != "" {
		return l.Trade
	}
	return words.TradeOfLayer(l.Name, l.Stage)
}
