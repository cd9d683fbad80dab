package roomsheet

import (
	"fmt"
	"io"
)

// Read reads one room sheet and checks it. What comes back is either a room
// that keeps every rule of Check, or an error: a *fault.Error of kind BadInput
// that lists everything wrong at once, each with its JSON path and what would
// mend it, or, if the source itself failed, the source's error. Read takes any
// bytes without panicking. Documents over 16 MiB are refused.
func Read(src io.Reader) (*Room, error) {
	data, err := io.ReadAll(io.LimitReader(src, mostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read the room sheet: %w", err)
	}
	r := &reader{}
	if len(data) > mostBytes {
		r.add("$", "the document is over 16 MiB", "Split it into several rooms")
		return nil, r.err()
	}
	root, bad := parse(data)
	if bad != nil {
		r.add(bad.Path, bad.Wrong, bad.Mend)
		return nil, r.err()
	}
	room := r.room(root)
	check(room, &r.faults)
	if err := r.err(); err != nil {
		return nil, err
	}
	return room, nil
}

func (r *reader) room(n *node) *Room {
	var m Room
	r.object(n, "$", "document",
		slot{"format", true, r.text("format", &m.Format)},
		slot{"room", true, r.text("name", &m.Room)},
		slot{"surfaces", true, r.each("list of surfaces", func(n *node, at string) {
			m.Surfaces = append(m.Surfaces, r.surface(n, at))
		})},
	)
	return &m
}

func (r *reader) surface(n *node, at string) Surface {
	var s Surface
	r.object(n, at, "surface",
		slot{"id", true, r.text("id", &s.ID)},
		slot{"kind", true, r.text("kind", &s.Kind)},
		slot{"layers", false, r.layers(&s.Layers)},
		slot{"now", false, r.text("state now", &s.Now)},
		slot{"datums", false, r.each("list of datums", func(n *node, at string) {
			s.Datums = append(s.Datums, r.datum(n, at))
		})},
		slot{"timbers", false, r.each("list of timbers", func(n *node, at string) {
			s.Timbers = append(s.Timbers, r.timber(n, at))
		})},
		slot{"positions", false, r.each("list of positions", func(n *node, at string) {
			s.Positions = append(s.Positions, r.position(n, at))
		})},
		slot{"measurements", false, r.each("list of measurements", func(n *node, at string) {
			s.Measurements = append(s.Measurements, r.measurement(n, at))
		})},
	)
	return s
}

func (r *reader) layers(into *[]Layer) func(n *node, at string) {
	return r.each("list of layers", func(n *node, at string) {
		var l Layer
		r.object(n, at, "layer",
			slot{"id", true, r.text("id", &l.ID)},
			slot{"thickness", true, r.number("thickness", &l.Thickness)},
			slot{"sigma", false, r.positive("sigma", &l.Sigma)},
			slot{"stage", false, r.text("stage", &l.Stage)},
		)
		*into = append(*into, l)
	})
}

func (r *reader) datum(n *node, at string) Datum {
	var d Datum
	r.object(n, at, "datum",
		slot{"id", true, r.text("id", &d.ID)},
		slot{"kind", true, r.text("kind", &d.Kind)},
		slot{"line", false, func(n *node, at string) {
			d.Line = &Line{}
			r.line(d.Line)(n, at)
		}},
		slot{"point", false, func(n *node, at string) {
			d.Point = &Point{}
			r.point("point", d.Point)(n, at)
		}},
		slot{"sigma", false, r.positive("sigma", &d.Sigma)},
		slot{"lean", false, r.number("lean", &d.Lean)},
		slot{"now", false, r.text("state now", &d.Now)},
		slot{"layers", false, r.layers(&d.Layers)},
	)
	return d
}

func (r *reader) timber(n *node, at string) Timber {
	var t Timber
	r.object(n, at, "timber",
		slot{"id", true, r.text("id", &t.ID)},
		slot{"line", true, r.line(&t.Line)},
		slot{"width", true, r.number("width", &t.Width)},
		slot{"sigma", false, r.positive("sigma", &t.Sigma)},
	)
	return t
}

func (r *reader) position(n *node, at string) Position {
	var p Position
	r.object(n, at, "position",
		slot{"id", true, r.text("id", &p.ID)},
		slot{"kind", false, r.text("kind", &p.Kind)},
		slot{"cutout", false, r.positive("cutout", &p.Cutout)},
		slot{"reach", false, r.positive("reach", &p.Reach)},
		slot{"tail_sigma", false, r.positive("tail_sigma", &p.TailSigma)},
	)
	return p
}

func (r *reader) measurement(n *node, at string) Measurement {
	var m Measurement
	r.object(n, at, "measurement",
		slot{"id", true, r.text("id", &m.ID)},
		slot{"kind", true, r.text("kind", &m.Kind)},
		slot{"of", false, r.text("of", &m.Of)},
		slot{"from", false, r.text("from", &m.From)},
		slot{"state", false, r.text("state", &m.State)},
		slot{"to", false, r.text("to", &m.To)},
		slot{"to_state", false, r.text("to_state", &m.ToState)},
		slot{"from_state", false, r.text("from_state", &m.FromState)},
		slot{"surface_state", false, r.text("surface_state", &m.SurfaceState)},
		slot{"value", true, r.number("value", &m.Value)},
		slot{"sigma", false, r.positive("sigma", &m.Sigma)},
		slot{"by", false, r.text("by", &m.By)},
	)
	return m
}
