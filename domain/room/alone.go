package room

import (
	"strconv"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/id"
)

// Judge gives a record with its answers, without a store. Faults: BadInput
// where the record would not be a room.
func Judge(r *Record, now time.Time) (*Judged, error) {
	sheet := r.Sheet()
	if err := check(sheet); err != nil {
		return nil, err
	}
	return judge(r, sheet.Solve(), sheet, dryAfter, now), nil
}

// Take adds a reading to the record itself, as Service.Measure does to the
// store, for whoever works without one. One that is there already is given
// back. Faults: BadInput, NotFound.
func (r *Record) Take(g Reading, now time.Time) (*Measurement, error) {
	m, err := r.measurement(g)
	if err != nil {
		return nil, err
	}
	if old, err := r.Measurement(m.ID); err == nil {
		return old, nil
	}
	m.Stage, _ = r.InHand()
	m.TakenAt, m.Name = now, "m"+strconv.Itoa(len(r.Measurements)+1)
	r.Measurements = append(r.Measurements, m)
	return &r.Measurements[len(r.Measurements)-1], nil
}

// Amend puts a measurement of the record itself right, as Service.Correct does
// in the store. Faults: BadInput, NotFound, Conflict.
func (r *Record) Amend(g Reading) (*Measurement, error) {
	old, err := r.Measurement(g.ID)
	if err != nil {
		return nil, err
	}
	m, err := r.measurement(g)
	if err != nil {
		return nil, err
	}
	if !old.Stands() || m.Surface != old.Surface {
		return nil, &fault.Error{Kind: fault.Conflict, Msg: old.Name + " was struck out, or is of another surface."}
	}
	m.Name, m.Stage, m.TakenBy, m.TakenAt, m.Version = old.Name, old.Stage, old.TakenBy, old.TakenAt, old.Version
	*old = m
	return old, nil
}

// StrikeOut strikes a measurement of the record itself out. Faults: NotFound.
func (r *Record) StrikeOut(of id.Measurement, why string, now time.Time) (*Measurement, error) {
	m, err := r.Measurement(of)
	if err == nil && m.Stands() {
		m.StruckAt, m.StruckWhy = now, strings.TrimSpace(why)
	}
	return m, err
}
