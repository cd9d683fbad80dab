package roomsheet

import (
	"cmp"
	"slices"

	"lathmark/domain/geometry"
)

// order says, for each list of a surface sorted by id, where each record
// stands in the document.
type order struct{ datums, timbers, positions, measurements []int }

// geometry returns the surface as the adjustment takes it: ids turned into
// indices and the usual values filled in, for a surface that keeps the rules of
// Check. Records come sorted by id, so that the order in which people wrote
// them down changes nothing, not even the last bit; order maps them back.
func (s *Surface) geometry() (geometry.Surface, order) {
	t := *s
	var o order
	t.Datums, o.datums = sorted(s.Datums)
	t.Timbers, o.timbers = sorted(s.Timbers)
	t.Positions, o.positions = sorted(s.Positions)
	t.Measurements, o.measurements = sorted(s.Measurements)
	return t.indexed(), o
}

// sorted returns the records sorted by id, and where each stood before.
func sorted[T any, P record[T]](list []T) (out []T, from []int) {
	out, from = make([]T, len(list)), make([]int, len(list))
	for i := range from {
		from[i] = i
	}
	slices.SortFunc(from, func(a, b int) int { return cmp.Compare(P(&list[a]).ref(), P(&list[b]).ref()) })
	for k, i := range from {
		out[k] = list[i]
	}
	return out, from
}

// unsorted puts what is sorted by id back into the document's order.
func unsorted[T any](list []T, from []int) []T {
	if list == nil {
		return nil
	}
	out := make([]T, len(list))
	for k, i := range from {
		out[i] = list[k]
	}
	return out
}

// indexed returns the surface for the adjustment, its records in the given
// order.
func (s *Surface) indexed() geometry.Surface {
	g := geometry.Surface{Layers: layersOf(s.Layers), Now: depth(s.Now, s.Layers)}
	datums, positions := map[string]int{}, map[string]int{}
	for i := range s.Datums {
		datums[s.Datums[i].ID] = i
		g.Datums = append(g.Datums, s.Datums[i].geometry())
	}
	for i := range s.Timbers {
		t := &s.Timbers[i]
		g.Timbers = append(g.Timbers, geometry.Timber{A: vec(t.Line[0]), B: vec(t.Line[1]), Width: t.Width, Sigma: t.sigma()})
	}
	for i := range s.Positions {
		p := &s.Positions[i]
		positions[p.ID] = i
		g.Positions = append(g.Positions, geometry.Position{Cutout: p.Cutout, Reach: p.reach(), TailSigma: p.tailSigma()})
	}
	for i := range s.Measurements {
		g.Measurements = append(g.Measurements, s.reading(&s.Measurements[i], datums, positions))
	}
	return g
}

func (d *Datum) geometry() geometry.Datum {
	g := geometry.Datum{Sigma: d.sigma(), Lean: d.Lean, Layers: layersOf(d.Layers), Now: depth(d.Now, d.Layers)}
	switch d.Kind {
	case "point":
		g.Kind, g.A = geometry.FixedPoint, vec(*d.Point)
		return g
	case "line":
		g.Kind = geometry.FixedLine
	default:
		g.Kind = geometry.Face
	}
	g.A, g.B = vec(d.Line[0]), vec(d.Line[1])
	return g
}

// reading returns one measurement with its names looked up.
func (s *Surface) reading(m *Measurement, datums, positions map[string]int) geometry.Measurement {
	g := geometry.Measurement{Value: m.Value, Sigma: m.Spread(), SurfaceState: depth(m.SurfaceState, s.Layers)}
	if m.From != "" {
		g.From = datums[m.From]
		g.State = stateOf(m.State, s.Datums[g.From].Layers)
		g.FromState = depth(m.FromState, s.Datums[g.From].Layers)
	}
	if m.Of != "" {
		g.Of = positions[m.Of]
	}
	switch m.Kind {
	case "offset":
		g.Kind = geometry.Offset
	case "span":
		g.Kind = geometry.Span
		g.To = datums[m.To]
		g.ToState = stateOf(m.ToState, s.Datums[g.To].Layers)
	case "distance":
		g.Kind = geometry.Distance
		g.To = positions[m.To]
	case "thickness":
		g.Kind = geometry.Thickness
	}
	return g
}

// stateOf returns how many layers were on in the state that a measurement
// gives: unrecorded if there are layers and it gives none.
func stateOf(state string, layers []Layer) int {
	if state == "" && len(layers) > 0 {
		return geometry.Unrecorded
	}
	return depth(state, layers)
}

func layersOf(layers []Layer) []geometry.Layer {
	var out []geometry.Layer
	for i := range layers {
		out = append(out, geometry.Layer{Thickness: layers[i].Thickness, Sigma: layers[i].sigma()})
	}
	return out
}

func vec(p Point) geometry.Vec { return geometry.Vec{U: p[0], V: p[1]} }
