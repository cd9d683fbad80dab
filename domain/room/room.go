// Package room holds a room with everything recorded in it: its surfaces and
// what one measures from, the schedule of positions, the measurements, and
// what every stage leaves behind. It turns a stored room into a room sheet for
// the geometry and into a record for the gates.
package room

import (
	"time"

	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Room is a room of a job.
type Room struct {
	ID    id.Room
	Job   id.Job
	Name  string
	Place int // in the order one walks through the house
	// Outline are the room's corners in mm, anticlockwise; the first wall,
	// from the first corner to the second, is at the bottom of the sheet.
	Outline   []roomsheet.Point
	Height    float64 // floor to ceiling, mm
	Wet       []Wet   // baths and showers
	CreatedAt time.Time
	// Revision moves on with every write to anything in the room.
	Revision int64
	// Version moves on with every change of the fields above.
	Version int64
}

// Wet is a bath or a shower, as its outline lies in the room's.
type Wet struct {
	Kind    string            `json:"kind"` // bath, shower
	Outline []roomsheet.Point `json:"outline"`
}

// Surface is a ceiling, slope, wall or floor.
type Surface struct {
	ID    id.Surface
	Name  string
	Kind  string // as in a room sheet
	Place int
	Pitch float64 // of a slope, degrees
	// Outline are its corners in its own frame, mm, anticlockwise.
	Outline []roomsheet.Point
}

// Layer is a planned layer of a face, or of the surface itself where Datum is
// none.
type Layer struct {
	ID        id.Layer
	Surface   id.Surface
	Datum     id.Datum
	Place     int // from 1, in the order they go on
	Name      string
	Thickness float64 // mm
	Sigma     float64 // mm; 0: 20 % of the thickness
	Stage     words.Stage
}

// Datum is what people measure from.
type Datum struct {
	ID        id.Datum
	Surface   id.Surface
	Name      string
	Kind      words.DatumKind
	Place     int
	A, B      roomsheet.Point // the ends; a point is A
	Sigma     float64         // mm; 0: face 10, line and point 2
	Lean      float64         // face only, degrees
	StaysBare bool            // face only: nothing will go on it
}

// Timber is a joist, rafter, stud or noggin.
type Timber struct {
	ID      id.Timber
	Surface id.Surface
	Name    string
	A, B    roomsheet.Point // ends of the centre line
	Width   float64         // across the line, mm
	Depth   float64         // mm; 0: not known
	Sigma   float64         // mm; 0: 5
}

// Position is a place on the schedule where something will come through.
type Position struct {
	ID        id.Position
	Surface   id.Surface
	Name      string // unique in the room
	Kind      string
	Trade     words.Trade
	Cutout    float64          // the hole's diameter, mm; 0: none
	Reach     float64          // mm; 0: half the cut-out and 40
	TailSigma float64          // mm; 0: 10
	Planned   *roomsheet.Point // where the schedule wants it, if it says
	AddedAt   time.Time
	Held      bool
	HeldWhy   string
	OmittedAt time.Time // zero: it is wanted
	OmitWhy   string
	Version   int64
}

// Measurement is one reading. State and the like are names of layers of the
// face, "bare" before any, and empty where nobody wrote the state down.
type Measurement struct {
	ID           id.Measurement
	Surface      id.Surface
	Name         string // "m12", unique in the room
	Kind         words.MeasurementKind
	Stage        words.Stage // in hand when it was taken
	Of           id.Position // offset, distance
	ToPosition   id.Position // distance
	From         id.Datum    // offset, span, thickness
	To           id.Datum    // span
	State        string
	ToState      string
	FromState    string
	SurfaceState string
	Value        float64 // mm
	Sigma        float64 // mm; 0: the instrument's
	By           string  // tape, laser, rule
	TakenBy      id.Member
	TakenAt      time.Time
	StruckAt     time.Time // zero: it stands
	StruckWhy    string
	Version      int64
}

// Stands reports whether the measurement takes part; it was not struck out.
func (m *Measurement) Stands() bool { return m.StruckAt.IsZero() }

// AsBuilt is a layer as it was put on.
type AsBuilt struct {
	Layer id.Layer
	Stage words.Stage
	// Thickness in mm as put on; 0 where the measurements tell it.
	Thickness float64
	Sigma     float64   // of Thickness, mm; 0: 1 mm
	PutOn     time.Time // the day
	By        id.Member
	At        time.Time
}

// TailSeen says that a tail was seen free.
type TailSeen struct {
	Position id.Position
	By       id.Member
	At       time.Time
}

// Finished is the day a stage's work was finished.
type Finished struct {
	Stage words.Stage
	On    time.Time
	By    id.Member
	At    time.Time
}

// Opening is a hole that was cut, with what it showed.
type Opening struct {
	ID          id.Opening
	Position    id.Position
	Outcome     words.Outcome
	NewPosition id.Position
	Says        string
	By          id.Member
	At          time.Time // when it was cut
	RecordedAt  time.Time // when the outcome was written down
}

// Patch is the making good of a hole.
type Patch struct {
	Opening  id.Opening
	OwedAt   time.Time
	FilledAt time.Time
	DryAt    time.Time
}

// Snag is a fault that somebody noted.
type Snag struct {
	ID       id.Snag
	Says     string
	Trade    words.Trade
	NotedBy  id.Member
	NotedAt  time.Time
	ClosedBy id.Member
	ClosedAt time.Time
}

// SignOff is a stage signed off: who, when, what was accepted and, word for
// word, what it was based on.
type SignOff struct {
	ID        id.SignOff
	Stage     words.Stage
	By        id.Member
	At        time.Time
	Accepted  []byte // JSON
	RoomSheet []byte // JSON
	SetOut    []byte // JSON
	SHA256    [32]byte
	DiarySeq  int64
}

// Gate is the stored gate of one stage.
type Gate struct {
	Stage     words.Stage
	State     words.State
	OfferedBy id.Member
	OfferedAt time.Time
	SignOff   id.SignOff // of a signed gate
	SignedBy  id.Member
	SignedAt  time.Time
	Initials  string
}
