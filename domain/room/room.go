// Package room holds a room with everything recorded in it: its surfaces and
// what one measures from, the schedule of positions, the measurements, and
// what every stage leaves behind. It turns a stored room into a room sheet for
// the geometry and into a record for the gates.
package room

import (
	"bytes"
	"crypto/sha256"
	"encoding/json"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Room is a room of a job.
type Room struct {
	ID        id.Room           `json:"id" format:"uuid"`
	Job       id.Job            `json:"job,omitzero" required:"true" format:"uuid"`
	Name      string            `json:"name,omitzero" required:"true"`
	Place     int               `json:"place,omitzero" required:"true"` // in the order one walks through the house
	Use       words.Use         `json:"use,omitzero" enum:"bathroom,shower_room,wc,kitchen,utility,bedroom,living_room,hall,other" doc:"What it is used for; left out where nobody said it."`
	Outline   []roomsheet.Point `json:"outline,omitzero" required:"true" doc:"The corners, anticlockwise; the first wall is at the bottom of the sheet."`
	Height    float64           `json:"height,omitzero" required:"true"` // floor to ceiling, mm
	Wet       []Wet             `json:"wet,omitzero" required:"true" doc:"Baths and showers."`
	CreatedAt time.Time         `json:"created_at,omitzero" required:"true"`
	Revision  int64             `json:"revision,omitzero" required:"true" doc:"Moves on with every write to anything in the room."`
	Version   int64             `json:"version,omitzero" required:"true" doc:"Moves on with every change of the room's own fields."`
}

// Wet is a bath or a shower, as its outline lies in the room's.
type Wet struct {
	Kind    string            `json:"kind"` // bath, shower
	Outline []roomsheet.Point `json:"outline"`
}

// Surface is a ceiling, slope, wall or floor.
type Surface struct {
	ID    id.Surface `json:"id" format:"uuid"`
	Name  string     `json:"name,omitzero" required:"true"`
	Kind  string     `json:"kind,omitzero" required:"true" enum:"ceiling,slope,wall,floor"` // as in a room sheet
	Place int        `json:"place,omitzero"`
	Pitch float64    `json:"pitch,omitzero" doc:"Of a slope, degrees from level."`
	Wall  int        `json:"wall,omitzero" doc:"The wall of the room's outline that it is, or that a slope rises from, from 1; left out: none."`
	// Outline is in mm, anticlockwise.
	Outline []roomsheet.Point `json:"outline,omitzero" required:"true" doc:"Its corners in its own frame."`
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
	ID        id.Datum        `json:"id" format:"uuid"`
	Surface   id.Surface      `json:"surface,omitzero" required:"true" format:"uuid"`
	Name      string          `json:"name,omitzero" required:"true"`
	Kind      words.DatumKind `json:"kind,omitzero" required:"true" enum:"face,line,point"`
	Place     int             `json:"place,omitzero"`
	A         roomsheet.Point `json:"a" doc:"Where it begins; the point itself."`
	B         roomsheet.Point `json:"b" doc:"Where it ends; the room is on its left. Of no account for a point."`
	Sigma     float64         `json:"sigma,omitzero" doc:"0: 10 for a face, 2 for a line or point."` // mm
	Lean      float64         `json:"lean,omitzero" doc:"Of a face: how far its inside angle is over 90 degrees."`
	StaysBare bool            `json:"stays_bare,omitzero" doc:"Nothing will go on this face."`
	Wall      int             `json:"wall,omitzero" doc:"Of a face: the wall of the room's outline that it is, from 1; left out: none."`
}

// Timber is a joist, rafter, stud or noggin.
type Timber struct {
	ID      id.Timber       `json:"id" format:"uuid"`
	Surface id.Surface      `json:"surface,omitzero" required:"true" format:"uuid"`
	Name    string          `json:"name,omitzero" required:"true" minLength:"1" maxLength:"60"`
	A       roomsheet.Point `json:"a" doc:"One end of the centre line."`
	B       roomsheet.Point `json:"b"`
	Width   float64         `json:"width,omitzero" required:"true" exclusiveMinimum:"0" maximum:"1000"`               // across the line, mm
	Depth   float64         `json:"depth,omitzero" minimum:"0" maximum:"2000" doc:"0: not known."`                    // mm
	Sigma   float64         `json:"sigma,omitzero" minimum:"0" maximum:"1000" doc:"Of where it is, across it; 0: 5."` // mm
}

// Position is a place on the schedule where something will come through.
type Position struct {
	ID        id.Position      `json:"id" format:"uuid"`
	Surface   id.Surface       `json:"surface,omitzero" required:"true" format:"uuid"`
	Name      string           `json:"name,omitzero" required:"true"` // unique in the room
	Kind      string           `json:"kind,omitzero"`
	Trade     words.Trade      `json:"trade,omitzero" required:"true"`
	Cutout    float64          `json:"cutout,omitzero" doc:"The hole's diameter; 0: none."` // mm
	Reach     float64          `json:"reach,omitzero" doc:"0: half the cut-out and 40."`    // mm
	TailSigma float64          `json:"tail_sigma,omitzero" doc:"0: 10."`                    // mm
	Planned   *roomsheet.Point `json:"planned,omitzero" doc:"Where the schedule wants it."`
	AddedAt   time.Time        `json:"added_at,omitzero" required:"true"`
	Held      bool             `json:"held,omitzero"`
	HeldWhy   string           `json:"held_why,omitzero"`
	OmittedAt time.Time        `json:"omitted_at,omitzero" doc:"When the client gave it up."` // zero: it is wanted
	OmitWhy   string           `json:"omit_why,omitzero"`
	Version   int64            `json:"version,omitzero" required:"true"`
}

// Measurement is one reading. State and the like are names of layers of the
// face, "bare" before any, and empty where nobody wrote the state down.
type Measurement struct {
	ID      id.Measurement `json:"id" format:"uuid"`
	Surface id.Surface     `json:"surface,omitzero" required:"true" format:"uuid"`
	// "m12", unique in the room
	Name         string                `json:"name,omitzero" required:"true" doc:"m1, m2 ... in the room."`
	Kind         words.MeasurementKind `json:"kind,omitzero" required:"true" enum:"offset,span,distance,thickness"`
	Stage        words.Stage           `json:"stage" doc:"In hand when it was taken."`
	Of           id.Position           `json:"of,omitzero" format:"uuid" doc:"offset, distance: the position."`
	ToPosition   id.Position           `json:"to_position,omitzero" format:"uuid" doc:"distance: the other position."`
	From         id.Datum              `json:"from,omitzero" format:"uuid" doc:"offset, span, thickness: the datum."`
	To           id.Datum              `json:"to,omitzero" format:"uuid" doc:"span: the other face."`
	State        string                `json:"state,omitzero" doc:"The outermost layer that was on the datum, bare before any; left out where nobody looked, but a thickness always says it."`
	ToState      string                `json:"to_state,omitzero" doc:"span: the same of the other face."`
	FromState    string                `json:"from_state,omitzero" doc:"thickness: from which state; bare where it is left out."`
	SurfaceState string                `json:"surface_state,omitzero" doc:"The same of the surface itself, where the face leans."`
	Value        float64               `json:"value"`                                                 // mm
	Sigma        float64               `json:"sigma,omitzero" minimum:"0" doc:"0: the instrument's."` // mm
	By           string                `json:"by,omitzero" enum:"tape,laser,rule"`                    // tape, laser, rule
	TakenBy      id.Member             `json:"taken_by,omitzero" required:"true" format:"uuid"`
	TakenAt      time.Time             `json:"taken_at,omitzero" required:"true"`
	StruckAt     time.Time             `json:"struck_at,omitzero" doc:"When it was struck out."` // zero: it stands
	StruckWhy    string                `json:"struck_why,omitzero"`
	Version      int64                 `json:"version,omitzero" required:"true"`
	// Since is the room's revision with which it came: it belongs to every stage that
	// is signed at that revision or later.
	Since int64 `json:"-"`
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
	ID          id.Opening    `json:"id" format:"uuid"`
	Position    id.Position   `json:"position,omitzero" required:"true" format:"uuid"`
	Outcome     words.Outcome `json:"outcome,omitzero" required:"true" enum:"found,hooked_out,not_found,on_timber"`
	NewPosition id.Position   `json:"new_position,omitzero" format:"uuid" doc:"What takes its place."`
	Says        string        `json:"says,omitzero"`
	By          id.Member     `json:"by,omitzero"`
	At          time.Time     `json:"at,omitzero" required:"true" doc:"When it was cut."`
	RecordedAt  time.Time     `json:"recorded_at,omitzero" required:"true"` // when the outcome was written down
}

// Patch is the making good of a hole.
type Patch struct {
	Opening  id.Opening `json:"opening,omitzero"`
	OwedAt   time.Time  `json:"owed_at,omitzero" required:"true"`
	FilledAt time.Time  `json:"filled_at,omitzero"`
	DryAt    time.Time  `json:"dry_at,omitzero"`
}

// Snag is a fault that somebody noted.
type Snag struct {
	ID       id.Snag     `json:"id" format:"uuid"`
	Says     string      `json:"says,omitzero" required:"true"`
	Trade    words.Trade `json:"trade,omitzero" doc:"Who puts it right."`
	Person   id.Member   `json:"person,omitzero" format:"uuid" doc:"Who of them; left out: any."`
	DueOn    time.Time   `json:"due_on,omitzero" doc:"The day by which it is to be done."`
	NotedBy  id.Member   `json:"noted_by,omitzero"`
	NotedAt  time.Time   `json:"noted_at,omitzero" required:"true"`
	DoneBy   id.Member   `json:"done_by,omitzero" format:"uuid" doc:"Who put it right."`
	DoneAt   time.Time   `json:"done_at,omitzero" doc:"When it was put right, to be looked at."`
	ClosedBy id.Member   `json:"closed_by,omitzero" format:"uuid"`
	ClosedAt time.Time   `json:"closed_at,omitzero"`
}

// Open reports whether a snag was not closed yet.
func (s *Snag) Open() bool { return s.ClosedAt.IsZero() }

// SignOff is a stage signed off: who, when, what was accepted and, word for
// word, what it was based on.
type SignOff struct {
	ID        id.SignOff      `json:"id" format:"uuid"`
	Stage     words.Stage     `json:"stage"`
	By        id.Member       `json:"by" format:"uuid"`
	At        time.Time       `json:"at"`
	Accepted  json.RawMessage `json:"accepted"`
	RoomSheet json.RawMessage `json:"room_sheet"`
	SetOut    json.RawMessage `json:"set_out"`
	Evidence  json.RawMessage `json:"evidence,omitempty" doc:"All that the stage rests on; not of the oldest sign-offs."`
	Revision  int64           `json:"revision" doc:"The room's; of the oldest sign-offs below zero."`
	SHA256    Sum             `json:"sha256" doc:"Over accepted, room_sheet and set_out, a line feed between, as they are kept."`
	DiarySeq  int64           `json:"diary_seq"`
}

// Sum returns the SHA-256 over what the sign-off holds but for its evidence, a line to each.
func (s *SignOff) Sum() Sum {
	return sha256.Sum256(bytes.Join([][]byte{s.Accepted, s.RoomSheet, s.SetOut}, []byte("\n")))
}

// EvidenceSum is the SHA-256 of the evidence.
func (s *SignOff) EvidenceSum() Sum { return sha256.Sum256(s.Evidence) }

// Gate is the stored gate of one stage.
type Gate struct {
	Stage     words.Stage `json:"stage"`
	State     words.State `json:"state"`
	OfferedBy id.Member   `json:"offered_by,omitzero" format:"uuid"`
	OfferedAt time.Time   `json:"offered_at,omitzero"`
	SignOff   id.SignOff  `json:"sign_off,omitzero" format:"uuid"` // of a signed gate
	SignedBy  id.Member   `json:"signed_by,omitzero" format:"uuid"`
	SignedAt  time.Time   `json:"signed_at,omitzero"`
	Initials  string      `json:"initials,omitzero"`
	Withdrawn string      `json:"withdrawn,omitzero" doc:"Why it is no longer offered: who changed what."`
	// Revision is the room's at which it was signed.
	Revision int64 `json:"-"`
}
