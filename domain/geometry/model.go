package geometry

import "math"

// model numbers the unknowns that a surface's positions share and knows how
// they enter a measurement. The shared unknowns are, in this order: for each
// datum its shift along its normal (two for a point, in u and v), for each of
// its layers the thickness; then, where some face leans, the thickness of the
// surface's own layers (no measurement touches them otherwise).
type model struct {
	s      *Surface
	normal []Vec   // by datum: unit, inward; zero for a point
	shift  []int   // by datum: its first shared unknown; the layers follow
	slant  []slant // by datum
	own    int     // the surface's first own layer; -1 if none takes part
	prior  []float64
	sigma  []float64
	// arena holds the terms of equations, so that setting all of them up again
	// allocates nothing. Whoever sets them up empties it first.
	arena []term
}

// slant is the lean of a face: 1/cos and tan.
type slant struct{ secant, tangent float64 }

func newModel(s *Surface) *model {
	m := &model{s: s, normal: make([]Vec, len(s.Datums)), shift: make([]int, len(s.Datums)),
		slant: make([]slant, len(s.Datums)), own: -1}
	leans := false
	for k := range s.Datums {
		d := &s.Datums[k]
		m.shift[k] = len(m.prior)
		m.unknown(0, d.Sigma)
		if d.Kind == FixedPoint {
			m.unknown(0, d.Sigma)
			continue
		}
		sin, cos := math.Sincos(d.Lean * math.Pi / 180)
		m.slant[k] = slant{1 / cos, sin / cos}
		m.normal[k] = d.B.minus(d.A).unit().left()
		for _, l := range d.Layers {
			m.unknown(l.Thickness, l.Sigma)
		}
		leans = leans || d.Lean != 0
	}
	if leans {
		m.own = len(m.prior)
		for _, l := range s.Layers {
			m.unknown(l.Thickness, l.Sigma)
		}
	}
	return m
}

func (m *model) unknown(prior, sigma float64) {
	m.prior = append(m.prior, prior)
	m.sigma = append(m.sigma, sigma)
}

// layer returns the shared unknown of a face's layer.
func (m *model) layer(datum, layer int) int { return m.shift[datum] + 1 + layer }

// since returns what was put on the arena after it held from terms.
func (m *model) since(from int) []term { return m.arena[from:len(m.arena):len(m.arena)] }

// cover returns what lies between a face or line as drawn and what an offset in
// these states is taped from, as terms of the offset: -c - T/cos(lean) +
// S tan(lean). They are appended to terms.
func (m *model) cover(terms []term, datum, state, surfaceState int) []term {
	d := &m.s.Datums[datum]
	terms = append(terms, term{m.shift[datum], -1})
	for k := range state {
		terms = append(terms, term{m.layer(datum, k), -m.slant[datum].secant})
	}
	if d.Lean != 0 && m.own >= 0 {
		for k := range surfaceState {
			terms = append(terms, term{m.own + k, m.slant[datum].tangent})
		}
	}
	return terms
}

// coverNow is cover in today's states.
func (m *model) coverNow(datum int) []term {
	return m.cover(nil, datum, m.s.Datums[datum].Now, m.s.Now)
}

// point returns where a fixed point is at the shared unknowns x.
func (m *model) point(datum int, x []float64) Vec {
	return m.s.Datums[datum].A.plus(Vec{x[m.shift[datum]], x[m.shift[datum]+1]})
}

// linear reports whether a measurement's equation is linear in the unknowns.
func (m *model) linear(z *Measurement) bool {
	return z.Kind != Distance && !(z.Kind == Offset && m.s.Datums[z.From].Kind == FixedPoint)
}

// equation returns the observation equation of a measurement at x for the step
// dx, not yet divided by sigma: coefficients, and the measured value less the
// one computed. node maps positions to nodes of the forest.
func (m *model) equation(z *Measurement, node []int, x solution) equation {
	switch {
	case z.Kind == Distance:
		return m.distance(z, node, x)
	case z.Kind == Offset && m.s.Datums[z.From].Kind == FixedPoint:
		return m.fromPoint(z, node, x)
	case z.Kind == Offset:
		return m.offset(z, node, x)
	case z.Kind == Span:
		return m.span(z, x)
	}
	return m.thickness(z, x)
}

func (m *model) offset(z *Measurement, node []int, x solution) equation {
	n := m.normal[z.From]
	from := len(m.arena)
	m.arena = m.cover(m.arena, z.From, z.State, z.SurfaceState)
	e := equation{a: node[z.Of], b: -1, ca: n, shared: m.since(from)}
	e.rhs = z.Value + n.dot(m.s.Datums[z.From].A) - e.apply(x)
	return e
}

// fromPoint returns the equation of a distance straight from a point. Where position
// and point coincide the direction is not defined and the equation says
// nothing.
func (m *model) fromPoint(z *Measurement, node []int, x solution) equation {
	d := x.nodes[node[z.Of]].minus(m.point(z.From, x.shared))
	dir := d.unit()
	from := len(m.arena)
	m.arena = append(m.arena, term{m.shift[z.From], -dir.U}, term{m.shift[z.From] + 1, -dir.V})
	return equation{a: node[z.Of], b: -1, ca: dir, shared: m.since(from), rhs: z.Value - d.length()}
}

func (m *model) distance(z *Measurement, node []int, x solution) equation {
	d := x.nodes[node[z.Of]].minus(x.nodes[node[z.To]])
	dir := d.unit()
	return equation{a: node[z.Of], b: node[z.To], ca: dir, cb: dir.times(-1), rhs: z.Value - d.length()}
}

// span returns the equation of the clear distance between two faces that look at
// each other, taken halfway along: the mean of each face's middle from the
// other face.
func (m *model) span(z *Measurement, x solution) equation {
	a, b := &m.s.Datums[z.From], &m.s.Datums[z.To]
	from := len(m.arena)
	m.arena = m.cover(m.arena, z.From, z.State, z.SurfaceState)
	m.arena = m.cover(m.arena, z.To, z.ToState, z.SurfaceState)
	e := equation{a: -1, b: -1, shared: m.since(from)}
	drawn := (m.normal[z.From].dot(b.middle().minus(a.A)) + m.normal[z.To].dot(a.middle().minus(b.A))) / 2
	e.rhs = z.Value - drawn - e.apply(x)
	return e
}

func (d *Datum) middle() Vec { return d.A.plus(d.B).times(0.5) }

func (m *model) thickness(z *Measurement, x solution) equation {
	from := len(m.arena)
	for k := z.FromState; k < z.State; k++ {
		m.arena = append(m.arena, term{m.layer(z.From, k), 1})
	}
	e := equation{a: -1, b: -1, shared: m.since(from)}
	e.rhs = z.Value - e.apply(x)
	return e
}

// priorEquation says that shared unknown k is near its prior.
func (m *model) priorEquation(k int, x solution) equation {
	m.arena = append(m.arena, term{k, 1})
	return equation{a: -1, b: -1, shared: m.since(len(m.arena) - 1), rhs: m.prior[k] - x.shared[k]}
}

// weigh divides an equation by its standard deviation.
func (e *equation) weigh(sigma float64) {
	e.ca, e.cb, e.rhs = e.ca.times(1/sigma), e.cb.times(1/sigma), e.rhs/sigma
	for k := range e.shared {
		e.shared[k].coef /= sigma
	}
}
