package persistence

import (
	"context"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
)

// InsertMeasurement is room.Tx.
func (t *Tx) InsertMeasurement(ctx context.Context, room id.Room, m room.Measurement) error {
	return t.soon.insert(ctx, `insert into measurement (firm_id, id, room_id, surface_id, name, kind, stage, of_id,
		to_position_id, from_id, to_id,
			state_known, state_id, to_state_known, to_state_id, from_state_id, surface_state_id,
			value_mm, sigma_mm, instrument, taken_by, taken_at)
		values ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11,
			$12 <> '', (select id from layer where firm_id = $1 and datum_id = $10 and name = $12),
			$13 <> '', (select id from layer where firm_id = $1 and datum_id = $11 and name = $13),
			(select id from layer where firm_id = $1 and datum_id = $10 and name = $14),
			(select id from layer where firm_id = $1 and surface_id = $4 and datum_id is null and name = $15),
			$16, $17, $18, $19, $20)`,
		t.firm, m.ID, room, m.Surface, m.Name, m.Kind, m.Stage.Code(), null(m.Of), null(m.ToPosition), null(m.From),
		null(m.To),
		m.State, m.ToState, m.FromState, m.SurfaceState, m.Value, null(m.Sigma), m.By, null(m.TakenBy), m.TakenAt)
}

// UpdateMeasurement is room.Tx.
func (t *Tx) UpdateMeasurement(ctx context.Context, m room.Measurement, version int64) error {
	return t.soon.update(ctx, `update measurement set kind = $4, of_id = $5, to_position_id = $6, from_id = $7, to_id = $8,
			state_known = $9 <> '', state_id = (select id from layer where firm_id = $1 and datum_id = $7 and name = $9),
			to_state_known = $10 <> '', to_state_id = (select id from layer where firm_id = $1 and datum_id = $8 and name = $10),
			from_state_id = (select id from layer where firm_id = $1 and datum_id = $7 and name = $11),
			surface_state_id = (select id from layer where firm_id = $1 and surface_id = $18 and datum_id is null
			and name = $12),
			value_mm = $13, sigma_mm = $14, instrument = $15, struck_at = $16, struck_why = $17, version = version + 1
		where firm_id = $1 and id = $2 and $3::bigint in (0, version)`,
		t.firm, m.ID, version, m.Kind, null(m.Of), null(m.ToPosition), null(m.From), null(m.To),
		m.State, m.ToState, m.FromState, m.SurfaceState, m.Value, null(m.Sigma), m.By, null(m.StruckAt), m.StruckWhy,
		m.Surface)
}

// reading is a measurement that names the layers of its states by their ids.
type reading struct {
	room.Measurement
	known, toKnown                   bool
	state, toState, fromState, plane id.Layer
}

var scanReading = fields(func(m *reading) []any {
	return []any{&m.ID, &m.Surface, &m.Name, &m.Kind, stageInto(&m.Stage), opt(&m.Of), opt(&m.ToPosition), opt(&m.From),
		opt(&m.To), &m.known, opt(&m.state), &m.toKnown, opt(&m.toState), opt(&m.fromState), opt(&m.plane), &m.Value,
		opt(&m.Sigma), &m.By, opt(&m.TakenBy), &m.TakenAt, opt(&m.StruckAt), &m.StruckWhy, &m.Version, &m.Since}
})

// in is the measurement with the names that the layers have in its room's record.
func (m reading) in(r *room.Record) room.Measurement {
	name := func(layer id.Layer, known bool) string {
		if !layer.IsZero() {
			if l, err := r.Layer(layer); err == nil {
				return l.Name
			}
		}
		if known {
			return roomsheet.Bare
		}
		return ""
	}
	m.State, m.ToState = name(m.state, m.known), name(m.toState, m.toKnown && !m.To.IsZero())
	m.FromState, m.SurfaceState = name(m.fromState, false), name(m.plane, false)
	return m.Measurement
}
