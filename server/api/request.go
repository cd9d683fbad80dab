package api

import (
	"time"

	"lathmark/domain/id"
)

// OfJob is a request about one job.
type OfJob struct {
	Job id.Job `path:"job" format:"uuid"`
}

// OfRoom is a request about one room.
type OfRoom struct {
	Room id.Room `path:"room" format:"uuid"`
}

func (o OfRoom) room() id.Room { return o.Room }

// ofRoom is a request about a room, or about something in it.
type ofRoom interface{ room() id.Room }

// RoomBody is OfRoom with a body.
type RoomBody[B any] struct {
	OfRoom
	Body B
}

// OfSurface is a request about one surface of a room.
type OfSurface struct {
	OfRoom
	Surface id.Surface `path:"surface" format:"uuid"`
}

// OfDatum is a request about one datum of a room.
type OfDatum struct {
	OfRoom
	Datum id.Datum `path:"datum" format:"uuid"`
}

// OfPosition is a request about one position of a room.
type OfPosition struct {
	OfRoom
	Position id.Position `path:"position" format:"uuid"`
}

func (o OfPosition) position() id.Position { return o.Position }

// SeenPosition is a write to one position that somebody saw.
type SeenPosition struct {
	OfPosition
	IfMatch
}

// PositionBody is SeenPosition with a body.
type PositionBody[B any] struct {
	SeenPosition
	Body B
}

func (p PositionBody[B]) yours() any { return p.Body }

// OfMeasurement is a request about one measurement of a room.
type OfMeasurement struct {
	OfRoom
	Measurement id.Measurement `path:"measurement" format:"uuid"`
}

func (o OfMeasurement) measurement() id.Measurement { return o.Measurement }

// MeasurementBody is a write to one measurement that somebody saw.
type MeasurementBody[B any] struct {
	OfMeasurement
	IfMatch
	Body B
}

func (m MeasurementBody[B]) yours() any { return m.Body }

// OfStage is a request about one stage of a room.
type OfStage struct {
	OfRoom
	Stage Stage `path:"stage"`
}

// OfOpening is a request about one hole of a room.
type OfOpening struct {
	OfRoom
	Opening id.Opening `path:"opening" format:"uuid"`
}

// OpeningBody is OfOpening with a body.
type OpeningBody[B any] struct {
	OfOpening
	Body B
}

// Reason is why something is done.
type Reason struct {
	Reason string `json:"reason" minLength:"1" maxLength:"400"`
}

// When is a time; left out: now.
type When struct {
	At time.Time `json:"at,omitzero" doc:"Left out: now."`
}
