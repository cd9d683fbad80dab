package geometry

import "math"

// sinMark: the two datums that a hole is marked from cross by at least this.
const sinMark = 0.5 // 30 degrees

// sameTrace: two pairs whose marks are as good but for rounding.
const sameTrace = 1e-9

// position reads off where position i is and how to mark it into p; setOut is
// where its set-outs go.
func (r *reading) position(i int, setOut []SetOut, p *PositionAnswer) {
	if r.node[i] < 0 {
		return
	}
	p.Determinate, p.At, p.SetOut = true, r.x.nodes[r.node[i]], setOut
	p.Cov = Cov{r.u[i].dot(r.u[i]), r.u[i].dot(r.v[i]), r.v[i].dot(r.v[i])}
	for k := range r.s.Datums {
		if r.s.Datums[k].Kind == FixedPoint {
			r.fromDatumPoint(&r.offsets[k], i, k)
			p.SetOut[k].Value = p.At.distance(r.point(k, r.x.shared))
		} else {
			r.along(&r.offsets[k], i, r.normal[k], r.covers[k])
			p.SetOut[k].Value = r.offsetNow(p.At, k)
		}
		p.SetOut[k].Sigma = r.offsets[k].length()
	}
	p.Mark = r.mark(r.offsets, setOut)
}

// offsetNow returns the offset of a place from a face or line in today's states.
func (r *reading) offsetNow(at Vec, datum int) float64 {
	value := r.normal[datum].dot(at.minus(r.s.Datums[datum].A))
	from := len(r.arena)
	r.arena = r.cover(r.arena, datum, r.s.Datums[datum].Now, r.s.Now)
	for _, t := range r.since(from) {
		value += t.coef * r.x.shared[t.index]
	}
	r.arena = r.arena[:from]
	return value
}

// mark picks the pair of datums to mark from: of pairs as good but for
// rounding, the nearer one.
func (r *reading) mark(offsets []image, setOut []SetOut) *Mark {
	var best *Mark
	nearest := 0.0
	for b := range offsets {
		for a := range b {
			c, ok := crossing(r.normal[a], r.normal[b])
			if !ok {
				continue
			}
			cov := c.frame(pairCov(offsets[a], offsets[b]))
			far := math.Abs(setOut[a].Value) + math.Abs(setOut[b].Value)
			if best == nil || better(cov.Trace(), best.Cov.Trace(), far, nearest) {
				best, nearest = &Mark{From: [2]int{a, b}, Cov: cov}, far
			}
		}
	}
	if best == nil {
		return nil
	}
	a, b := best.From[0], best.From[1]
	c, _ := crossing(r.normal[a], r.normal[b])
	best.Frame = c.frame(pairCov(r.covers[a], r.covers[b]))
	best.Ellipse = best.Cov.Ellipse95()
	return best
}

// better reports whether one pair is better than another: by the trace of the
// mark, and where that is the same, by the way to the datums.
func better(trace, other, far, otherFar float64) bool {
	if math.Abs(trace-other) > other*sameTrace {
		return trace < other
	}
	return far < otherFar-1e-6
}

// cross turns two offsets into a place: the rows of the inverse of the two
// normals.
type cross struct{ ofA, ofB Vec }

// crossing returns the cross of two datums; false if they do not cross by 30
// degrees (a point, whose normal is zero, never does).
func crossing(a, b Vec) (cross, bool) {
	det := a.cross(b)
	if math.Abs(det) < sinMark {
		return cross{}, false
	}
	return cross{ofA: Vec{b.V / det, -b.U / det}, ofB: Vec{-a.V / det, a.U / det}}, true
}

// frame carries the covariance of two offsets into the frame.
func (c cross) frame(k Cov) Cov {
	return Cov{
		UU: c.ofA.U*c.ofA.U*k.UU + 2*c.ofA.U*c.ofB.U*k.UV + c.ofB.U*c.ofB.U*k.VV,
		UV: c.ofA.U*c.ofA.V*k.UU + (c.ofA.U*c.ofB.V+c.ofA.V*c.ofB.U)*k.UV + c.ofB.U*c.ofB.V*k.VV,
		VV: c.ofA.V*c.ofA.V*k.UU + 2*c.ofA.V*c.ofB.V*k.UV + c.ofB.V*c.ofB.V*k.VV,
	}
}

func pairCov(a, b image) Cov { return Cov{a.dot(a), a.dot(b), b.dot(b)} }
