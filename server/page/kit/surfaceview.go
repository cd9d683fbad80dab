package kit

import (
	"html/template"
	"slices"

	"lathmark/domain/deed"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
	"lathmark/web"
	"lathmark/web/drawing"
)

// Plan is the drawing of surface i; its anchors are made from the sheet's id
// of the surface, which here is the record's.
func (s *Scene) Plan(i int, mode drawing.Mode) drawing.Plan {
	r := s.J.Record
	on := s.J.Sheet.Surfaces[i]
	on.ID = r.Surfaces[i].ID.String()
	p := drawing.Plan{Surface: on, Answer: &s.J.Solved[i].Answer, Mode: mode, Names: map[string]string{},
		Title: r.Surfaces[i].Name, Planned: map[string]roomsheet.Point{}, Words: map[string]string{}}
	for k := range r.Datums {
		if d := &r.Datums[k]; d.Surface == r.Surfaces[i].ID {
			p.Names[d.Name] = d.Called()
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
		if word := s.Stands(q); word != "" {
			p.Words[q.Name] = word
		}
	}
	return p
}

// Drawn is the plan of surface i for a page that has not the room's schedules:
// what is touched on it leads to the room's page, but a hole to its own line.
func (s *Scene) Drawn(i int, mode drawing.Mode) template.HTML {
	plan := s.Plan(i, mode)
	plan.Leads = func(kind, name string) drawing.Lead {
		line := "#" + drawing.RowAnchor(plan.Surface.ID, kind, name)
		if mode == drawing.SetOut && kind == "position" {
			return drawing.Lead{Href: line}
		}
		return drawing.Lead{Href: s.At.RoomPage() + line}
	}
	return plan.SVG()
}

// Choosing is the plan of surface i for the form of a reading: a position or a datum
// that is touched on it is the one that is chosen. Without script a position leads
// to the form with it chosen, a datum to where the form asks for it.
func (s *Scene) Choosing(i int) template.HTML {
	plan, on := s.Plan(i, drawing.Record), s.J.Record.Surfaces[i].ID
	leads := map[string]drawing.Lead{}
	for _, q := range s.J.Record.Positions {
		if q.Surface == on {
			leads["position "+q.Name] = drawing.Lead{Href: s.At.MeasureAt(q.ID.String()),
				Field: "position", Value: q.ID.String()}
		}
	}
	for _, d := range s.J.Record.Datums {
		if d.Surface == on {
			leads["datum "+d.Name] = drawing.Lead{Href: "#f-datum", Field: "datum", Value: d.ID.String()}
		}
	}
	plan.Leads = func(kind, name string) drawing.Lead { return leads[kind+" "+name] }
	return plan.SVG()
}

// Planning is the plan of surface i for the forms that add to it, on which a place can be touched: without readings,
// with what one of them would add that is not sent yet.
func (s *Scene) Planning(i int, coming deed.Deed) template.HTML {
	plan, on := s.Plan(i, drawing.Planning), s.J.Record.Surfaces[i].ID
	plan.Leads = func(string, string) drawing.Lead { return drawing.Lead{} }
	plan.Coming = map[string]bool{}
	switch d := coming.(type) {
	case deed.Schedule:
		for _, q := range d.Positions {
			if q.Planned != nil && d.Surface == on {
				plan.Coming[q.Name], plan.Planned[q.Name] = true, *q.Planned
				plan.Surface.Positions = append(slices.Clip(plan.Surface.Positions),
					roomsheet.Position{ID: q.Name, Kind: q.Kind, Cutout: q.Cutout})
			}
		}
	case deed.AddTimbers:
		for _, t := range d.Timbers {
			if t.Surface == on {
				plan.Coming[t.Name] = true
				plan.Surface.Timbers = append(slices.Clip(plan.Surface.Timbers),
					roomsheet.Timber{ID: t.Name, Line: roomsheet.Line{t.A, t.B}, Width: t.Width})
			}
		}
	}
	return plan.SVG()
}

// Stands says what there is to say of a position beside its record: "held",
// "omitted", the outcome of its hole.
func (s *Scene) Stands(q *room.Position) string {
	switch o := s.Opening(q.ID); {
	case !q.OmittedAt.IsZero():
		return "omitted"
	case q.Held:
		return "held"
	case o != nil:
		return o.Outcome.String()
	}
	return ""
}

// Opening is the last hole that was cut for a position; nil where none was.
func (s *Scene) Opening(q id.Position) *room.Opening {
	var last *room.Opening
	for i := range s.J.Record.Openings {
		if o := &s.J.Record.Openings[i]; o.Position == q {
			last = o
		}
	}
	return last
}

// Owed is the first obstacle of first fix that asks for a reading of a
// position; nil where none does.
func (s *Scene) Owed(q id.Position) *gate.Obstacle {
	for _, o := range s.J.Obstacles(words.FirstFix) {
		if o.About.Kind == gate.KindPosition && o.About.ID == q.String() &&
			(o.Code == gate.CodeNoRecord || o.Code == gate.CodeNotChecked) {
			return &o
		}
	}
	return nil
}

// Layer is layer n of datum k of surface i, as planned and as it was put on.
func (s *Scene) Layer(l room.Layer, i, k, n int) web.LayerRow {
	row := web.LayerRow{Name: l.Name, Stage: l.Stage.String(), Planned: l.Thickness}
	built := s.J.Record.BuiltOf(l.ID)
	row.On = built != nil || s.J.Record.Gates[l.Stage].State == words.SignedOff
	if built != nil {
		a := s.J.Solved[i].Answer.Layers[k][n]
		row.Built, row.BuiltPlusMinus = a.Thickness, 1.96*a.Sigma
	}
	return row
}

// Measurement is one reading as it was taken.
func (s *Scene) Measurement(m *room.Measurement) web.MeasurementRow {
	r := s.J.Record
	row := web.MeasurementRow{ID: s.Mendable(m), What: reading(r, m), Value: m.Value, By: m.By,
		Who: s.People.Name(m.TakenBy), When: m.TakenAt}
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

// Mendable is a reading's id where it can be put right; empty where it was
// struck out, or stands under a stage that is signed off.
func (s *Scene) Mendable(m *room.Measurement) string {
	if !s.J.Mendable(m) {
		return ""
	}
	return m.ID.String()
}

// doubt says what is wrong with a reading; empty where it fits.
func (s *Scene) doubt(m *room.Measurement) string {
	a := s.J.Measurement(m.ID)
	if a == nil {
		return "Struck out: " + m.StruckWhy
	}
	d, apart := s.J.Gate.Disagreeing(m)
	switch reads := s.J.ReadsAs(m); {
	case apart && d.Odd.ID == m.ID:
		return d.Says(s.J.Record, s.People.Name(d.First.TakenBy)) + ". " + d.Mend() + "."
	case a.Unrecorded:
		return "Not counted until you say whether the wall was bare, boarded or skimmed."
	case a.Suspect && reads != "":
		return "Does not fit the others: it reads as if the wall had been " + words.StateOf(reads) + "."
	case a.Suspect:
		return "Does not fit the others. Take it again."
	}
	return ""
}
