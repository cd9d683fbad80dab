package geometry

import "math"

var (
	// Two offsets fix a position where their normals are at least this far
	// apart.
	sinOffsets = math.Sin(6 * math.Pi / 180)
	// Where a straight distance is needed, directions must cross better.
	sinPlaces = math.Sin(10 * math.Pi / 180)
)

// rival: of two places that fit, the worse is out only where its misfit (sum
// of squares over variance) is worse by more than the test for one suspect
// measurement allows.
const rival = SuspectW * SuspectW

// constraint is one measurement of a position as seen from what is fixed
// already: it lies on a line (normal·p = value) or on a circle round centre.
type constraint struct {
	circle   bool
	normal   Vec
	centre   Vec
	value    float64
	variance float64 // of value, with that of what it is measured from
}

// misfit returns the computed value less the measured one at p; gradient is the
// direction in which it grows, a unit vector (zero at a circle's centre).
func (c *constraint) misfit(p Vec) (misfit float64, gradient Vec) {
	if c.circle {
		d := p.minus(c.centre)
		return d.length() - c.value, d.unit()
	}
	return c.normal.dot(p) - c.value, c.normal
}

// place is a place of a position and how well it is known.
type place struct {
	at  Vec
	cov Cov
	sum float64 // misfit, weighted
}

// settle does weighted least squares over the constraints, starting at p; false
// if they do not fix both directions.
func settle(list []constraint, p Vec) (place, bool) {
	for range 20 {
		var n Cov
		var b Vec
		sum := 0.0
		for k := range list {
			f, g := list[k].misfit(p)
			w := 1 / list[k].variance
			n = n.outer(g.times(math.Sqrt(w)))
			b = b.along(g, -f*w)
			sum += f * f * w
		}
		inverse, ok := n.inverse()
		if !ok {
			return place{}, false
		}
		step := inverse.apply(b)
		if step.length() < settled {
			return place{at: p, cov: inverse, sum: sum}, true
		}
		p = p.plus(step)
	}
	return place{}, false
}

// inverse inverts a 2x2 covariance or normal matrix; false if it is singular to
// working precision.
func (c Cov) inverse() (Cov, bool) {
	det := c.UU*c.VV - c.UV*c.UV
	if !(det > 1e-12*c.UU*c.VV) {
		return Cov{}, false
	}
	return Cov{c.VV / det, -c.UV / det, c.UU / det}, true
}

func (c Cov) apply(v Vec) Vec { return Vec{c.UU*v.U + c.UV*v.V, c.UV*v.U + c.VV*v.V} }

// fixedByOffsets finds the place where two straight offsets cross by 6 degrees
// or more; all the straight offsets together then give the start.
func fixedByOffsets(list []constraint) (place, bool) {
	lines, crossing := 0, false
	for k := range list {
		if list[k].circle {
			continue
		}
		for _, o := range list[:lines] {
			crossing = crossing || math.Abs(list[k].normal.cross(o.normal)) >= sinOffsets
		}
		list[lines], list[k] = list[k], list[lines] // lines to the front
		lines++
	}
	if !crossing {
		return place{}, false
	}
	return settle(list[:lines], Vec{})
}

// places returns the places that fit all constraints about as well as the best
// one does: every pair's crossings, settled over all, within the room, sound,
// the best first.
func places(list []constraint, outside func(Vec) bool) []place {
	var found []place
	for i := range list {
		for j := range i {
			for _, p := range crossings(&list[j], &list[i]) {
				at, ok := settle(list, p)
				if ok && !outside(at.at) && sound(list, at.at) {
					found = addPlace(found, at)
				}
			}
		}
	}
	if len(found) == 0 {
		return nil
	}
	best := 0
	for k := range found {
		if found[k].before(found[best]) {
			best = k
		}
	}
	fit := []place{found[best]}
	for k := range found {
		if k != best && found[k].sum <= found[best].sum+rival {
			fit = append(fit, found[k])
		}
	}
	return fit
}

// before orders places by misfit and, where that is the same but for rounding,
// by u and v, so that the answer does not depend on the order of the record.
func (p place) before(o place) bool {
	if math.Abs(p.sum-o.sum) > 1e-6 {
		return p.sum < o.sum
	}
	if math.Abs(p.at.U-o.at.U) > 1e-6 {
		return p.at.U < o.at.U
	}
	return p.at.V < o.at.V
}

func addPlace(found []place, p place) []place {
	for k := range found {
		if found[k].at.distance(p.at) < 1e-3 {
			return found
		}
	}
	return append(found, p)
}

// sound reports whether two of the constraints cross by 10 degrees or more at p.
func sound(list []constraint, p Vec) bool {
	for i := range list {
		_, a := list[i].misfit(p)
		for j := range i {
			if _, b := list[j].misfit(p); math.Abs(a.cross(b)) >= sinPlaces {
				return true
			}
		}
	}
	return false
}

// crossings returns the two places where a circle meets a line or a circle;
// none if they miss each other, and none for two lines.
func crossings(a, b *constraint) []Vec {
	if !a.circle {
		a, b = b, a
	}
	if !a.circle {
		return nil
	}
	foot, dir := a.centre, b.normal.left()
	if b.circle {
		d := b.centre.minus(a.centre)
		l := d.length()
		if l < 1e-6 {
			return nil
		}
		along := (l*l + a.value*a.value - b.value*b.value) / (2 * l)
		foot, dir = a.centre.along(d, along/l), d.times(1/l).left()
	} else {
		foot = foot.along(b.normal, b.value-b.normal.dot(foot))
	}
	half := a.value*a.value - foot.minus(a.centre).dot(foot.minus(a.centre))
	if half < 0 {
		return nil
	}
	half = math.Sqrt(half)
	return []Vec{foot.along(dir, half), foot.along(dir, -half)}
}
