package geometry

import "math"

// crossings adds about where the edges of two timbers' zones cross.
func (c *clearing) crossings() {
	for i := range c.zones {
		if !c.withinReach(i) {
			continue
		}
		for j := range i {
			if c.withinReach(j) {
				c.crossBoxes(i, j)
				c.crossCorners(i, j)
				c.crossCorners(j, i)
			}
		}
	}
}

// tryCrossing goes from about where the edges of two zones cross to where they
// do.
func (c *clearing) tryCrossing(s seed) bool {
	m, ok := c.corner(&c.zones[s.zone], &c.zones[s.with], s.by)
	return ok && c.offer(m)
}

// slack is by how much the edge of the zone may lie within its box.
func (z *zone) slack() float64 { return z.r + keepOff*max(z.sx, z.sy) }

// withinReach reports whether the box of zone i comes as near as the best move.
func (c *clearing) withinReach(i int) bool {
	z := &c.zones[i]
	x, y := z.local(c.h)
	past, beside := z.box()
	return math.Hypot(max(0, -past-x, x-z.length-past), max(0, math.Abs(y)-beside)) <= c.best+level
}

// crossBoxes adds the places where a side of one box meets a side of the other.
func (c *clearing) crossBoxes(i, j int) {
	a, b := &c.zones[i], &c.zones[j]
	for _, p := range a.sides() {
		for _, q := range b.sides() {
			det := p.normal.cross(q.normal)
			if math.Abs(det) < 0.002 { // parallel to a tenth of a degree
				continue
			}
			at := Vec{(p.at*q.normal.V - q.at*p.normal.V) / det, (q.at*p.normal.U - p.at*q.normal.U) / det}
			if a.nearBox(at) && b.nearBox(at) {
				c.seedCrossing(i, j, at, a.slack()+b.slack())
			}
		}
	}
}

// seedCrossing adds a place, unless it is too far; less is by how much the
// crossing may be nearer.
func (c *clearing) seedCrossing(i, j int, at Vec, less float64) {
	by := at.minus(c.h)
	if l := by.length(); l-less <= c.best {
		c.seeds = append(c.seeds, seed{i, j, by, l, l - less})
	}
}

// off is about how far outside the zone's edge p lies: its distance from the
// grown timber less what the hole keeps off that way.
func (z *zone) off(p Vec) float64 {
	x, y := z.local(p)
	dx, dy := x-max(0, min(z.length, x)), y-max(-z.half, min(z.half, y))
	l := math.Hypot(dx, dy)
	if l == 0 {
		return z.gap(p, z.r)
	}
	return l - z.r - z.keep(dx/l, dy/l)
}

// keep returns how far a hole keeps off a straight edge that faces the way (dx, dy).
func (z *zone) keep(dx, dy float64) float64 {
	xx := z.sx * z.sx
	return keepOff * math.Sqrt(max(0, dx*dx*xx+2*dx*dy*z.beta*xx+dy*dy*z.sy*z.sy))
}

// crossCorners adds the places where a rounded corner of zone i, seen in steps,
// meets any part of the edge of zone j.
func (c *clearing) crossCorners(i, j int) {
	const steps = 8
	a, b := &c.zones[i], &c.zones[j]
	less := keepOff * max(a.sx, a.sy, b.sx, b.sy)
	for _, way := range [4]Vec{{-1, -1}, {-1, 1}, {1, -1}, {1, 1}} {
		x := 0.0
		if way.U > 0 {
			x = a.length
		}
		var before Vec
		var offBefore float64
		for k := range steps + 1 {
			sin, cos := math.Sincos(0.5 * math.Pi / steps * float64(k))
			dx, dy := way.U*cos, way.V*sin
			reach := a.r + a.keep(dx, dy)
			at := a.end.plus(a.frame(x+reach*dx, way.V*a.half+reach*dy))
			off := b.off(at)
			if k > 0 && off*offBefore < 0 {
				c.seedCrossing(i, j, before.plus(at.minus(before).times(offBefore/(offBefore-off))), less)
			}
			before, offBefore = at, off
		}
	}
}

// side is a straight line: the places p with normal·p = at.
type side struct {
	normal Vec
	at     float64
}

// sides are the four of the zone's box.
func (z *zone) sides() [4]side {
	past, beside := z.box()
	n := z.along.left()
	x, y := z.end.dot(z.along), z.end.dot(n)
	return [4]side{{n, y + beside}, {n, y - beside}, {z.along, x - past}, {z.along, x + z.length + past}}
}

// nearBox reports whether p lies in the zone's box or within its slack.
func (z *zone) nearBox(p Vec) bool {
	x, y := z.local(p)
	past, beside := z.box()
	s := z.slack()
	return math.Abs(y) <= beside+s && x >= -past-s && x <= z.length+past+s
}

// corner goes from the move m by Newton steps to where both hits amount to
// HitLimit; not ok if they do not lead there. Well off a zone its chance is too
// small to have a slope: from there it goes up to the timber first.
func (c *clearing) corner(a, b *zone, m Vec) (Vec, bool) {
	for range 40 {
		at := c.h.plus(m)
		p, f := a.at(at)
		q, g := b.at(at)
		u, du, oku := deviations(p)
		v, dv, okv := deviations(q)
		if !oku && p < HitLimit {
			m = m.plus(a.towards(at))
			continue
		}
		if !okv && q < HitLimit {
			m = m.plus(b.towards(at))
			continue
		}
		f, g = f.times(du), g.times(dv)
		det := f.cross(g)
		if !oku || !okv || det == 0 {
			return Vec{}, false
		}
		u, v = -keepOff-u, -keepOff-v
		step := Vec{(u*g.V - v*f.V) / det, (v*f.U - u*g.U) / det}
		m = m.plus(step)
		if l := step.length(); l < 1e-5 {
			return m, true
		} else if l > 10*(a.slack()+b.slack()) {
			return Vec{}, false
		}
	}
	return Vec{}, false
}

// towards returns a step from p up to the timber, a standard deviation long.
func (z *zone) towards(p Vec) Vec {
	x, y := z.local(p)
	d := Vec{max(0, min(z.length, x)) - x, max(-z.half, min(z.half, y)) - y}
	if l := d.length(); l > 0 {
		d = d.times(min(1, min(z.sx, z.sy)/l))
	}
	return z.frame(d.U, d.V)
}
