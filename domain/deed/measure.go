package deed

import (
	"context"
	"strconv"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

var noTime time.Time

// Verdict is what a person sees at once after a measurement.
type Verdict struct {
	*standing.Standing
	Measurement room.Measurement
	// Obstacles are those of first fix that are about the measurement or its
	// position: what it still needs.
	Obstacles []gate.Obstacle
}

// Measure records a reading, under the stage that is in hand. The people on
// site may. A repeat with the same id is no error and adds nothing. Faults:
// BadInput, NotFound, Conflict (something else has the id), Obstacle (every
// stage is signed off, or an unrecorded datum after first fix).
func (s *Service) Measure(ctx context.Context, by firm.Person, roomID id.Room, reading room.Reading) (*Verdict, error) {
	var m room.Measurement
	j, err := s.book.Write(ctx, by, roomID, firm.MayRecord, func(w *Writing) (err error) {
		m, err = w.Measure(ctx, reading)
		return err
	})
	if err != nil {
		return nil, err
	}
	return verdictOn(j, m), nil
}

// Measure is Service.Measure inside a writing.
func (w *Writing) Measure(ctx context.Context, reading room.Reading) (room.Measurement, error) {
	m, err := w.Record.Measured(reading)
	if err != nil {
		return m, err
	}
	if old, err := w.Record.Measurement(m.ID); err == nil {
		// One that was corrected since no longer says what was sent first.
		if old.Version == 1 && !old.Agrees(m) {
			return m, otherRecord()
		}
		return *old, nil
	}
	stage, open := w.Record.InHand()
	if !open {
		return m, &fault.Error{Kind: fault.Obstacle, Msg: "Every stage of " + w.Record.Name +
			" is signed off. Reopen one to measure again."}
	}
	m.Stage, m.TakenBy, m.TakenAt = stage, w.MadeBy, w.Made
	m.Name = "m" + strconv.Itoa(len(w.Record.Measurements)+1)
	if err := w.InsertMeasurement(ctx, w.Record.ID, m); err != nil {
		return m, err
	}
	return m, w.Note("measure", &stage, w.Record.Says(&m), m)
}

func verdictOn(j *standing.Standing, m room.Measurement) *Verdict {
	v := &Verdict{Standing: j, Measurement: m}
	if stored, err := j.Record.Measurement(m.ID); err == nil {
		v.Measurement = *stored
	}
	for _, o := range j.Obstacles(words.FirstFix) {
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
func (s *Service) Correct(ctx context.Context, by firm.Person, roomID id.Room, version int64,
	reading room.Reading) (*Verdict,
	error) {
	var m room.Measurement
	j, err := s.book.Write(ctx, by, roomID, firm.MayRecord, func(w *Writing) (err error) {
		m, err = w.Correct(ctx, version, reading)
		return err
	})
	if err != nil {
		return nil, err
	}
	return verdictOn(j, m), nil
}

// Correct is Service.Correct inside a writing.
func (w *Writing) Correct(ctx context.Context, version int64, reading room.Reading) (room.Measurement, error) {
	m, old, err := w.Correction(reading)
	if err != nil {
		return m, err
	}
	if !old.Stands() {
		return m, &fault.Error{Kind: fault.Conflict, Msg: old.Name + " was struck out. Take it again as a new one."}
	}
	if old.Agrees(m) {
		return m, nil
	}
	return m, w.putRight(ctx, version, old, m)
}

// Restore is Correct for a reading that may have been struck out since: it then
// stands again as it is given here.
func (w *Writing) Restore(ctx context.Context, reading room.Reading) (room.Measurement, error) {
	m, old, err := w.Correction(reading)
	if err != nil || old.Stands() && old.Agrees(m) {
		return m, err
	}
	return m, w.putRight(ctx, 0, old, m)
}

// Correction returns what a measurement would be with a reading in its place, and
// what it is; nothing is written. Faults: BadInput, NotFound.
func (w *Writing) Correction(reading room.Reading) (m room.Measurement, old *room.Measurement, err error) {
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
	m.Name, m.Stage, m.TakenBy, m.TakenAt = old.Name, old.Stage, old.TakenBy, old.TakenAt
	return m, old, nil
}

func (w *Writing) putRight(ctx context.Context, version int64, old *room.Measurement, m room.Measurement) error {
	if err := w.UpdateMeasurement(ctx, m, version); err != nil {
		return err
	}
	return w.Note("correct", &m.Stage, old.Name+" was corrected. "+w.Record.Says(&m),
		struct{ Before, After room.Measurement }{*old, m})
}

// Strike strikes a measurement out, with the reason; it stays in the record
// and takes no part. Who and faults as for Correct.
func (s *Service) Strike(ctx context.Context, by firm.Person, roomID id.Room, measurement id.Measurement, version int64,
	why string) (*standing.Standing, error) {
	return s.book.Write(ctx, by, roomID, firm.MayRecord,
		func(w *Writing) error { return w.Strike(ctx, measurement, version, why) })
}

// Strike is Service.Strike inside a writing.
func (w *Writing) Strike(ctx context.Context, measurement id.Measurement, version int64, why string) error {
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
	m.StruckAt, m.StruckWhy = w.Made, strings.TrimSpace(why)
	if err := w.UpdateMeasurement(ctx, m, version); err != nil {
		return err
	}
	return w.Note("strike", &m.Stage, old.Name+" was struck out: "+m.StruckWhy, m)
}
