package geometry

import (
	"math"

	"gonum.org/v1/gonum/integrate/quad"
)

const (
	// certain is the distance in standard deviations beyond which a normal is
	// taken to lie never: 1.3e-12 two-sided, a hundredth of the 1e-10 that
	// chances are good to.
	certain = 7.1
	// panelSpan is how many standard deviations one panel of the quadrature
	// may span: 16 nodes then leave some 1e-12.
	panelSpan = 4.0
	// maxPanels bounds the work for absurd input, such as a tail known to a
	// micrometre with a reach of metres.
	maxPanels = 2048
	// roundest is the axis ratio below which the periodic rule of inCentred
	// needs more nodes than the general path.
	roundest = 0.1
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

// inCircle is the chance that offset plus a normal error of covariance c lies
// within radius of the origin, all in mm. The covariance may be correlated,
// elliptic, nearly singular or singular (a point or a line of places; the
// circle is closed). Absolute error below 1e-10; 0 for a radius of 0 or less
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

// inCentred is inCircle for a circle about the mean: one less the mean of
// exp(-R²/2s²) round the quarter, s the scale of the unit ellipse at each
// angle. The integrand has a period of pi and is analytic and at most 1 in the
// strip of half-width atanh(minor/major), so that n equal steps leave less
// than 2 exp(-2 n atanh(minor/major)).
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

// inOffset is inCircle by quadrature across the narrow axis: place
// y = R sin t there, and the exact chance of the chord at y along the wide
// one. The sine takes away the chord's square root at the rim, so that the
// integrand is entire in t; the range is cut to where y can be. Offsets a
// along the wide axis and b along the narrow one, neither negative.
func inOffset(major, minor, a, b, radius float64) float64 {
	from, to := -math.Pi/2, math.Pi/2
	if y := (b - certain*minor) / radius; y > -1 {
		from = math.Asin(min(1, y))
	}
	if y := (b + certain*minor) / radius; y < 1 {
		to = math.Asin(y)
	}
	// t is counted from where y is most likely, or from the rim where that is
	// beyond it: y - b would cancel for a narrow axis far from the middle.
	at := math.Asin(min(1, b/radius))
	beyond := max(0, b-radius)
	sinAt, cosAt := math.Sincos(at)
	panels := spanPanels((to - from) * steepest(from, to, radius/major, radius/minor))
	width := (to - from) / float64(panels)
	sum := 0.0
	for p := range panels {
		start := from - at + float64(p)*width
		for _, g := range gauss16 {
			s, k := math.Sincos(0.5 * (start + width*g.x))
			z := (2*radius*s*(cosAt*k-sinAt*s) - beyond) / minor
			cosT := cosAt*(1-2*s*s) - sinAt*2*s*k
			half := radius * cosT
			chord := normalBetween((-half-a)/major, (half-a)/major)
			sum += g.w * math.Exp(-0.5*z*z) * cosT * chord
		}
	}
	sum *= width * radius / (minor * math.Sqrt2 * math.SqrtPi)
	return min(1, max(0, sum))
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

// spanPanels is how many panels a range of so many standard deviations takes.
func spanPanels(deviations float64) int {
	return int(min(maxPanels, 1+deviations/panelSpan))
}
