package geometry

import "math"

// wide is a sum kept to about twice the digits of a float64, as an unevaluated
// pair. A correction is the difference of numbers that cancel, and where the
// residuals are large, ordinary sums would leave nothing of it (NIST's Wampler5
// keeps 6 digits without, 11 with).
type wide struct{ hi, lo float64 }

// add adds a·b (the product's rounding error by fused multiply-add, the sum's
// by Knuth's two-sum).
func (w *wide) add(a, b float64) {
	p := a * b
	s := w.hi + p
	q := s - w.hi
	w.lo += (w.hi - (s - q)) + (p - q) + math.FMA(a, b, -p)
	w.hi = s
}

// addWide adds a·b.
func (w *wide) addWide(a float64, b wide) {
	w.add(a, b.hi)
	w.lo += a * b.lo
}

func (w wide) value() float64 { return w.hi + w.lo }

// residual returns the equation's right-hand side less its left-hand side at x.
func (e *equation) residual(x solution) wide {
	r := wide{hi: e.rhs}
	if e.a >= 0 {
		r.add(-e.ca.U, x.nodes[e.a].U)
		r.add(-e.ca.V, x.nodes[e.a].V)
	}
	if e.b >= 0 {
		r.add(-e.cb.U, x.nodes[e.b].U)
		r.add(-e.cb.V, x.nodes[e.b].V)
	}
	for _, t := range e.shared {
		r.add(-t.coef, x.shared[t.index])
	}
	return r
}
