package api

import (
	"context"
	"math"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
)

// measurements are the addresses of measurements.
func (a *api) measurements() {
	const at = "/rooms/{room}/measurements/{measurement}"
	route(a, "POST /rooms/{room}/measurements", "measure", "Records a reading, and says what its position still needs",
		a.measure)
	route(a, "GET "+at, "measurement", "One measurement",
		reads(a, func(in *OfMeasurement, j *standing.Standing) (*versioned[Measurement], error) {
			return tagged(measurementIn(in, j))
		}))
	route(a, "PUT "+at, "correct", "Corrects a reading", a.correct)
	route(a, "POST "+at+"/strike", "strike", "Strikes a reading out; it stays visible and no longer counts",
		changes(a, measurementIn,
			func(in *MeasurementBody[Reason], seen int64) deed.Deed {
				return deed.Strike{Measurement: in.Measurement, Version: seen, Why: in.Body.Reason}
			}))
}

// Measurement is one reading, with how it fits.
type Measurement struct {
	room.Measurement
	TakenBy id.Member `json:"taken_by" format:"uuid"`
	Fit     *Fit      `json:"fit,omitempty" doc:"Left out where it was struck out."`
}

func (m Measurement) version() int64 { return m.Version }

// Fit is how a measurement fits the others.
type Fit struct {
	Unrecorded bool     `json:"unrecorded" doc:"It does not say what state its datum was in: it does not count."`
	Unused     bool     `json:"unused" doc:"Its position is not determinate: it does not count."`
	Residual   float64  `json:"residual"`
	Redundancy float64  `json:"redundancy"`
	W          float64  `json:"w" doc:"The residual over its own standard deviation."`
	MDB        *float64 `json:"mdb,omitempty" doc:"The smallest error that would show; left out where none would."`
	Suspect    bool     `json:"suspect"`
	ReadsAs    string   `json:"reads_as,omitempty" doc:"The state of the face under which it would fit."`
}

func viewMeasurement(j *standing.Standing, m room.Measurement) Measurement {
	out := Measurement{Measurement: m, TakenBy: m.TakenBy}
	a := j.Measurement(m.ID)
	if a == nil {
		return out
	}
	out.Fit = &Fit{Unrecorded: a.Unrecorded, Unused: a.Unused && !a.Unrecorded}
	if a.Unrecorded || a.Unused {
		return out
	}
	out.Fit.Residual, out.Fit.Redundancy, out.Fit.W, out.Fit.Suspect, out.Fit.ReadsAs = a.Residual, a.Redundancy, a.W,
		a.Suspect, j.ReadsAs(&m)
	if !math.IsInf(a.MDB, 0) && !math.IsNaN(a.MDB) {
		out.Fit.MDB = &a.MDB
	}
	return out
}

// measurementIn finds the measurement that a request is about.
func measurementIn[I interface{ measurement() id.Measurement }](in *I, j *standing.Standing) (Measurement, error) {
	m, err := j.Record.Measurement((*in).measurement())
	if err != nil {
		return Measurement{}, err
	}
	return viewMeasurement(j, *m), nil
}

// MeasurementDraft is a reading as somebody writes it down.
type MeasurementDraft struct {
	room.Reading
	Surface absent `json:"surface,omitzero"`
}

// NewMeasurement is a reading that is taken, and which of the same thing it replaces.
type NewMeasurement struct {
	MeasurementDraft
	Replaces []id.Measurement `json:"replaces,omitempty" maxItems:"20" format:"uuid" doc:"Readings of the same thing to strike out as measured again. Left out: they stay, as a check."`
}

// ReadingWords are what somebody writes down of a measurement.
type ReadingWords struct {
	MeasurementDraft
	ID absent `json:"id,omitzero"`
}

// Verdict is what a person sees at once after a measurement.
type Verdict struct {
	Measurement Measurement `json:"measurement"`
	Position    *Position   `json:"position,omitempty" doc:"Of an offset or a distance: where it is now known to be."`
	Needs       []Obstacle  `json:"needs" doc:"What the measurement and its position still need at first fix."`
}

func (v Verdict) version() int64 { return v.Measurement.Version }

func viewVerdict(v *deed.Verdict) Verdict {
	out := Verdict{Measurement: viewMeasurement(v.Standing, v.Measurement), Needs: each(v.Obstacles, viewObstacle)}
	if p, err := positionIn(&OfPosition{Position: v.Measurement.Of}, v.Standing); err == nil {
		out.Position = &p
	}
	return out
}

func (a *api) measure(ctx context.Context, by firm.Person, in *RoomBody[NewMeasurement]) (*versioned[Verdict],
	error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	d := deed.Measure{Reading: in.Body.Reading}
	for _, of := range in.Body.Replaces {
		d.Again, d.Shown = deed.Replace, append(d.Shown, deed.Shown{ID: of})
	}
	v, err := a.Desk.Verdict(ctx, by, in.Room, d)
	if err != nil {
		return nil, err
	}
	return tagged(viewVerdict(v), nil)
}

func (a *api) correct(ctx context.Context, by firm.Person, in *MeasurementBody[ReadingWords]) (*versioned[Verdict],
	error) {
	seen, err := in.seen()
	if err != nil {
		return nil, err
	}
	in.Body.Reading.ID = in.Measurement
	v, err := a.Desk.Verdict(ctx, by, in.Room, deed.Correct{Version: seen, Reading: in.Body.Reading})
	if err != nil {
		return nil, a.stale(ctx, by, in, err, func(j *standing.Standing) (stored, error) { return measurementIn(in, j) })
	}
	return tagged(viewVerdict(v), nil)
}
