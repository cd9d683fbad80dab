package geometry

import "math"

func (a Vec) plus(b Vec) Vec             { return Vec{a.U + b.U, a.V + b.V} }
func (a Vec) minus(b Vec) Vec            { return Vec{a.U - b.U, a.V - b.V} }
func (a Vec) times(k float64) Vec        { return Vec{a.U * k, a.V * k} }
func (a Vec) dot(b Vec) float64          { return a.U*b.U + a.V*b.V }
func (a Vec) cross(b Vec) float64        { return a.U*b.V - a.V*b.U }
func (a Vec) length() float64            { return math.Hypot(a.U, a.V) }
func (a Vec) left() Vec                  { return Vec{-a.V, a.U} }
func (a Vec) distance(b Vec) float64     { return a.minus(b).length() }
func (a Vec) along(d Vec, k float64) Vec { return Vec{a.U + d.U*k, a.V + d.V*k} }

// unit returns a's direction, or the zero vector where a is shorter than a
// millionth of a millimetre and so has none.
func (a Vec) unit() Vec {
	l := a.length()
	if l < 1e-6 {
		return Vec{}
	}
	return a.times(1 / l)
}

// variance returns the variance of the component along the direction d.
func (c Cov) variance(d Vec) float64 {
	return d.U*d.U*c.UU + 2*d.U*d.V*c.UV + d.V*d.V*c.VV
}

// outer adds the outer product of a with itself to c.
func (c Cov) outer(a Vec) Cov {
	return Cov{c.UU + a.U*a.U, c.UV + a.U*a.V, c.VV + a.V*a.V}
}
