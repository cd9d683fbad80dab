package room

import (
	"math"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Reading is a measurement as somebody writes it down. State and the like name
// the outermost layer that was on, "bare" before any; empty where it was not
// looked at.
type Reading struct {
	ID           id.Measurement        `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Surface      id.Surface            `json:"surface,omitzero"` // of a span or thickness; else told from Of
	Kind         words.MeasurementKind `json:"kind,omitzero" required:"true" enum:"offset,span,distance,thickness"`
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
	By           string                `json:"by,omitzero" enum:"tape,laser,rule"`                    // tape, laser, rule; empty: tape
}

// UpTo is what every thickness says: without it nobody knows what was measured, and unlike an offset's it can't be
// said later.
const UpTo = "up to which layer it was measured"

// Measured turns a reading into a measurement; what is left to the room
// sheet's check is not checked here.
func (r *Record) Measured(g Reading) (Measurement, error) {
	m := Measurement{ID: id.OrNew(g.ID), Surface: g.Surface, Kind: g.Kind, Of: g.Of, ToPosition: g.ToPosition,
		From: g.From, To: g.To,
		State: g.State, ToState: g.ToState, FromState: g.FromState, SurfaceState: g.SurfaceState, Value: g.Value,
		Sigma: g.Sigma, By: g.By, Version: 1}
	if m.By == "" {
		m.By = "tape"
	}
	var wrong []fault.Field
	has := func(is bool, path, what string) {
		if !is {
			wrong = append(wrong, fault.Field{Path: path, Wrong: "it does not say " + what, Mend: "Say " + what})
		}
	}
	switch m.Kind {
	case words.Offset:
		has(!m.Of.IsZero(), "of", "which position was measured")
		has(!m.From.IsZero(), "from", "what it was measured from")
		m.ToPosition, m.To, m.ToState, m.FromState = id.Position{}, id.Datum{}, "", ""
	case words.Distance:
		has(!m.Of.IsZero() && !m.ToPosition.IsZero() && m.Of != m.ToPosition, "to", "from which position to which other one")
		m.From, m.To, m.State, m.ToState, m.FromState, m.SurfaceState = id.Datum{}, id.Datum{}, "", "", "", ""
	case words.Span:
		has(!m.From.IsZero() && !m.To.IsZero() && m.From != m.To, "to", "from which wall to which other one")
		m.Of, m.ToPosition, m.FromState = id.Position{}, id.Position{}, ""
	case words.Thickness:
		has(!m.From.IsZero(), "from", "which face was measured")
		has(m.State != "" && m.State != roomsheet.Bare, "state", UpTo)
		m.Of, m.ToPosition, m.To, m.ToState, m.SurfaceState = id.Position{}, id.Position{}, id.Datum{}, "", ""
	default:
		has(false, "kind", "whether it is an offset, a span, a distance or a thickness")
	}
	has(!math.IsNaN(m.Value) && math.Abs(m.Value) <= 100_000, "value", "a length in millimetres")
	has(m.Sigma >= 0 && m.Sigma <= 1000, "sigma", "a standard deviation in millimetres, or nothing")
	has(m.By == "tape" || m.By == "laser" || m.By == "rule", "by", "tape, laser or rule")
	if len(wrong) > 0 {
		return m, &fault.Error{Kind: fault.BadInput, Msg: "This reading cannot be saved.", Fields: wrong}
	}
	return m, r.place(&m)
}

// place finds the surface a measurement is on, and checks that all it names
// is there too.
func (r *Record) place(m *Measurement) error {
	if !m.Of.IsZero() {
		p, err := r.Position(m.Of)
		if err != nil {
			return err
		}
		m.Surface = p.Surface
	} else {
		d, err := r.Datum(m.From)
		if err != nil {
			return err
		}
		m.Surface = d.Surface
	}
	if !m.ToPosition.IsZero() {
		if p, err := r.Position(m.ToPosition); err != nil || p.Surface != m.Surface {
			return Missing("position on this surface")
		}
	}
	for _, end := range []struct {
		datum       id.Datum
		path, state string
	}{{m.From, "state", m.State}, {m.To, "to_state", m.ToState}, {m.From, "from_state", m.FromState}} {
		if end.datum.IsZero() {
			continue
		}
		d, err := r.Datum(end.datum)
		if err != nil || d.Surface != m.Surface {
			return Missing("datum on this surface")
		}
		if d.Kind != words.Face {
			m.State, m.SurfaceState = "", "" // nothing covers it
			continue
		}
		layers := r.LayersOf(d.Surface, d.ID)
		if err := r.state(layers, d.Name, end.path, end.state); err != nil {
			return err
		}
		if len(layers) == 0 {
			m.bare(end.path)
		}
	}
	// Bare is what leaving these out means.
	if m.FromState == roomsheet.Bare {
		m.FromState = ""
	}
	if m.SurfaceState == roomsheet.Bare {
		m.SurfaceState = ""
	}
	return r.state(r.LayersOf(m.Surface, id.Datum{}), "the surface", "surface_state", m.SurfaceState)
}

// bare says of a face on which nothing is planned that it was bare, which it was: so what is planned on it later
// leaves the reading as it is.
func (m *Measurement) bare(path string) {
	switch {
	case path == "state" && m.Kind != words.Thickness:
		m.State = roomsheet.Bare
	case path == "to_state":
		m.ToState = roomsheet.Bare
	}
}

// state refuses a state that is none of the layers'.
func (r *Record) state(layers []Layer, name, path, state string) error {
	if state == "" || state == roomsheet.Bare {
		return nil
	}
	for _, l := range layers {
		if l.Name == state {
			return nil
		}
	}
	return &fault.Error{Kind: fault.BadInput, Msg: name + " has no state called " + state + ".",
		Fields: []fault.Field{{Path: path, Wrong: name + " has no layer called " + state,
			Mend: "Give bare, or the outermost layer that was on"}}}
}

// Agrees reports whether two measurements were written down in the same words.
func (m *Measurement) Agrees(n Measurement) bool {
	a, b := *m, n
	a.Name, a.Stage, a.TakenBy, a.TakenAt, a.StruckAt, a.StruckWhy, a.Version, a.Since = b.Name, b.Stage, b.TakenBy,
		b.TakenAt, b.StruckAt, b.StruckWhy, b.Version, b.Since
	return a == b
}
