package geometry

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

const (
	// panelSpan is how many standard deviations one panel of the quadrature
	// may span: 16 nodes then leave some 1e-12.
	panelSpan = 6.0
	// maxPanels bounds the work for absurd input, such as a place known to a
	// micrometre.
	maxPanels = 256
)

// gauss16 holds the nodes and weights of the 16-point Gauss-Legendre rule on
// (0, 1). It is never written after the start.
var gauss16 = func() (rule [16]struct{ x, w float64 }) {
	var x, w [16]float64
	quad.Legendre{}.FixedLocations(x[:], w[:], 0, 1)
	for i := range rule {
		rule[i].x, rule[i].w = x[i], w[i]
	}
	return rule
}()

// zone is one timber as one hole meets it: the timber's rectangle grown by the
// hole's radius, blurred by how surely the hole can be placed. The chance of a
// hit is log-concave in the hole's place (a convex shape blurred by a normal),
// so the places where it is above a limit are a convex patch, and along any
// straight line a single stretch.
type zone struct {
	bar
	r      float64
	halfR  float64 // half + r: how far across the timber reaches for this hole
	sx, sy float64 // sigma along the timber and across it, the timber's own included
	beta   float64 // how far across a millimetre along carries, on average
	tau    float64 // sigma across once the place along is given; above 0
}

func (b *bar) zone(frame Cov, r float64) zone {
	n := b.along.left()
	xx, yy := frame.variance(b.along), frame.variance(n)
	xy := b.along.U*n.U*frame.UU + (b.along.U*n.V+b.along.V*n.U)*frame.UV + b.along.V*n.V*frame.VV
	z := zone{bar: *b, r: r, halfR: b.half + r, sx: math.Sqrt(max(0, xx)), sy: math.Sqrt(max(0, yy) + b.variance)}
	z.tau = z.sy
	if xx > 0 {
		z.beta = xy / xx
		z.tau = math.Sqrt(max(0, yy-xy*z.beta) + b.variance)
	}
	return z
}

// chance is the chance of a hit with its slope by the hole's place, in the
// timber's frame, per mm.
type chance struct{ p, dx, dy float64 }

// hit returns the chance of a hit with the hole at h.
func (z *zone) hit(h Vec) float64 { return max(0, min(1, z.chance(z.local(h)).p)) }

// at returns the chance of a hit at h with its slope in the surface's frame.
func (z *zone) at(h Vec) (p float64, slope Vec) {
	c := z.chance(z.local(h))
	return c.p, z.frame(c.dx, c.dy)
}

// chance works out the hit of a hole at (x, y). Far from both ends only the
// way across counts, in closed form. Near an end what the end takes away from
// that is summed along the timber; beyond an end, what it leaves.
func (z *zone) chance(x, y float64) chance {
	far := certain * z.sx
	if math.Abs(y)-z.halfR > certain*z.sy || x < -z.r-far || x > z.length+z.r+far {
		return chance{}
	}
	if z.sx == 0 { // certain along: one place
		past := max(0, -x, x-z.length)
		p, dy := across(y, z.half+math.Sqrt(max(0, z.r*z.r-past*past)), z.sy)
		return chance{p: p, dy: dy}
	}
	var c chance
	if x < 0 || x > z.length {
		z.straight(&c, max(0, x-far)-x, min(z.length, x+far)-x, y, 1, 1)
		z.rounded(&c, x, y, false, 1)
		z.rounded(&c, z.length-x, y, false, -1)
		return c
	}
	c.p, c.dy = across(y, z.halfR, z.sy)
	for _, e := range [2]struct{ x, way float64 }{{x, 1}, {z.length - x, -1}} {
		if e.x < far {
			z.rounded(&c, e.x, y, true, e.way)
			z.straight(&c, -far, -z.r-e.x, y, -1, e.way)
		}
	}
	return c
}

// across returns the chance that y plus a normal error of sigma s is within half of
// 0, with its slope by y.
func across(y, half, s float64) (p, slope float64) {
	lo, hi := (-half-y)/s, (half-y)/s
	if lo > -certain {
		slope += normalDensity(lo) / s
	}
	if hi < certain {
		slope -= normalDensity(hi) / s
	}
	return between(lo, hi), slope
}

// add adds what places d further along than the hole's own contribute, where
// the grown timber reaches half to either side; w is the stretch in mm. way is
// -1 if the timber is looked at from its other end.
func (z *zone) add(c *chance, d, y, half, w, way float64) {
	k := d / z.sx
	w *= math.Exp(-0.5*k*k) / (z.sx * math.Sqrt2 * math.SqrtPi)
	p, slope := across(y+way*z.beta*d, half, z.tau)
	c.p += w * p
	c.dy += w * slope
	c.dx += way * w * (k/z.sx*p - way*z.beta*slope)
}

// straight adds the stretch from one place to another, told from the hole's
// own, where the grown timber is at its full width; sign is 1, or -1 to take
// it away.
func (z *zone) straight(c *chance, from, to, y, sign, way float64) {
	if from >= to {
		return
	}
	panels := spanPanels((to - from) * math.Hypot(1/z.sx, z.beta/z.tau))
	w := (to - from) / float64(panels)
	for i := range panels {
		start := from + float64(i)*w
		for _, g := range gauss16 {
			z.add(c, start+w*g.x, y, z.halfR, sign*w*g.w, way)
		}
	}
}

// rounded adds the rounded end before x = 0: places -r sin t, where the timber
// reaches half + r cos t across. The sine takes away the rim's square root.
// Where the full width is already counted there, less takes it away.
func (z *zone) rounded(c *chance, x, y float64, less bool, way float64) {
	far := certain * z.sx
	near, tip := max(0, -x-far), min(z.r, far-x)
	if near >= tip {
		return
	}
	from, to := math.Asin(near/z.r), math.Asin(tip/z.r)
	steep := steepest(from, to, z.r/z.tau, z.r*math.Hypot(1/z.sx, z.beta/z.tau))
	panels := spanPanels((to - from) * (1 + steep))
	w := (to - from) / float64(panels)
	for i := range panels {
		start := from + float64(i)*w
		for _, g := range gauss16 {
			sin, cos := math.Sincos(start + w*g.x)
			d, stretch := -z.r*sin-x, z.r*cos*w*g.w
			z.add(c, d, y, z.half+z.r*cos, stretch, way)
			if less {
				z.add(c, d, y, z.halfR, -stretch, way)
			}
		}
	}
}

// spanPanels returns how many panels a range of so many standard deviations takes.
func spanPanels(deviations float64) int {
	return int(min(maxPanels, 1+deviations/panelSpan))
}
