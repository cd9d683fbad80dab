package page

import (
	"fmt"
	"html/template"
	"math"
	"strings"

	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/verdict"
	"lathmark/domain/words"
	"lathmark/web"
	"lathmark/web/drawing"
)

// surface is surface i of the room with its plan and its schedules.
func (s *scene) surface(i int) web.SurfaceView {
	r := s.j.Record
	on := r.Surfaces[i]
	plan := s.plan(i, drawing.Record)
	v := web.SurfaceView{ID: on.ID.String(), Name: words.Capital(on.Name), Plan: plan.SVG(), Unplaced: plan.Unplaced()}
	for k := range r.Positions {
		if q := &r.Positions[k]; q.Surface == on.ID {
			v.Positions = append(v.Positions, s.position(q))
		}
	}
	for k := range r.Datums {
		if d := &r.Datums[k]; d.Surface == on.ID {
			v.Datums = append(v.Datums, s.datum(d, i, len(v.Datums)))
		}
	}
	for _, t := range r.Timbers {
		if t.Surface == on.ID {
			v.Timbers = append(v.Timbers, timberRow(t))
		}
	}
	for k := range r.Measurements {
		if m := &r.Measurements[k]; m.Surface == on.ID {
			v.Measurements = append(v.Measurements, s.measurement(m))
		}
	}
	v.Photos = s.photos(on.ID, nil)
	return v
}

// plan is the drawing of surface i; its anchors are made from the sheet's id
// of the surface, which here is the record's.
func (s *scene) plan(i int, mode drawing.Mode) drawing.Plan {
	r := s.j.Record
	on := s.j.Sheet.Surfaces[i]
	on.ID = r.Surfaces[i].ID.String()
	p := drawing.Plan{Surface: on, Answer: &s.j.Solved[i].Answer, Mode: mode, Names: map[string]string{},
		Title: r.Surfaces[i].Name, Planned: map[string]roomsheet.Point{}, Words: map[string]string{}}
	for k := range r.Datums {
		if d := &r.Datums[k]; d.Surface == r.Surfaces[i].ID {
			p.Names[d.Name] = datumName(d)
		}
	}
	for k := range r.Positions {
		q := &r.Positions[k]
		if q.Surface != r.Surfaces[i].ID {
			continue
		}
		if q.Planned != nil {
			p.Planned[q.Name] = *q.Planned
		}
		if word := s.stands(q); word != "" {
			p.Words[q.Name] = word
		}
	}
	return p
}

// drawn is the plan of surface i for a page that has not the room's schedules:
// what is touched on it leads to the room's page.
func (s *scene) drawn(i int, mode drawing.Mode) template.HTML {
	plan := s.plan(i, mode)
	plan.Elsewhere = map[string]string{"position": s.at.RoomPage(), "datum": s.at.RoomPage(), "timber": s.at.RoomPage()}
	if mode == drawing.SetOut {
		delete(plan.Elsewhere, "position")
	}
	return plan.SVG()
}

// stands says what there is to say of a position beside its record: "held",
// "omitted", the outcome of its hole.
func (s *scene) stands(q *room.Position) string {
	switch o := s.opening(q.ID); {
	case !q.OmittedAt.IsZero():
		return "omitted"
	case q.Held:
		return "held"
	case o != nil:
		return o.Outcome.String()
	}
	return ""
}

// opening is the last hole that was cut for a position; nil where none was.
func (s *scene) opening(q id.Position) *room.Opening {
	var last *room.Opening
	for i := range s.j.Record.Openings {
		if o := &s.j.Record.Openings[i]; o.Position == q {
			last = o
		}
	}
	return last
}

// position is one line of the schedule.
func (s *scene) position(q *room.Position) web.PositionRow {
	row := web.PositionRow{ID: q.ID.String(), Name: q.Name, Kind: q.Kind, CutOut: q.Cutout, OnPlan: q.Planned != nil,
		State: s.stands(q)}
	switch {
	case !q.OmittedAt.IsZero():
		row.Reason = q.OmitWhy
	case q.Held:
		row.Reason = q.HeldWhy
	}
	a, _ := s.j.Position(q.ID)
	row.Record, row.Owed = "measured and checked", false
	if a.Determinate {
		row.OnPlan, row.PlusMinus = true, verdict.PlusMinus(a)
	}
	if owed := s.owed(q.ID); owed != nil && q.OmittedAt.IsZero() {
		row.Record, row.Owed = strings.TrimPrefix(owed.Wrong, q.Name+" "), true
	} else if !a.Determinate {
		row.Record = "no record"
	} else if !a.Checked {
		row.Record = "measured, not checked"
	}
	return row
}

// owed is the first obstacle of first fix that asks for a reading of a
// position; nil where none does.
func (s *scene) owed(q id.Position) *gate.Obstacle {
	for _, o := range s.j.Obstacles(words.FirstFix) {
		if o.About.Kind == gate.KindPosition && o.About.ID == q.String() &&
			(o.Code == "no_record" || o.Code == "not_checked") {
			return &o
		}
	}
	return nil
}

// datum is datum k of surface i.
func (s *scene) datum(d *room.Datum, i, k int) web.DatumRow {
	row := web.DatumRow{ID: d.ID.String(), Name: datumName(d), Key: d.Name, StaysBare: d.StaysBare,
		Kind: map[words.DatumKind]string{words.Face: "face", words.Line: "fixed line", words.Point: "fixed point"}[d.Kind]}
	layers := s.j.Record.LayersOf(d.Surface, d.ID)
	if d.Kind == words.Face {
		row.Now = words.StateOf(s.j.Record.Now(layers))
	}
	for n, l := range layers {
		row.Layers = append(row.Layers, s.layer(l, i, k, n))
	}
	return row
}

// layer is layer n of datum k of surface i, as planned and as it was put on.
func (s *scene) layer(l room.Layer, i, k, n int) web.LayerRow {
	row := web.LayerRow{Name: l.Name, Stage: l.Stage.String(), Planned: l.Thickness}
	built := s.j.Record.BuiltOf(l.ID)
	row.On = built != nil || s.j.Record.Gates[l.Stage].State == words.SignedOff
	if built != nil {
		a := s.j.Solved[i].Answer.Layers[k][n]
		row.Built, row.BuiltPlusMinus = a.Thickness, 1.96*a.Sigma
	}
	return row
}

func timberRow(t room.Timber) web.TimberRow {
	row := web.TimberRow{ID: t.ID.String(), Key: t.Name, Width: t.Width, Known: "measured"}
	du, dv := math.Abs(t.B[0]-t.A[0]), math.Abs(t.B[1]-t.A[1])
	switch {
	case du < 1:
		row.Where = words.MM(t.A[0]) + " along the sheet, running up it"
	case dv < 1:
		row.Where = words.MM(t.A[1]) + " up the sheet, running along it"
	default:
		row.Where = fmt.Sprintf("from %s, %s to %s, %s", words.MM(t.A[0]), words.MM(t.A[1]), words.MM(t.B[0]),
			words.MM(t.B[1]))
	}
	return row
}

// measurement is one reading as it was taken.
func (s *scene) measurement(m *room.Measurement) web.MeasurementRow {
	r := s.j.Record
	row := web.MeasurementRow{ID: s.mendable(m), What: reading(r, m), Value: m.Value, By: m.By,
		Who: s.people.name(m.TakenBy), When: m.TakenAt}
	if d, err := r.Datum(m.From); err == nil {
		row.State = r.StateWords(d, m.State)
		if m.Kind == words.Offset && d.Kind == words.Line {
			row.Value, row.State = r.Said(d.ID, m.Value)
		}
	}
	if row.Struck = m.StruckWhy; m.Stands() {
		row.Doubt = s.doubt(m)
	}
	return row
}

// mendable is a reading's id where it can be put right; empty where it was
// struck out, or stands under a stage that is signed off.
func (s *scene) mendable(m *room.Measurement) string {
	if !m.Stands() || s.j.Record.Gates[m.Stage].State == words.SignedOff {
		return ""
	}
	return m.ID.String()
}

// doubt says what is wrong with a reading; empty where it fits.
func (s *scene) doubt(m *room.Measurement) string {
	a := s.j.Measurement(m.ID)
	if a == nil {
		return "Struck out: " + m.StruckWhy
	}
	switch reads := s.j.ReadsAs(m); {
	case a.Unrecorded:
		return "Takes no part until you say which state the wall was in."
	case a.Suspect && reads != "":
		return "Does not fit the others: it reads as if the wall had been " + words.StateOf(reads) + "."
	case a.Suspect:
		return "Does not fit the others. Take it again."
	}
	return ""
}
