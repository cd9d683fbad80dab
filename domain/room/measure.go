package room

import (
	"context"
	"fmt"
	"math"
	"strconv"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
)

var noTime time.Time

// Reading is a measurement as somebody writes it down. State and the like name
// the outermost layer that was on, "bare" before any; empty where it was not
// looked at.
type Reading struct {
	ID           id.Measurement
	Surface      id.Surface // of a span or thickness; else told from Of
	Kind         gate.MeasurementKind
	Of           id.Position
	ToPosition   id.Position
	From         id.Datum
	To           id.Datum
	State        string
	ToState      string
	FromState    string
	SurfaceState string
	Value        float64 // mm
	Sigma        float64 // mm; 0: the instrument's
	By           string  // tape, laser, rule; empty: tape
}

// Verdict is what a person sees at once after a measurement.
type Verdict struct {
	*Judged
	Measurement Measurement
	// Obstacles are those of first fix that are about the measurement or its
	// position: what it still needs.
	Obstacles []gate.Obstacle
}

// Measure records a reading, under the stage that is in hand. The people on
// site may. A repeat with the same id is no error and adds nothing. Faults:
// BadInput, NotFound, Conflict (something else has the id), Obstacle (every
// stage is signed off, or an unrecorded datum after first fix).
func (s *Service) Measure(ctx context.Context, by firm.Person, room id.Room, reading Reading) (*Verdict, error) {
	var m Measurement
	j, err := s.book.Write(ctx, by, room, firm.MayRecord, func(w *Writing) (err error) {
		m, err = w.Measure(ctx, reading)
		return err
	})
	if err != nil {
		return nil, err
	}
	return j.verdict(m), nil
}

// Measure is Service.Measure inside a writing.
func (w *Writing) Measure(ctx context.Context, reading Reading) (Measurement, error) {
	m, err := w.Record.measurement(reading)
	if err != nil {
		return m, err
	}
	if old, err := w.Record.Measurement(m.ID); err == nil {
		// One that was corrected since no longer says what was sent first.
		if old.Version == 1 && !old.asked(m) {
			return m, otherRecord()
		}
		return *old, nil
	}
	stage, open := w.Record.InHand()
	if !open {
		return m, &fault.Error{Kind: fault.Obstacle, Msg: "Every stage of " + w.Record.Name + " is signed off. Reopen one to measure again."}
	}
	m.Stage, m.TakenBy, m.TakenAt = stage, w.By.ID, w.Now
	m.Name = "m" + strconv.Itoa(len(w.Record.Measurements)+1)
	if err := w.Tx.InsertMeasurement(ctx, w.Record.ID, m); err != nil {
		return m, err
	}
	w.Record.Measurements = append(w.Record.Measurements, m)
	return m, w.Note("measure", &stage, w.Record.says(&m), m)
}

// measurement turns a reading into a measurement; what is left to the room
// sheet's check is not checked here.
func (r *Record) measurement(g Reading) (Measurement, error) {
	m := Measurement{ID: id.OrNew(g.ID), Surface: g.Surface, Kind: g.Kind, Of: g.Of, ToPosition: g.ToPosition, From: g.From, To: g.To,
		State: g.State, ToState: g.ToState, FromState: g.FromState, SurfaceState: g.SurfaceState, Value: g.Value, Sigma: g.Sigma, By: g.By, Version: 1}
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
	case gate.Offset:
		has(!m.Of.IsZero(), "of", "which position was measured")
		has(!m.From.IsZero(), "from", "what it was measured from")
		m.ToPosition, m.To, m.ToState, m.FromState = id.Position{}, id.Datum{}, "", ""
	case gate.Distance:
		has(!m.Of.IsZero() && !m.ToPosition.IsZero() && m.Of != m.ToPosition, "to", "from which position to which other one")
		m.From, m.To, m.State, m.ToState, m.FromState, m.SurfaceState = id.Datum{}, id.Datum{}, "", "", "", ""
	case gate.Span:
		has(!m.From.IsZero() && !m.To.IsZero() && m.From != m.To, "to", "from which wall to which other one")
		m.Of, m.ToPosition, m.FromState = id.Position{}, id.Position{}, ""
	case gate.Thickness:
		has(!m.From.IsZero(), "from", "which face was measured")
		m.Of, m.ToPosition, m.To, m.ToState, m.SurfaceState = id.Position{}, id.Position{}, id.Datum{}, "", ""
	default:
		has(false, "kind", "whether it is an offset, a span, a distance or a thickness")
	}
	has(!math.IsNaN(m.Value) && math.Abs(m.Value) <= 100_000, "value", "a length in millimetres")
	has(m.Sigma >= 0 && m.Sigma <= 1000, "sigma", "a standard deviation in millimetres, or nothing")
	has(m.By == "tape" || m.By == "laser" || m.By == "rule", "by", "tape, laser or rule")
	if len(wrong) > 0 {
		return m, &fault.Error{Kind: fault.BadInput, Msg: "This measurement cannot be written down.", Fields: wrong}
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
			return missing("position on this surface")
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
			return missing("datum on this surface")
		}
		if d.Kind != gate.Face {
			m.State, m.SurfaceState = "", "" // nothing covers it
			continue
		}
		if err := r.state(r.LayersOf(d.Surface, d.ID), d.Name, end.path, end.state); err != nil {
			return err
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
		Fields: []fault.Field{{Path: path, Wrong: name + " has no layer called " + state, Mend: "Give bare, or the outermost layer that was on"}}}
}

// asked tells whether two measurements were written down in the same words.
func (m *Measurement) asked(n Measurement) bool {
	a, b := *m, n
	a.Name, a.Stage, a.TakenBy, a.TakenAt, a.StruckAt, a.StruckWhy, a.Version = b.Name, b.Stage, b.TakenBy, b.TakenAt, b.StruckAt, b.StruckWhy, b.Version
	return a == b
}

// says puts a measurement into a sentence.
func (r *Record) says(m *Measurement) string {
	what := string(m.Kind)
	if p, err := r.Position(m.Of); err == nil {
		what = p.Name
	}
	from := ""
	if d, err := r.Datum(m.From); err == nil {
		from = " from " + d.Name + r.inState(d, m.State)
	}
	if d, err := r.Datum(m.To); err == nil {
		from += " to " + d.Name + r.inState(d, m.ToState)
	}
	if p, err := r.Position(m.ToPosition); err == nil {
		from += " to " + p.Name
	}
	return fmt.Sprintf("%s: %g mm%s, by %s.", what, m.Value, from, m.By)
}

func (r *Record) inState(d *Datum, state string) string {
	switch {
	case state != "":
		return " (" + state + ")"
	case d.Kind == gate.Face && len(r.LayersOf(d.Surface, d.ID)) > 0:
		return " (state not recorded)"
	}
	return ""
}

func (j *Judged) verdict(m Measurement) *Verdict {
	v := &Verdict{Judged: j, Measurement: m}
	if stored, err := j.Record.Measurement(m.ID); err == nil {
		v.Measurement = *stored
	}
	for _, o := range j.Obstacles(gate.FirstFix) {
		about := o.About.ID
		if about == m.ID.String() || about == m.Of.String() && about != "" {
			v.Obstacles = append(v.Obstacles, o)
		}
	}
	return v
}

// Correct changes what was written down of a measurement: the state that was
// forgotten, a slip of the pen. version is the measurement's, 0 for any. The
// people on site may; before and after are in the diary. Faults: BadInput,
// NotFound, Conflict, Obstacle (the stage it was taken in is signed off).
func (s *Service) Correct(ctx context.Context, by firm.Person, room id.Room, version int64, reading Reading) (*Verdict, error) {
	var m Measurement
	j, err := s.book.Write(ctx, by, room, firm.MayRecord, func(w *Writing) error {
		old, err := w.Record.Measurement(reading.ID)
		if err != nil {
			return err
		}
		if m, err = w.Record.measurement(reading); err != nil {
			return err
		}
		if !old.Stands() {
			return &fault.Error{Kind: fault.Conflict, Msg: old.Name + " was struck out. Take it again as a new one."}
		}
		if old.asked(m) {
			return nil
		}
		if m.Surface != old.Surface {
			return &fault.Error{Kind: fault.BadInput, Msg: old.Name + " stays on its surface.",
				Fields: []fault.Field{{Path: "of", Wrong: "it is on another surface", Mend: "Strike it out and take a new one"}}}
		}
		m.Name, m.Stage, m.TakenBy, m.TakenAt = old.Name, old.Stage, old.TakenBy, old.TakenAt
		if err := w.Tx.UpdateMeasurement(ctx, m, version); err != nil {
			return err
		}
		return w.Note("correct", &m.Stage, old.Name+" was corrected. "+w.Record.says(&m), struct{ Before, After Measurement }{*old, m})
	})
	if err != nil {
		return nil, err
	}
	return j.verdict(m), nil
}

// Strike strikes a measurement out, with the reason; it stays in the record
// and takes no part. Who and faults as for Correct.
func (s *Service) Strike(ctx context.Context, by firm.Person, room id.Room, measurement id.Measurement, version int64, why string) (*Judged, error) {
	return s.book.Write(ctx, by, room, firm.MayRecord, func(w *Writing) error {
		old, err := w.Record.Measurement(measurement)
		if err != nil {
			return err
		}
		if err := reason(why); err != nil {
			return err
		}
		if !old.Stands() {
			return nil
		}
		m := *old
		m.StruckAt, m.StruckWhy = w.Now, strings.TrimSpace(why)
		if err := w.Tx.UpdateMeasurement(ctx, m, version); err != nil {
			return err
		}
		return w.Note("strike", &m.Stage, old.Name+" was struck out: "+m.StruckWhy, m)
	})
}
