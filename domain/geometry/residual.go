package geometry

import "math"

// noRedundancy: below this share of an error showing in the residual, the
// residual is rounding. A redundancy of a billionth would ask for an error of
// more than a hundred metres to show.
const noRedundancy = 1e-9

// measurements tests every measurement: residual, redundancy, w, the smallest
// error that would show, and what a suspect offset reads as.
func (r *reading) measurements() []MeasurementAnswer {
	list := make([]MeasurementAnswer, len(r.s.Measurements))
	for k := range list {
		list[k].ReadsAs = Unrecorded
		list[k].Unrecorded = r.s.Measurements[k].unrecorded()
		list[k].Unused = !list[k].Unrecorded
	}
	for at, k := range r.used {
		list[k].Unused = false
		r.test(k, at, &list[k])
	}
	return list
}

// test fills in one measurement that takes part; at is its equation.
func (r *reading) test(k, at int, out *MeasurementAnswer) {
	z := &r.s.Measurements[k]
	y := &r.work
	r.ofMeasurement(y, z)
	// known is how well the adjustment knows the value, over the variance of
	// the measurement; the rest of an error shows.
	known := y.dot(*y) / (z.Sigma * z.Sigma)
	out.Residual = -r.equations[at].rhs * z.Sigma
	out.Redundancy = math.Max(0, 1-known)
	if out.Redundancy < noRedundancy {
		out.Redundancy, out.MDB = 0, math.Inf(1)
		return
	}
	root := math.Sqrt(out.Redundancy)
	out.W = out.Residual / (z.Sigma * root)
	out.MDB = Detectable * z.Sigma / root
	out.Suspect = math.Abs(out.W) > SuspectW
	if out.Suspect && z.Kind == Offset && r.s.Datums[z.From].Kind == Face {
		out.ReadsAs = r.readsAs(z, *y, out)
	}
}

// ofMeasurement sets *into to the image of what a measurement measures.
func (r *reading) ofMeasurement(into *image, z *Measurement) {
	switch z.Kind {
	case Distance:
		r.apart(into, z.Of, z.To)
	case Offset:
		if r.s.Datums[z.From].Kind == FixedPoint {
			r.fromDatumPoint(into, z.Of, z.From)
			return
		}
		r.along(into, z.Of, r.normal[z.From], r.coverImage(z.From, z.State, z.SurfaceState))
	case Span:
		a, b := r.coverImage(z.From, z.State, z.SurfaceState), r.coverImage(z.To, z.ToState, z.SurfaceState)
		into.path, into.shared = into.path[:0], into.shared[:0]
		for k := range a.shared {
			into.shared = append(into.shared, -a.shared[k]-b.shared[k])
		}
	case Thickness:
		*into = r.fac.sharedImage(r.thickness(z, r.x).shared)
	}
}

// fromDatumPoint sets *into to the image of the straight distance of a position
// from a fixed point.
func (r *reading) fromDatumPoint(into *image, i, datum int) {
	dir := r.x.nodes[r.node[i]].minus(r.point(datum, r.x.shared)).unit()
	c := r.fac.sharedImage([]term{{r.shift[datum], dir.U}, {r.shift[datum] + 1, dir.V}})
	r.along(into, i, dir, c)
}

// apart sets *into to the image of the straight distance between positions i
// and j. One is the other's ancestor in the forest, so the path of the one that
// has more ancestors holds both.
func (r *reading) apart(into *image, i, j int) {
	dir := r.x.nodes[r.node[i]].minus(r.x.nodes[r.node[j]]).unit()
	if r.fac.forest.depth[r.node[i]] < r.fac.forest.depth[r.node[j]] {
		i, j = j, i // the distance is the same from either end, dir·(p-q) too but for its sign
	}
	r.along(into, i, dir, r.nothing)
	from := len(r.u[i].path) - len(r.u[j].path)
	for k := range r.u[j].path {
		into.path[from+k] = into.path[from+k].minus(r.u[j].path[k].times(dir.U).along(r.v[j].path[k], dir.V))
	}
	for k := range into.shared {
		into.shared[k] -= dir.U*r.u[j].shared[k] + dir.V*r.v[j].shared[k]
	}
}

// readsAs returns the state of the face under which a suspect offset would fit
// best, or Unrecorded if none fits. Leaving the offset out of the adjustment
// and putting it back under another state are two changes of one equation each,
// so the fresh adjustment's w for it follows from images that are there
// already: nothing is adjusted again. (Exact where the surface is linear; with
// straight distances to second order in the offset's error.)
func (r *reading) readsAs(z *Measurement, y image, out *MeasurementAnswer) int {
	best, bestW := Unrecorded, ReadsAsW
	var other image
	for _, state := range r.s.Datums[z.From].otherStates(z.State) {
		as := *z
		as.State = state
		r.ofMeasurement(&other, &as)
		e := r.equation(&as, r.node, r.x)
		known := y.dot(y) / (z.Sigma * z.Sigma)
		shared := other.dot(y) / (z.Sigma * z.Sigma)
		miss := e.rhs/z.Sigma - shared*out.Residual/z.Sigma/(1-known)
		variance := 1 + other.dot(other)/(z.Sigma*z.Sigma) + shared*shared/(1-known)
		if w := math.Abs(miss) / math.Sqrt(variance); w <= bestW {
			best, bestW = state, w
		}
	}
	return best
}

func (y image) length() float64 { return math.Sqrt(y.dot(y)) }
