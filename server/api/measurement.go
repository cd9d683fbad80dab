package api

import (
	"context"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// OfMeasurement is a request about one measurement of a room.
type OfMeasurement struct {
	OfRoom
	Measurement id.Measurement `path:"measurement" format:"uuid"`
}

// Verdict is what a person sees at once after a measurement.
type Verdict struct {
	Measurement Measurement `json:"measurement"`
	Position    *Position   `json:"position,omitempty" doc:"Of an offset or a distance: where it is now known to be."`
	Needs       []Obstacle  `json:"needs" doc:"What the measurement and its position still need at first fix."`
}

func viewVerdict(v *deed.Verdict) *versioned[Verdict] {
	out := Verdict{Measurement: viewMeasurement(v.Standing, v.Measurement), Needs: each(v.Obstacles, viewObstacle)}
	if p, there := positionIn(v.Measurement.Of)(v.Standing); there {
		out.Position = &p
	}
	return &versioned[Verdict]{tag(v.Measurement.Version), out}
}

// MeasurementDraft is a reading as somebody writes it down.
type MeasurementDraft struct {
	ID id.Measurement `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	ReadingWords
}

func (a *api) measure(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Body MeasurementDraft
}) (*versioned[Verdict], error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	v, err := a.Room.Measure(ctx, by, in.Room, in.Body.reading(in.Body.ID))
	if err != nil {
		return nil, err
	}
	return viewVerdict(v), nil
}

func (a *api) measurement(ctx context.Context, by firm.Person, in *OfMeasurement) (*versioned[Measurement], error) {
	j, err := a.Room.Read(ctx, by, in.Room)
	if err != nil {
		return nil, err
	}
	m, err := j.Record.Measurement(in.Measurement)
	if err != nil {
		return nil, err
	}
	return tagged(viewMeasurement(j, *m)), nil
}

func (a *api) correct(ctx context.Context, by firm.Person, in *struct {
	OfMeasurement
	IfMatch
	Body ReadingWords
}) (*versioned[Verdict], error) {
	seen, err := in.version()
	if err != nil {
		return nil, err
	}
	v, err := a.Room.Correct(ctx, by, in.Room, seen, in.Body.reading(in.Measurement))
	if err != nil {
		return nil, stale(ctx, a, by, in.Room, err, seen, in.Body, measurementIn(in.Measurement))
	}
	return viewVerdict(v), nil
}

func (a *api) strike(ctx context.Context, by firm.Person, in *struct {
	OfMeasurement
	IfMatch
	Body Reason
}) (*versioned[Measurement], error) {
	seen, err := in.version()
	if err != nil {
		return nil, err
	}
	j, err := a.Room.Strike(ctx, by, in.Room, in.Measurement, seen, in.Body.Reason)
	if err != nil {
		return nil, stale(ctx, a, by, in.Room, err, seen, in.Body, measurementIn(in.Measurement))
	}
	m, _ := measurementIn(in.Measurement)(j)
	return tagged(m), nil
}
