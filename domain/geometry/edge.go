package geometry

import "math"

// keepOff is the number of standard deviations that a hole must keep off for a
// chance of HitLimit, and a millionth more so that rounding cannot spoil it.
var keepOff = 1e-6 - normalQuantile(HitLimit)

// turned turns a anticlockwise by an angle in radians.
func (a Vec) turned(angle float64) Vec {
	s, k := math.Sincos(angle)
	return Vec{a.U*k - a.V*s, a.U*s + a.V*k}
}

// box returns the rectangle in the timber's frame outside which no hit is over
// HitLimit: [-past, length+past] by [-beside, beside].
func (z *zone) box() (past, beside float64) {
	return z.r + keepOff*z.sx, z.halfR + keepOff*z.sy
}

// stretch returns where along the line from h in the direction d (a unit
// vector) the hit is over HitLimit: between lo and hi in mm, both themselves at
// most HitLimit, and a thousandth too far out at most. ok is false if it is
// nowhere.
func (z *zone) stretch(h, d Vec) (lo, hi float64, ok bool) {
	lo, hi, ok = z.crossing(h, d)
	if !ok {
		return 0, 0, false
	}
	in, ok := z.inside(h, d, lo, hi)
	if !ok {
		return 0, 0, false
	}
	lo, _ = z.edge(h, d, in, lo, lo)
	hi, _ = z.edge(h, d, in, hi, hi)
	return lo, hi, true
}

// crossing returns where the line from h along d crosses the zone's box.
func (z *zone) crossing(h, d Vec) (lo, hi float64, ok bool) {
	x, y := z.local(h)
	dx, dy := d.dot(z.along), z.along.cross(d)
	past, beside := z.box()
	lo, hi = math.Inf(-1), math.Inf(1)
	clip := func(at, slope, from, to float64) bool {
		if math.Abs(slope) < 1e-12 {
			return at > from && at < to
		}
		a, b := (from-at)/slope, (to-at)/slope
		lo, hi = max(lo, min(a, b)), min(hi, max(a, b))
		return lo < hi
	}
	ok = clip(y, dy, -beside, beside) && clip(x, dx, -past, z.length+past)
	return lo, hi, ok
}

// inside finds a place between lo and hi with a hit over HitLimit, if there is
// one: the hit rises to a single top, so its slope tells where to look.
func (z *zone) inside(h, d Vec, lo, hi float64) (float64, bool) {
	for range 40 {
		s := 0.5 * (lo + hi)
		p, slope := z.at(h.along(d, s))
		if p > HitLimit {
			return s, true
		}
		if hi-lo < 1e-3 {
			break
		}
		if slope.dot(d) > 0 {
			lo = s
		} else {
			hi = s
		}
	}
	return 0, false
}

// edge closes in on the place between in (a hit over HitLimit) and out (at
// most HitLimit) where it falls to HitLimit, and returns the slope of the hit
// there; start is where to look first. The number of standard deviations that
// a hit amounts to is nearly straight along the line, so that Newton's steps on
// it are few; halving guards them.
func (z *zone) edge(h, d Vec, in, out, start float64) (at float64, slope Vec) {
	s := start
	for range 60 {
		p, g := z.at(h.along(d, s))
		if p > HitLimit {
			in = s
		} else {
			out, slope = s, g
		}
		next := 0.5 * (in + out)
		if step, ok := z.step(p, g.dot(d)); ok {
			if s == out && math.Abs(step) < 1e-3 {
				break
			}
			if n := s + step; (n-in)*(n-out) < 0 {
				next = n
			}
		}
		if math.Abs(out-in) < 1e-3 && s == out {
			break
		}
		s = next
	}
	return out, slope
}

// step takes a Newton step to where the hit amounts to keepOff; not ok if the
// hit is so near 0 or 1 that its slope says nothing.
func (z *zone) step(p, slope float64) (float64, bool) {
	u, du, ok := deviations(p)
	if !ok || slope == 0 {
		return 0, false
	}
	return (-keepOff - u) / (du * slope), true
}

// deviations returns how many standard deviations a chance of p amounts to, with
// its slope by p; not ok within 1e-10 of 0 or 1.
func deviations(p float64) (u, slope float64, ok bool) {
	if p < 1e-10 || p > 1-1e-10 {
		return 0, 0, false
	}
	u = normalQuantile(p)
	return u, 1 / normalDensity(u), true
}
