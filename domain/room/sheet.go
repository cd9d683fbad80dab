package room

import (
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Sheet is the room as a room sheet, in today's states. Names stand for ids;
// surfaces, positions and so on keep the order of the record, and measurements
// that were struck out are left out.
func (r *Record) Sheet() *roomsheet.Room {
	out := &roomsheet.Room{Format: roomsheet.Format, Room: r.Name, Use: string(r.Use)}
	for i := range r.Surfaces {
		out.Surfaces = append(out.Surfaces, r.sheetOf(&r.Surfaces[i]))
	}
	return out
}

func (r *Record) sheetOf(s *Surface) roomsheet.Surface {
	own := r.LayersOf(s.ID, id.Datum{})
	out := roomsheet.Surface{ID: s.Name, Kind: s.Kind, Wall: s.Wall, Layers: r.sheetLayers(own), Now: r.sheetNow(own)}
	for _, d := range r.Datums {
		if d.Surface == s.ID {
			out.Datums = append(out.Datums, r.sheetDatum(&d))
		}
	}
	for _, t := range r.Timbers {
		if t.Surface == s.ID {
			out.Timbers = append(out.Timbers, roomsheet.Timber{ID: t.Name, Line: roomsheet.Line{t.A, t.B}, Width: t.Width,
				Sigma: t.Sigma})
		}
	}
	for _, p := range r.Positions {
		if p.Surface == s.ID {
			out.Positions = append(out.Positions, roomsheet.Position{ID: p.Name, Kind: p.Kind, Cutout: p.Cutout,
				Reach: p.Reach, TailSigma: p.TailSigma})
		}
	}
	for i := range r.Measurements {
		if m := &r.Measurements[i]; m.Surface == s.ID && m.Stands() {
			out.Measurements = append(out.Measurements, r.sheetMeasurement(m))
		}
	}
	return out
}

// sheetLayers returns planned layers. One of the surface's own that was put on
// with its thickness recorded stands as it was put on: a surface's own layers
// are covered by no measurement that could say so.
func (r *Record) sheetLayers(layers []Layer) []roomsheet.Layer {
	var out []roomsheet.Layer
	for _, l := range layers {
		s := roomsheet.Layer{ID: l.Name, Thickness: l.Thickness, Sigma: l.Sigma, Stage: l.Stage.String()}
		if b := r.BuiltOf(l.ID); b != nil && l.Datum.IsZero() && b.Thickness > 0 {
			s.Thickness, s.Sigma = b.Thickness, b.Sigma
			if s.Sigma == 0 {
				s.Sigma = 1
			}
		}
		out = append(out, s)
	}
	return out
}

// sheetNow is today's state, left out where there is nothing to say.
func (r *Record) sheetNow(layers []Layer) string {
	if len(layers) == 0 {
		return ""
	}
	return r.Now(layers)
}

func (r *Record) sheetDatum(d *Datum) roomsheet.Datum {
	out := roomsheet.Datum{ID: d.Name, Kind: string(d.Kind), Sigma: d.Sigma, Wall: d.Wall}
	if d.Kind == words.Point {
		at := d.A
		out.Point = &at
		return out
	}
	out.Line = &roomsheet.Line{d.A, d.B}
	if d.Kind == words.Face {
		layers := r.LayersOf(d.Surface, d.ID)
		out.Lean, out.Layers, out.Now = d.Lean, r.sheetLayers(layers), r.sheetNow(layers)
	}
	return out
}

func (r *Record) sheetMeasurement(m *Measurement) roomsheet.Measurement {
	out := roomsheet.Measurement{ID: m.Name, Kind: string(m.Kind), State: m.State, ToState: m.ToState,
		FromState:    m.FromState,
		SurfaceState: m.SurfaceState, Value: m.Value, Sigma: m.Sigma, By: m.By}
	if p, err := r.Position(m.Of); err == nil {
		out.Of = p.Name
	}
	if d, err := r.Datum(m.From); err == nil {
		out.From = d.Name
	}
	if p, err := r.Position(m.ToPosition); err == nil {
		out.To = p.Name
	}
	if d, err := r.Datum(m.To); err == nil {
		out.To = d.Name
	}
	return out
}
