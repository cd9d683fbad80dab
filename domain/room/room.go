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
	ID    id.Room `json:"id"`
	Job   id.Job  `json:"job,omitzero"`
	Name  string  `json:"name,omitzero"`
	Place int     `json:"place,omitzero"` // in the order one walks through the house
	// Outline are the room's corners in mm, anticlockwise; the first wall,
	// from the first corner to the second, is at the bottom of the sheet.
	Outline   []roomsheet.Point `json:"outline,omitzero"`
	Height    float64           `json:"height,omitzero"` // floor to ceiling, mm
	Wet       []Wet             `json:"wet,omitzero"`    // baths and showers
	CreatedAt time.Time         `json:"created_at,omitzero"`
	// Revision moves on with every write to anything in the room.
	Revision int64 `json:"revision,omitzero"`
	// Version moves on with every change of the fields above.
	Version int64 `json:"version,omitzero"`
}

// Wet is a bath or a shower, as its outline lies in the room's.
type Wet struct {
	Kind    string            `json:"kind"` // bath, shower
	Outline []roomsheet.Point `json:"outline"`
}

// Surface is a ceiling, slope, wall or floor.
type Surface struct {
	ID    id.Surface `json:"id"`
	Name  string     `json:"name,omitzero"`
	Kind  string     `json:"kind,omitzero"` // as in a room sheet
	Place int        `json:"place,omitzero"`
	Pitch float64    `json:"pitch,omitzero"` // of a slope, degrees
	// Outline are its corners in its own frame, mm, anticlockwise.
	Outline []roomsheet.Point `json:"outline,omitzero"`
}

// Layer is a planned layer of a face, or of the surface itself where Datum is
// none.
type Layer struct {
	ID        id.Layer    `json:"id"`
	Surface   id.Surface  `json:"surface,omitzero"`
	Datum     id.Datum    `json:"datum,omitzero"`
	Place     int         `json:"place,omitzero"` // from 1, in the order they go on
	Name      string      `json:"name,omitzero"`
	Thickness float64     `json:"thickness,omitzero"` // mm
	Sigma     float64     `json:"sigma,omitzero"`     // mm; 0: 20 % of the thickness
	Stage     words.Stage `json:"stage"`
}

// Datum is what people measure from.
type Datum struct {
	ID        id.Datum        `json:"id"`
	Surface   id.Surface      `json:"surface,omitzero"`
	Name      string          `json:"name,omitzero"`
	Kind      words.DatumKind `json:"kind,omitzero"`
	Place     int             `json:"place,omitzero"`
	A         roomsheet.Point `json:"a"` // the ends; a point is A
	B         roomsheet.Point `json:"b"`
	Sigma     float64         `json:"sigma,omitzero"`      // mm; 0: face 10, line and point 2
	Lean      float64         `json:"lean,omitzero"`       // face only, degrees
	StaysBare bool            `json:"stays_bare,omitzero"` // face only: nothing will go on it
}

// Timber is a joist, rafter, stud or noggin.
type Timber struct {
	ID      id.Timber       `json:"id"`
	Surface id.Surface      `json:"surface,omitzero"`
	Name    string          `json:"name,omitzero"`
	A       roomsheet.Point `json:"a"` // ends of the centre line
	B       roomsheet.Point `json:"b"`
	Width   float64         `json:"width,omitzero"` // across the line, mm
	Depth   float64         `json:"depth,omitzero"` // mm; 0: not known
	Sigma   float64         `json:"sigma,omitzero"` // mm; 0: 5
}

// Position is a place on the schedule where something will come through.
type Position struct {
	ID        id.Position      `json:"id"`
	Surface   id.Surface       `json:"surface,omitzero"`
	Name      string           `json:"name,omitzero"` // unique in the room
	Kind      string           `json:"kind,omitzero"`
	Trade     words.Trade      `json:"trade,omitzero"`
	Cutout    float64          `json:"cutout,omitzero"`     // the hole's diameter, mm; 0: none
	Reach     float64          `json:"reach,omitzero"`      // mm; 0: half the cut-out and 40
	TailSigma float64          `json:"tail_sigma,omitzero"` // mm; 0: 10
	Planned   *roomsheet.Point `json:"planned,omitzero"`    // where the schedule wants it, if it says
	AddedAt   time.Time        `json:"added_at,omitzero"`
	Held      bool             `json:"held,omitzero"`
	HeldWhy   string           `json:"held_why,omitzero"`
	OmittedAt time.Time        `json:"omitted_at,omitzero"` // zero: it is wanted
	OmitWhy   string           `json:"omit_why,omitzero"`
	Version   int64            `json:"version,omitzero"`
}

// Measurement is one reading. State and the like are names of layers of the
// face, "bare" before any, and empty where nobody wrote the state down.
type Measurement struct {
	ID           id.Measurement        `json:"id"`
	Surface      id.Surface            `json:"surface,omitzero"`
	Name         string                `json:"name,omitzero"` // "m12", unique in the room
	Kind         words.MeasurementKind `json:"kind,omitzero"`
	Stage        words.Stage           `json:"stage"`                // in hand when it was taken
	Of           id.Position           `json:"of,omitzero"`          // offset, distance
	ToPosition   id.Position           `json:"to_position,omitzero"` // distance
	From         id.Datum              `json:"from,omitzero"`        // offset, span, thickness
	To           id.Datum              `json:"to,omitzero"`          // span
	State        string                `json:"state,omitzero"`
	ToState      string                `json:"to_state,omitzero"`
	FromState    string                `json:"from_state,omitzero"`
	SurfaceState string                `json:"surface_state,omitzero"`
	Value        float64               `json:"value"`          // mm
	Sigma        float64               `json:"sigma,omitzero"` // mm; 0: the instrument's
	By           string                `json:"by,omitzero"`    // tape, laser, rule
	TakenBy      id.Member             `json:"taken_by,omitzero"`
	TakenAt      time.Time             `json:"taken_at,omitzero"`
	StruckAt     time.Time             `json:"struck_at,omitzero"` // zero: it stands
	StruckWhy    string                `json:"struck_why,omitzero"`
	Version      int64                 `json:"version,omitzero"`
}

// Stands reports whether the measurement takes part; it was not struck out.
func (m *Measurement) Stands() bool { return m.StruckAt.IsZero() }

// AsBuilt is a layer as it was put on.
type AsBuilt struct {
	Layer id.Layer    `json:"layer,omitzero"`
	Stage words.Stage `json:"stage"`
	// Thickness in mm as put on; 0 where the measurements tell it.
	Thickness float64   `json:"thickness,omitzero"`
	Sigma     float64   `json:"sigma,omitzero"`  // of Thickness, mm; 0: 1 mm
	PutOn     time.Time `json:"put_on,omitzero"` // the day
	By        id.Member `json:"by,omitzero"`
	At        time.Time `json:"at,omitzero"`
}

// TailSeen says that a tail was seen free.
type TailSeen struct {
	Position id.Position `json:"position,omitzero"`
	By       id.Member   `json:"by,omitzero"`
	At       time.Time   `json:"at,omitzero"`
}

// Finished is the day a stage's work was finished.
type Finished struct {
	Stage words.Stage `json:"stage"`
	On    time.Time   `json:"on,omitzero"`
	By    id.Member   `json:"by,omitzero"`
	At    time.Time   `json:"at,omitzero"`
}

// Opening is a hole that was cut, with what it showed.
type Opening struct {
	ID          id.Opening    `json:"id"`
	Position    id.Position   `json:"position,omitzero"`
	Outcome     words.Outcome `json:"outcome,omitzero"`
	NewPosition id.Position   `json:"new_position,omitzero"`
	Says        string        `json:"says,omitzero"`
	By          id.Member     `json:"by,omitzero"`
	At          time.Time     `json:"at,omitzero"`          // when it was cut
	RecordedAt  time.Time     `json:"recorded_at,omitzero"` // when the outcome was written down
}

// Patch is the making good of a hole.
type Patch struct {
	Opening  id.Opening `json:"opening,omitzero"`
	OwedAt   time.Time  `json:"owed_at,omitzero"`
	FilledAt time.Time  `json:"filled_at,omitzero"`
	DryAt    time.Time  `json:"dry_at,omitzero"`
}

// Snag is a fault that somebody noted.
type Snag struct {
	ID       id.Snag     `json:"id"`
	Says     string      `json:"says,omitzero"`
	Trade    words.Trade `json:"trade,omitzero"`
	NotedBy  id.Member   `json:"noted_by,omitzero"`
	NotedAt  time.Time   `json:"noted_at,omitzero"`
	ClosedBy id.Member   `json:"closed_by,omitzero"`
	ClosedAt time.Time   `json:"closed_at,omitzero"`
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
	Stage     words.Stage `json:"stage"`
	State     words.State `json:"state"`
	OfferedBy id.Member   `json:"offered_by,omitzero"`
	OfferedAt time.Time   `json:"offered_at,omitzero"`
	SignOff   id.SignOff  `json:"sign_off,omitzero"` // of a signed gate
	SignedBy  id.Member   `json:"signed_by,omitzero"`
	SignedAt  time.Time   `json:"signed_at,omitzero"`
	Initials  string      `json:"initials,omitzero"`
}
