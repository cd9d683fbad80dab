package geometry

import (
	"math"

	"gonum.org/v1/gonum/mathext"
	"gonum.org/v1/gonum/stat/distuv"
)

// chi2At95 is the 95 % quantile of chi-square with two degrees of freedom,
// -2 ln 0.05.
const chi2At95 = 5.991464547107979

// normalBelow returns the chance that a standard normal is below x. Good to a few
// parts in 1e15 of itself for x down to -37, where it leaves the range of
// normal floating-point numbers. Law: normalBelow(-x) = normalAbove(x).
func normalBelow(x float64) float64 { return 0.5 * math.Erfc(-x/math.Sqrt2) }

// normalAbove returns the chance that a standard normal is above x, as good in its
// own small tail as normalBelow is in the other.
func normalAbove(x float64) float64 { return 0.5 * math.Erfc(x/math.Sqrt2) }

// normalDensity returns the density of the standard normal at x.
func normalDensity(x float64) float64 {
	return math.Exp(-0.5*x*x) / (math.Sqrt2 * math.SqrtPi)
}

// normalBetween returns the chance that a standard normal lies between a and b;
// 0 where b <= a. It keeps its relative accuracy (about 1e-13) in both tails
// and for the narrowest interval, where a difference of two tails would not.
func normalBetween(a, b float64) float64 {
	w := b - a
	switch {
	case !(w > 0):
		return 0
	case w*max(1, math.Abs(a), math.Abs(b)) < 0.05:
		return narrow(0.5*(a+b), w)
	case a >= 0:
		return normalAbove(a) - normalAbove(b)
	case b <= 0:
		return normalBelow(b) - normalBelow(a)
	default:
		return 0.5 * (math.Erf(b/math.Sqrt2) + math.Erf(-a/math.Sqrt2))
	}
}

// narrow returns the chance of an interval of width w about m, from the density's
// Taylor series about m: the terms left out are below (w m)^6/322560.
func narrow(m, w float64) float64 {
	m2, w2 := m*m, w*w
	return w * normalDensity(m) *
		(1 + w2*((m2-1)/24+w2*(m2*m2-6*m2+3)/1920))
}

// normalQuantile returns the x with normalBelow(x) = p, for p in (0, 1).
func normalQuantile(p float64) float64 { return distuv.UnitNormal.Quantile(p) }

// chi2Survival returns the chance that chi-square with dof degrees of freedom
// exceeds x; 1 where there are none, since nothing can then misfit.
func chi2Survival(x float64, dof int) float64 {
	if dof <= 0 || x <= 0 {
		return 1
	}
	return mathext.GammaIncRegComp(0.5*float64(dof), 0.5*x)
}

// principal returns the standard deviations along the principal axes of c, the
// larger first, and the unit vector of the larger. A variance that rounding
// has taken below 0 counts as 0. Where the two are equal the axis is u.
func (c Cov) principal() (major, minor float64, axis Vec) {
	mean, half := 0.5*(c.UU+c.VV), 0.5*(c.UU-c.VV)
	root := math.Hypot(half, c.UV)
	large := mean + root
	if !(large > 0) {
		return 0, 0, Vec{U: 1}
	}
	// The small root through the determinant: mean - root would cancel.
	small := min(large, (c.UU*c.VV-c.UV*c.UV)/large)
	// Half the angle of (half, UV), from whichever form does not cancel.
	axis = Vec{U: 1}
	if half >= 0 && root > 0 {
		axis = Vec{half + root, c.UV}
	} else if root > 0 {
		axis = Vec{c.UV, root - half}
	}
	axis = axis.times(1 / axis.length())
	return math.Sqrt(large), math.Sqrt(max(0, small)), axis
}

// Ellipse95 returns the ellipse about the mean that a normal of covariance c falls
// in 95 times in 100: semi-axes sqrt(5.99146 lambda), lambda the eigenvalues.
func (c Cov) Ellipse95() Ellipse {
	major, minor, axis := c.principal()
	angle := math.Atan2(axis.V, axis.U) * 180 / math.Pi
	if angle > 90 {
		angle -= 180
	} else if angle <= -90 {
		angle += 180
	}
	k := math.Sqrt(chi2At95)
	return Ellipse{A: k * major, B: k * minor, Angle: angle}
}
