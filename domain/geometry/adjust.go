package geometry

import (
	"math"
	"slices"
)

const (
	// settled: an adjustment has settled when no unknown moves by more than
	// this in a step, in mm. Far below any tape, far above rounding.
	settled = 1e-7
	// mostSteps bounds Gauss-Newton; well-taped rooms take three or four.
	mostSteps = 40
)

// adjustment is a surface's unknowns at their most likely values, with the
// factor of the equations there.
type adjustment struct {
	*model
	node      []int // by position: its node in the forest, -1 if it is left out
	used      []int // the measurements that take part
	nonlinear bool
	settled   bool // no unknown moved any more
	x         solution
	equations []equation // of used, then of the priors, at x; rhs are whitened residuals (measured less computed)
	fac       *factor
}

// adjust adjusts the determinate positions from their start values together
// with all that they share. start is by position, nil if not determinate.
func adjust(m *model, start []*Vec) *adjustment {
	a := &adjustment{model: m, node: make([]int, len(start))}
	for i, p := range start {
		a.node[i] = -1
		if p != nil {
			a.node[i] = len(a.x.nodes)
			a.x.nodes = append(a.x.nodes, *p)
		}
	}
	a.x.shared = append([]float64{}, m.prior...)
	var edges [][2]int
	for k := range m.s.Measurements {
		z := &m.s.Measurements[k]
		if !a.takes(z) {
			continue
		}
		a.used = append(a.used, k)
		a.nonlinear = a.nonlinear || !m.linear(z)
		if z.Kind == Distance {
			edges = append(edges, [2]int{a.node[z.Of], a.node[z.To]})
		}
	}
	a.iterate(newForest(len(a.x.nodes), edges))
	return a
}

// takes reports whether a measurement takes part: its datums' states are
// recorded and its positions are determinate.
func (a *adjustment) takes(z *Measurement) bool {
	if z.unrecorded() {
		return false
	}
	switch z.Kind {
	case Offset:
		return a.node[z.Of] >= 0
	case Distance:
		return a.node[z.Of] >= 0 && a.node[z.To] >= 0
	}
	return true
}

// iterate runs Gauss-Newton. A linear surface needs one step and one correction
// of its rounding; otherwise every step starts from new equations and is halved
// as long as it makes the fit worse.
func (a *adjustment) iterate(f *forest) {
	a.takeEquations()
	var memory slab
	for range mostSteps {
		a.fac = newFactor(f, len(a.prior), a.equations, &memory)
		dx := a.fac.solve()
		if !a.nonlinear {
			dx.add(a.fac.correct(a.equations, dx), 1)
			a.step(dx, 1)
			a.settled = true
			return
		}
		before, from := a.sum(), a.x.clone()
		for k := 1.0; ; k /= 2 {
			a.x = from.clone()
			a.step(dx, k)
			if a.sum() <= before*(1+1e-9)+1e-12 || k < 1e-3 {
				break
			}
		}
		if a.settled = dx.largest() < settled; a.settled {
			return
		}
	}
}

// step moves x by k dx and sets up the equations there.
func (a *adjustment) step(dx solution, k float64) {
	a.x.add(dx, k)
	a.takeEquations()
}

// add adds k d to x.
func (x solution) add(d solution, k float64) {
	for i, v := range d.nodes {
		x.nodes[i] = x.nodes[i].along(v, k)
	}
	for i, v := range d.shared {
		x.shared[i] += k * v
	}
}

// takeEquations sets up the weighted equations of all measurements that take
// part, then of all priors, at x.
func (a *adjustment) takeEquations() {
	a.arena = a.arena[:0]
	list := slices.Grow(a.equations[:0], len(a.used)+len(a.prior))
	for _, k := range a.used {
		z := &a.s.Measurements[k]
		e := a.equation(z, a.node, a.x)
		e.weigh(z.Sigma)
		list = append(list, e)
	}
	for k, sigma := range a.sigma {
		e := a.priorEquation(k, a.x)
		e.weigh(sigma)
		list = append(list, e)
	}
	a.equations = list
}

// sum returns the weighted sum of squares of all residuals at x.
func (a *adjustment) sum() float64 {
	s := 0.0
	for k := range a.equations {
		s += a.equations[k].rhs * a.equations[k].rhs
	}
	return s
}

func (x solution) clone() solution {
	return solution{nodes: append([]Vec{}, x.nodes...), shared: append([]float64{}, x.shared...)}
}

func (x solution) largest() float64 {
	l := 0.0
	for _, v := range x.nodes {
		l = max(l, math.Abs(v.U), math.Abs(v.V))
	}
	for _, v := range x.shared {
		l = max(l, math.Abs(v))
	}
	return l
}
