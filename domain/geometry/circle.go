package geometry

import "math"

const (
	// certain is the distance in standard deviations beyond which a normal is
	// taken never to lie: 1.3e-12 two-sided, a hundredth of the 1e-10 that
	// chances are good to.
	certain = 7.1
	// circleStep is the step of the sum of inOffset in standard deviations.
	circleStep = 0.8
	// maxSteps bounds the work for absurd input, such as a tail known to a
	// nanometre with a reach of metres.
	maxSteps = 20000
	// roundest is the axis ratio below which the periodic rule of inCentred
	// needs more nodes than the general path.
	roundest = 0.1
)

// inCircle returns the chance that offset plus a normal error of covariance c lies
// within radius of the origin, all in mm. The covariance may be correlated,
// elliptic, nearly singular or singular (a point or a line of places; the
// circle is closed). Absolute error below 1e-10 for a radius of up to a million
// standard deviations; 0 for a radius of 0 or less
// unless the covariance is zero.
//
// Laws: turning offset and covariance together changes nothing; a larger
// radius is never less likely.
func inCircle(c Cov, offset Vec, radius float64) float64 {
	major, minor, axis := c.principal()
	a, b := math.Abs(offset.dot(axis)), math.Abs(offset.cross(axis))
	away := math.Hypot(a, b)
	switch {
	case major == 0 && away <= radius:
		return 1
	case radius <= 0 || away-certain*major >= radius:
		return 0
	case away+certain*major <= radius:
		return 1
	case away == 0 && minor >= roundest*major:
		return inCentred(major, minor, radius)
	case minor < 1e-13*radius:
		h := math.Sqrt(max(0, (radius-b)*(radius+b)))
		return normalBetween((-h-a)/major, (h-a)/major)
	}
	return inOffset(major, minor, a, b, radius)
}

// inCentred computes inCircle for a circle about the mean: one less the mean of
// exp(-R²/2s²) round the quarter, s the scale of the unit ellipse at each
// angle. The integrand has a period of pi and is analytic and at most 1 in the
// strip of half-width atanh(minor/major), so that n equal steps leave less than
// 2 exp(-2 n atanh(minor/major)).
func inCentred(major, minor, radius float64) float64 {
	mean, half := 0.5*(major*major+minor*minor), 0.5*(major-minor)*(major+minor)
	quarter := 1
	if minor < major {
		quarter = 1 + int(7.5/math.Atanh(minor/major))
	}
	q := -0.5 * radius * radius
	// cos(2 theta) by its recurrence: theta runs over the quarter's ends and
	// the quarter-1 places between them.
	step := 2 * math.Cos(math.Pi/float64(quarter))
	before, now := 0.5*step, 1.0
	sum := -0.5 * (math.Exp(q/(mean+half)) + math.Exp(q/(mean-half)))
	for range quarter + 1 {
		sum += math.Exp(q / (mean + half*now))
		before, now = now, step*now-before
	}
	return max(0, 1-sum/float64(quarter))
}

// inOffset computes inCircle by quadrature across the narrow axis: place y = R
// sin t there, and the exact chance of the chord at y along the wide one. So
// written the integrand is entire, has a period of 2 pi and is the same on
// either side of the rim t = pi/2 (the chord's change of sign makes up for that
// of dy), so that the plain sum over equal steps is as good as any rule: like
// that of a normal density it leaves 2 exp(-2 pi²/step²), the step in standard
// deviations. The sum covers only where y can be. Offsets a along the wide axis
// and b along the narrow one, neither negative.
func inOffset(major, minor, a, b, radius float64) float64 {
	from, to := -math.Pi/2, math.Pi/2
	if y := (b - certain*minor) / radius; y > -1 {
		from = math.Asin(min(1, y))
	}
	if y := (b + certain*minor) / radius; y < 1 {
		to = math.Asin(y)
	}
	step := 1 / (1.6 + steepest(from, to, radius/major, radius/minor)/circleStep)
	step = max(step, (to-from)/maxSteps)
	// The steps count from the rim where it is in reach, from where y is most
	// likely where not; t is kept as what it differs from the latter, since
	// y - b would cancel for a narrow axis far from the middle.
	sine := min(1, b/radius)
	at, start := math.Asin(sine), 0.0
	if to == math.Pi/2 {
		start = math.Acos(sine)
	}
	if from == -math.Pi/2 {
		step = math.Pi / math.Ceil(math.Pi/step)
	}
	cosAt := math.Sqrt((1 - sine) * (1 + sine))
	sum := 0.0
	last := math.Floor((to - at - start) / step)
	for k := math.Ceil((from - at - start) / step); k <= last; k++ {
		sin, cos := math.Sincos(0.5 * (start + k*step))
		z := (2*radius*sin*(cosAt*cos-sine*sin) - max(0, b-radius)) / minor
		cosT := cosAt*(1-2*sin*sin) - sine*2*sin*cos
		half := radius * cosT
		sum += math.Exp(-0.5*z*z) * cosT * between((-half-a)/major, (half-a)/major)
	}
	sum *= step * radius / (minor * math.Sqrt2 * math.SqrtPi)
	return min(1, max(0, sum))
}

// between returns normalBetween for sums in which 1e-12 does not matter: half
// the work where an end is out of reach.
func between(lo, hi float64) float64 {
	switch {
	case lo < -certain && hi > certain:
		return 1
	case lo < -certain:
		return normalBelow(hi)
	case hi > certain:
		return normalAbove(lo)
	}
	return normalBetween(lo, hi)
}

// steepest bounds how fast either factor of inOffset changes between two
// angles within the half turn about 0, in standard deviations per radian: the
// chord as wide·sin t, the density as narrow·cos t.
func steepest(from, to, wide, narrow float64) float64 {
	cos := 1.0
	if from > 0 || to < 0 {
		cos = math.Cos(min(math.Abs(from), math.Abs(to)))
	}
	return math.Hypot(wide*math.Sin(max(math.Abs(from), math.Abs(to))), narrow*cos)
}
