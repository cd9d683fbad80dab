package draw

import (
	"strings"

	"lathmark/domain/room"
	"lathmark/domain/verdict"
	"lathmark/domain/words"
	"lathmark/web"
	"lathmark/web/drawing"
)

// surface is surface i of the room with its plan and its schedules.
func (s *scene) surface(i int) web.SurfaceView {
	r := s.J.Record
	on := r.Surfaces[i]
	plan := s.Plan(i, drawing.Record)
	v := web.SurfaceView{ID: on.ID.String(), Name: words.Capital(on.Name), Plan: plan.SVG(), Unplaced: plan.Unplaced()}
	for k := range r.Positions {
		if q := &r.Positions[k]; q.Surface == on.ID {
			row := s.position(q)
			for n := range r.Measurements {
				if m := &r.Measurements[n]; m.Of == q.ID {
					row.Readings = append(row.Readings, s.Measurement(m))
				}
			}
			v.Positions = append(v.Positions, row)
		}
	}
	for k := range r.Datums {
		if d := &r.Datums[k]; d.Surface == on.ID {
			v.Datums = append(v.Datums, s.datum(d, i, len(v.Datums)))
		}
	}
	for _, t := range r.Timbers {
		if t.Surface == on.ID {
			v.Timbers = append(v.Timbers, t)
		}
	}
	for k := range r.Measurements {
		if m := &r.Measurements[k]; m.Surface == on.ID && m.Of.IsZero() {
			v.Others = append(v.Others, s.Measurement(m))
		}
	}
	v.Photos = s.Photos(on.ID, nil)
	return v
}

// position is one line of the schedule.
func (s *scene) position(q *room.Position) web.PositionRow {
	row := web.PositionRow{ID: q.ID.String(), Name: q.Name, Kind: q.Kind, CutOut: q.Cutout, OnPlan: q.Planned != nil,
		State: s.Stands(q)}
	switch {
	case !q.OmittedAt.IsZero():
		row.Reason = q.OmitWhy
	case q.Held:
		row.Reason = q.HeldWhy
	}
	a, _ := s.J.Position(q.ID)
	row.Record, _, _ = strings.Cut("measured, "+words.Checked(a.Slip), ":")
	if a.Determinate {
		row.OnPlan, row.PlusMinus, row.Check = true, verdict.PlusMinus(a), words.Checked(a.Slip)
	}
	if owed := s.Owed(q.ID); owed != nil && q.OmittedAt.IsZero() {
		row.Record, row.Owed = strings.TrimPrefix(owed.Wrong, q.Name+" "), true
	} else if !a.Determinate {
		row.Record = "no record"
	}
	return row
}

// datum is datum k of surface i.
func (s *scene) datum(d *room.Datum, i, k int) web.DatumRow {
	row := web.DatumRow{ID: d.ID.String(), Name: d.Called(), Key: d.Name, StaysBare: d.StaysBare,
		Kind: map[words.DatumKind]string{words.Face: "face", words.Line: "fixed line", words.Point: "fixed point"}[d.Kind]}
	layers := s.J.Record.LayersOf(d.Surface, d.ID)
	if d.Kind == words.Face {
		row.Now = words.StateOf(s.J.Record.Now(layers))
	}
	for n, l := range layers {
		row.Layers = append(row.Layers, s.Layer(l, i, k, n))
	}
	return row
}
