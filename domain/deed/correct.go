package deed

import (
	"context"
	"strings"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// Correct changes what was written down of a measurement: the state that was
// forgotten, a slip of the pen. Before and after are in the diary. Faults:
// BadInput, NotFound, Conflict, Obstacle (the stage it was taken in is signed off).
type Correct struct {
	Version int64        `json:"version,omitzero"` // the measurement's; 0: any
	Reading room.Reading `json:"reading"`
}

// Readings are those that it leaves.
func (d Correct) Readings() []id.Measurement { return []id.Measurement{d.Reading.ID} }

func readCorrect(s *Sent) (Deed, error) {
	of, err := id.Parse[id.Measurement](s.One)
	if err != nil {
		return nil, err
	}
	old, err := s.Standing.Record.Measurement(of)
	if err != nil {
		return nil, err
	}
	return Correct{Version: s.Version, Reading: s.Amended(old)}, nil
}

// do is held back where others corrected the reading or struck it out.
func (d Correct) do(ctx context.Context, t *Taking) error {
	m, old, err := t.correction(d.Reading)
	if err != nil {
		return err
	}
	e, clash, err := t.last(changes(d.Reading.ID), "correct", "strike")
	switch {
	case err != nil || old.Stands() && old.Agrees(m):
		return err
	case clash:
		t.hold(0, old.Name+" is corrected. "+t.Record.Says(&m), e)
		return nil
	case !old.Stands():
		return &fault.Error{Kind: fault.Conflict, Msg: old.Name + " was struck out. Take it again as a new one."}
	}
	return t.putRight(ctx, d.Version, old, m)
}

// force puts it right also where it was struck out since: it then stands again.
func (d Correct) force(ctx context.Context, w *Writing, _ clash) error {
	m, old, err := w.correction(d.Reading)
	if err != nil || old.Stands() && old.Agrees(m) {
		return err
	}
	return w.putRight(ctx, 0, old, m)
}

// changes looks for entries that changed a reading.
func changes(of id.Measurement) func(diary.Entry) (bool, error) {
	return func(e diary.Entry) (bool, error) {
		if e.Act == "strike" {
			m, err := detail[room.Measurement](e)
			return m.ID == of, err
		}
		c, err := detail[changed[room.Measurement]](e)
		return c.After.ID == of, err
	}
}

// correction returns what a measurement would be with a reading in its place,
// and what it is.
func (w *Writing) correction(reading room.Reading) (m room.Measurement, old *room.Measurement, err error) {
	if old, err = w.Record.Measurement(reading.ID); err != nil {
		return m, nil, err
	}
	if m, err = w.Record.Measured(reading); err != nil {
		return m, nil, err
	}
	if m.Surface != old.Surface {
		return m, nil, &fault.Error{Kind: fault.BadInput, Msg: old.Name + " stays on its surface.",
			Fields: []fault.Field{{Path: "of", Wrong: "it is on another surface", Mend: "Strike it out and take a new one"}}}
	}
	m.Name, m.Stage, m.Since, m.TakenBy, m.TakenAt = old.Name, old.Stage, old.Since, old.TakenBy, old.TakenAt
	return m, old, nil
}

func (w *Writing) putRight(ctx context.Context, version int64, old *room.Measurement, m room.Measurement) error {
	w.updateMeasurement(ctx, m, version)
	return w.Note("correct", &m.Stage, old.Name+" was corrected. "+w.Record.Says(&m), changed[room.Measurement]{*old, m})
}

// Strike strikes a measurement out, with the reason; it stays in the record and
// takes no part. Faults as for Correct.
type Strike struct {
	Measurement id.Measurement `json:"measurement"`
	Version     int64          `json:"version,omitzero"` // the measurement's; 0: any
	Why         string         `json:"why"`
}

func readStrike(s *Sent) (Deed, error) {
	of, err := id.Parse[id.Measurement](s.One)
	return Strike{Measurement: of, Version: s.Version, Why: s.Get("reason")}, err
}

// do is held back where others corrected the reading.
func (d Strike) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Measurement(d.Measurement)
	if err != nil {
		return err
	}
	e, clash, err := t.last(changes(d.Measurement), "correct")
	if err != nil {
		return err
	}
	if !clash || !old.Stands() {
		return t.strike(ctx, d.Measurement, d.Version, d.Why)
	}
	t.hold(0, old.Name+" is struck out: "+d.Why, e)
	return nil
}

func (d Strike) force(ctx context.Context, w *Writing, _ clash) error {
	return w.strike(ctx, d.Measurement, 0, d.Why)
}

func (w *Writing) strike(ctx context.Context, measurement id.Measurement, version int64, why string) error {
	old, err := w.Record.Measurement(measurement)
	if err != nil {
		return err
	}
	if err := reason(why); err != nil || !old.Stands() {
		return err
	}
	m := *old
	m.StruckAt, m.StruckWhy = w.told(room.WasStruck, room.Subject{Measurement: m.ID}), strings.TrimSpace(why)
	w.updateMeasurement(ctx, m, version)
	return w.Note("strike", &m.Stage, old.Name+" was struck out: "+m.StruckWhy, m)
}
