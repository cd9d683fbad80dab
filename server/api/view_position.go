package api

import (
	"math"
	"slices"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Position is a position on the schedule, with what the geometry says of it.
// The set-out says more.
type Position struct {
	ID        id.Position      `json:"id" format:"uuid"`
	Surface   id.Surface       `json:"surface" format:"uuid"`
	Name      string           `json:"name"`
	Kind      string           `json:"kind"`
	Trade     words.Trade      `json:"trade"`
	Cutout    float64          `json:"cutout,omitzero" doc:"The hole's diameter; 0: none."`
	Reach     float64          `json:"reach,omitzero" doc:"0: half the cut-out and 40."`
	TailSigma float64          `json:"tail_sigma,omitzero" doc:"0: 10."`
	Planned   *roomsheet.Point `json:"planned,omitempty" doc:"Where the schedule wants it."`
	AddedAt   time.Time        `json:"added_at"`
	Held      bool             `json:"held"`
	HeldWhy   string           `json:"held_why,omitempty"`
	OmittedAt time.Time        `json:"omitted_at,omitzero" doc:"When the client gave it up."`
	OmitWhy   string           `json:"omit_why,omitempty"`
	SeenFree  time.Time        `json:"seen_free,omitzero" doc:"When its tail was seen free."`
	Version   int64            `json:"version"`

	Determinate bool              `json:"determinate" doc:"Its own measurements fix where it is."`
	Ambiguous   []roomsheet.Point `json:"ambiguous,omitempty" doc:"The two places that fit, where two do."`
	Checked     bool              `json:"checked" doc:"An error in any one of its measurements would show."`
	At          *roomsheet.Point  `json:"at,omitempty" doc:"Where it is."`
	Hit         float64           `json:"hit" doc:"The worst chance that its hole, unmoved, cuts a timber."`
}

func (p Position) version() int64 { return p.Version }

func viewPosition(j *standing.Standing, p room.Position) Position {
	out := Position{ID: p.ID, Surface: p.Surface, Name: p.Name, Kind: p.Kind, Trade: p.Trade, Cutout: p.Cutout,
		Reach:     p.Reach,
		TailSigma: p.TailSigma, Planned: p.Planned, AddedAt: p.AddedAt, Held: p.Held, HeldWhy: p.HeldWhy,
		OmittedAt: p.OmittedAt,
		OmitWhy:   p.OmitWhy, Version: p.Version}
	if i := slices.IndexFunc(j.Record.Seen, func(t room.TailSeen) bool { return t.Position == p.ID }); i >= 0 {
		out.SeenFree = j.Record.Seen[i].At
	}
	a, _ := j.Position(p.ID)
	if a == nil {
		return out
	}
	out.Determinate, out.Checked = a.Determinate, a.Checked
	for _, v := range a.Ambiguous {
		out.Ambiguous = append(out.Ambiguous, roomsheet.Point{v.U, v.V})
	}
	if a.Determinate {
		out.At = &roomsheet.Point{a.At.U, a.At.V}
	}
	for _, t := range a.Timbers {
		out.Hit = max(out.Hit, t.Hit)
	}
	return out
}

func positionIn(of id.Position) func(*standing.Standing) (Position, bool) {
	return func(j *standing.Standing) (Position, bool) {
		p, err := j.Record.Position(of)
		if err != nil {
			return Position{}, false
		}
		return viewPosition(j, *p), true
	}
}

// PositionDraft is a position as it goes onto the schedule.
type PositionDraft struct {
	ID id.Position `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	PositionWords
}

// PositionWords are what the schedule says of a position.
type PositionWords struct {
	Name      string           `json:"name" minLength:"1" maxLength:"120" doc:"Unique in the room."`
	Kind      string           `json:"kind,omitempty" maxLength:"120" doc:"downlight, pendant, fan, switch drop, socket, sensor, pipe tail, waste ..."`
	Trade     words.Trade      `json:"trade,omitempty" enum:"electrician,plumber,dry_liner,plasterer,tiler,joiner,decorator" doc:"Whose tail it is; told from the kind where it is left out."`
	Cutout    float64          `json:"cutout,omitempty" minimum:"0"`
	Reach     float64          `json:"reach,omitempty" minimum:"0"`
	TailSigma float64          `json:"tail_sigma,omitempty" minimum:"0"`
	Planned   *roomsheet.Point `json:"planned,omitempty" doc:"Where it is wanted."`
}

func (w PositionWords) draft(of id.Position) room.PositionDraft {
	return room.PositionDraft{ID: of, Name: w.Name, Kind: w.Kind, Trade: w.Trade, Cutout: w.Cutout, Reach: w.Reach,
		TailSigma: w.TailSigma, Planned: w.Planned}
}

func (d PositionDraft) draft() room.PositionDraft { return d.PositionWords.draft(d.ID) }

func viewDraft(d room.PositionDraft) PositionDraft {
	return PositionDraft{d.ID, PositionWords{d.Name, d.Kind, d.Trade, d.Cutout, d.Reach, d.TailSigma, d.Planned}}
}

// Measurement is one reading, with how it fits.
type Measurement struct {
	ID      id.Measurement `json:"id" format:"uuid"`
	Surface id.Surface     `json:"surface" format:"uuid"`
	Name    string         `json:"name" doc:"m1, m2 ... in the room."`
	Stage   Stage          `json:"stage" doc:"In hand when it was taken."`
	ReadingWords
	TakenBy   id.Member `json:"taken_by" format:"uuid"`
	TakenAt   time.Time `json:"taken_at"`
	StruckAt  time.Time `json:"struck_at,omitzero" doc:"When it was struck out."`
	StruckWhy string    `json:"struck_why,omitempty"`
	Version   int64     `json:"version"`
	Fit       *Fit      `json:"fit,omitempty" doc:"Left out where it was struck out."`
}

func (m Measurement) version() int64 { return m.Version }

// Fit is how a measurement fits the others.
type Fit struct {
	Unrecorded bool     `json:"unrecorded" doc:"Nobody wrote down what state its datum was in: it takes no part."`
	Unused     bool     `json:"unused" doc:"Its position is not determinate: it takes no part."`
	Residual   float64  `json:"residual"`
	Redundancy float64  `json:"redundancy"`
	W          float64  `json:"w" doc:"The residual over its own standard deviation."`
	MDB        *float64 `json:"mdb,omitempty" doc:"The smallest error that would show; left out where none would."`
	Suspect    bool     `json:"suspect"`
	ReadsAs    string   `json:"reads_as,omitempty" doc:"The state of the face under which it would fit."`
}

// ReadingWords are what somebody writes down of a measurement.
type ReadingWords struct {
	Kind         words.MeasurementKind `json:"kind" enum:"offset,span,distance,thickness"`
	Of           id.Position           `json:"of,omitzero" format:"uuid" doc:"offset, distance: the position."`
	ToPosition   id.Position           `json:"to_position,omitzero" format:"uuid" doc:"distance: the other position."`
	From         id.Datum              `json:"from,omitzero" format:"uuid" doc:"offset, span, thickness: the datum."`
	To           id.Datum              `json:"to,omitzero" format:"uuid" doc:"span: the other face."`
	State        string                `json:"state,omitempty" doc:"The outermost layer that was on the datum, bare before any; left out where nobody looked."`
	ToState      string                `json:"to_state,omitempty" doc:"span: the same of the other face."`
	FromState    string                `json:"from_state,omitempty" doc:"thickness: from which state; bare where it is left out."`
	SurfaceState string                `json:"surface_state,omitempty" doc:"The same of the surface itself, where the face leans."`
	Value        float64               `json:"value"`
	Sigma        float64               `json:"sigma,omitempty" minimum:"0" doc:"0: the instrument's."`
	By           string                `json:"by,omitempty" enum:"tape,laser,rule"`
}

func (w ReadingWords) reading(of id.Measurement) room.Reading {
	return room.Reading{ID: of, Kind: w.Kind, Of: w.Of, ToPosition: w.ToPosition, From: w.From, To: w.To, State: w.State,
		ToState:   w.ToState,
		FromState: w.FromState, SurfaceState: w.SurfaceState, Value: w.Value, Sigma: w.Sigma, By: w.By}
}

func viewMeasurement(j *standing.Standing, m room.Measurement) Measurement {
	out := Measurement{ID: m.ID, Surface: m.Surface, Name: m.Name, Stage: stageOf(m.Stage),
		ReadingWords: ReadingWords{m.Kind, m.Of, m.ToPosition, m.From, m.To, m.State, m.ToState, m.FromState, m.SurfaceState,
			m.Value, m.Sigma, m.By},
		TakenBy: m.TakenBy, TakenAt: m.TakenAt, StruckAt: m.StruckAt, StruckWhy: m.StruckWhy, Version: m.Version}
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

func measurementIn(of id.Measurement) func(*standing.Standing) (Measurement, bool) {
	return func(j *standing.Standing) (Measurement, bool) {
		m, err := j.Record.Measurement(of)
		if err != nil {
			return Measurement{}, false
		}
		return viewMeasurement(j, *m), true
	}
}
