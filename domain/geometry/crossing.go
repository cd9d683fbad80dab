package geometry

import "math"

// crossings adds the places where the sides of two timbers' boxes cross.
func (c *clearing) crossings() {
	for i := range c.zones {
		if !c.withinReach(i) {
			continue
		}
		for j := range i {
			if c.withinReach(j) {
				c.crossBoxes(i, j)
			}
		}
	}
}

// tryCrossing goes from where two boxes cross to where the edges of the zones
// themselves do.
func (c *clearing) tryCrossing(s seed) bool {
	a, b := &c.zones[s.zone], &c.zones[s.with]
	if m, ok := c.corner(a, b, s.by); ok {
		return c.offer(m)
	}
	// Off a rounded end the boxes' crossing is too far out to tell the way:
	// start where the side of one box meets the edge of the other zone.
	found := false
	for k, z := range [2]*zone{b, a} {
		lo, hi, ok := z.stretch(c.h.plus(s.by), s.sides[k])
		if !ok {
			continue
		}
		if -lo < hi {
			hi = lo
		}
		if m, ok := c.corner(a, b, s.by.along(s.sides[k], hi)); ok {
			found = c.offer(m) || found
		}
	}
	return found
}

// slack is by how much the edge of the zone may lie within its box.
func (z *zone) slack() float64 { return z.r + keepOff*max(z.sx, z.sy) }

// withinReach tells whether the box of zone i comes as near as the best move.
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
			if math.Abs(det) < 0.05 {
				continue
			}
			at := Vec{(p.at*q.normal.V - q.at*p.normal.V) / det, (q.at*p.normal.U - p.at*q.normal.U) / det}
			by := at.minus(c.h)
			length := by.length()
			least := length - a.slack() - b.slack()
			if least <= c.best && a.nearBox(at) && b.nearBox(at) {
				c.seeds = append(c.seeds, seed{i, j, by, [2]Vec{p.normal.left(), q.normal.left()}, length, least})
			}
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

// nearBox tells whether p lies in the zone's box or within its slack.
func (z *zone) nearBox(p Vec) bool {
	x, y := z.local(p)
	past, beside := z.box()
	s := z.slack()
	return math.Abs(y) <= beside+s && x >= -past-s && x <= z.length+past+s
}

// corner goes from the move m by Newton's steps to where both hits amount to
// HitLimit; not ok where they do not lead there.
func (c *clearing) corner(a, b *zone, m Vec) (Vec, bool) {
	for range 20 {
		p, f := a.at(c.h.plus(m))
		q, g := b.at(c.h.plus(m))
		u, du, oku := deviations(p)
		v, dv, okv := deviations(q)
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
