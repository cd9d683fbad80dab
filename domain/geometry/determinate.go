package geometry

// determination finds which positions are determinate, and where about.
type determination struct {
	*model
	start     []*Vec  // by position; nil if not determinate
	cov       []Cov   // of start, about
	ambiguous [][]Vec // by position: the two places, where two fit
	barred    []bool  // by position: found unsound at the answer
	distances [][]int // by position: the distances to other positions
	offsets   [][]int // by position: recorded offsets
	outside   func(Vec) bool
	byOffsets []bool // by position: straight offsets alone fix it
	list      []constraint
}

// determine starts with the positions that straight offsets fix and goes on
// from what is fixed, a round at a time, so that the order of the record does
// not matter.
func determine(m *model, barred []bool) *determination {
	n := len(m.s.Positions)
	d := &determination{
		model: m, start: make([]*Vec, n), cov: make([]Cov, n), ambiguous: make([][]Vec, n), barred: barred,
		distances: make([][]int, n), offsets: make([][]int, n), outside: m.s.outline().outside,
		byOffsets: make([]bool, n),
	}
	d.sortMeasurements()
	for i := range d.start {
		if p, ok := fixedByOffsets(d.constraints(i)); ok {
			d.fix(i, p)
			d.byOffsets[i] = true
		}
	}
	for d.round() {
	}
	return d
}

func (d *determination) sortMeasurements() {
	for k := range d.s.Measurements {
		z := &d.s.Measurements[k]
		switch {
		case z.unrecorded():
		case z.Kind == Offset:
			d.offsets[z.Of] = append(d.offsets[z.Of], k)
		case z.Kind == Distance && z.Of != z.To:
			d.distances[z.Of] = append(d.distances[z.Of], k)
			d.distances[z.To] = append(d.distances[z.To], k)
		}
	}
}

func (d *determination) fix(i int, p place) {
	at := p.at
	d.start[i], d.cov[i], d.ambiguous[i] = &at, p.cov, nil
}

// round fixes what can be fixed from the positions that were fixed before it,
// and reports whether there was any.
func (d *determination) round() bool {
	fixed := map[int]place{}
	for i := range d.start {
		if d.start[i] != nil || d.barred[i] || len(d.distances[i])+len(d.offsets[i]) < 2 {
			continue
		}
		fit := places(d.constraints(i), d.outside)
		switch len(fit) {
		case 0:
			d.ambiguous[i] = nil
		case 1:
			fixed[i] = fit[0]
		default:
			d.ambiguous[i] = []Vec{fit[0].at, fit[1].at}
		}
	}
	for i, p := range fixed {
		d.fix(i, p)
	}
	return len(fixed) > 0
}

// constraints returns a position's measurements from what is fixed, datums at
// their priors. The list is valid until the next call.
func (d *determination) constraints(i int) []constraint {
	list := d.list[:0]
	for _, k := range d.offsets[i] {
		z := &d.s.Measurements[k]
		datum := &d.s.Datums[z.From]
		c := constraint{value: z.Value, variance: z.Sigma * z.Sigma}
		if datum.Kind == FixedPoint {
			c.circle, c.centre = true, datum.A
			c.variance += datum.Sigma * datum.Sigma
			list = append(list, c)
			continue
		}
		c.normal = d.normal[z.From]
		c.value += c.normal.dot(datum.A)
		d.arena = d.cover(d.arena[:0], z.From, z.State, z.SurfaceState)
		for _, t := range d.arena {
			c.value -= t.coef * d.prior[t.index]
			c.variance += t.coef * t.coef * d.sigma[t.index] * d.sigma[t.index]
		}
		list = append(list, c)
	}
	for _, k := range d.distances[i] {
		z := &d.s.Measurements[k]
		other := z.Of + z.To - i
		if d.start[other] != nil {
			cov := d.cov[other]
			list = append(list, constraint{
				circle: true, centre: *d.start[other], value: z.Value,
				variance: z.Sigma*z.Sigma + cov.Trace()/2,
			})
		}
	}
	d.list = list
	return list
}

// unsound returns the positions that rest on a straight distance and whose
// directions, at the adjusted places, no longer cross well enough: all that rest
// on one where the adjustment did not settle and so has no places to give.
func (d *determination) unsound(a *adjustment) []int {
	var list []int
	for i := range d.start {
		if d.start[i] == nil || d.byOffsets[i] {
			continue
		}
		if !a.settled || !sound(d.constraints(i), a.x.nodes[a.node[i]]) {
			list = append(list, i)
		}
	}
	return list
}
