package geometry

import "math"

// bar is a timber in its own frame: x along its centre line from one end, y
// across, positive to the left of the way along. The timber itself is the
// rectangle [0, length] by [-half, half].
type bar struct {
	end          Vec // where x is 0
	along        Vec // unit vector of x
	length, half float64
	variance     float64 // of the centre line across itself, mm²
}

func newBar(t *Timber) bar {
	b := bar{end: t.A, along: t.B.minus(t.A).unit(), length: t.A.distance(t.B),
		half: 0.5 * t.Width, variance: t.Sigma * t.Sigma}
	if b.along == (Vec{}) { // no length: a post, square to the frame
		b.along.U = 1
	}
	return b
}

func (b *bar) local(p Vec) (x, y float64) {
	d := p.minus(b.end)
	return d.dot(b.along), b.along.cross(d)
}

// frame turns a direction in the bar's frame into the surface's.
func (b *bar) frame(x, y float64) Vec {
	return b.along.times(x).along(b.along.left(), y)
}

// gap returns the expected clear distance in mm from the edge of a hole of radius
// r about h to the edge of timber t; negative where they overlap, by the
// least distance that would part them.
func gap(h Vec, r float64, t *Timber) float64 {
	b := newBar(t)
	return b.gap(h, r)
}

func (b *bar) gap(h Vec, r float64) float64 {
	x, y := b.local(h)
	past, beside := max(-x, x-b.length), math.Abs(y)-b.half
	if past > 0 && beside > 0 {
		return math.Hypot(past, beside) - r
	}
	return max(past, beside) - r
}

// hit returns the chance that a hole of radius r meets timber t. The hole's centre
// lands at h plus a normal error of covariance frame; the timber lies off its
// centre line by its own sigma, across only, and ends where it is drawn to
// end. A hole meets the timber where its centre is within r of the rectangle:
// a larger rectangle with rounded corners. Absolute error below 1e-10.
//
// Laws: turning or shifting everything together, and naming the timber's ends
// the other way round, changes nothing; a larger hole is never less likely to
// hit.
func hit(h Vec, frame Cov, r float64, t *Timber) float64 {
	b := newBar(t)
	return b.hit(h, frame, r)
}

func (b *bar) hit(h Vec, frame Cov, r float64) float64 {
	x, y := b.local(h)
	// Most timbers are far off: seen without a square root.
	const out = certain * certain
	if d := math.Abs(y) - b.half - r; d > 0 && d*d > out*(frame.variance(b.along.left())+b.variance) {
		return 0
	}
	if d := max(-x, x-b.length) - r; d > 0 && d*d > out*frame.variance(b.along) {
		return 0
	}
	z := b.zone(frame, r)
	return z.hit(h)
}
