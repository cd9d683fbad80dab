package geometry

import (
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// The twin is the plain way to do the same: one dense Gauss-Newton over all
// unknowns with a full inverse in gonum, numerical derivatives of nothing,
// every candidate state adjusted afresh, every first hole tried by adding its
// found offsets and inverting again. It is the oracle for Solve and the
// yardstick for its speed.
type twin struct {
	m     *model
	node  []int
	used  []int
	x     *mat.VecDense
	cov   *mat.Dense
	resid []float64 // whitened, used then priors
}

// newTwin adjusts from the starts given (nil: takes no part).
func newTwin(s *Surface, start []*Vec) *twin {
	t := &twin{m: newModel(s)}
	n := 0
	for _, p := range start {
		if p == nil {
			t.node = append(t.node, -1)
			continue
		}
		t.node = append(t.node, n)
		n++
	}
	t.x = mat.NewVecDense(2*n+len(t.m.prior), nil)
	for i, p := range start {
		if p != nil {
			t.x.SetVec(2*t.node[i], p.U)
			t.x.SetVec(2*t.node[i]+1, p.V)
		}
	}
	for k, v := range t.m.prior {
		t.x.SetVec(2*n+k, v)
	}
	for k := range s.Measurements {
		if (&adjustment{model: t.m, node: t.node}).takes(&s.Measurements[k]) {
			t.used = append(t.used, k)
		}
	}
	for range 50 {
		a, b := t.system()
		var normal, rhs mat.Dense
		normal.Mul(a.T(), a)
		rhs.Mul(a.T(), b)
		t.cov = new(mat.Dense)
		if err := t.cov.Inverse(&normal); err != nil {
			if poor := mat.Condition(0); !errors.As(err, &poor) {
				panic(err)
			}
		}
		var dx mat.Dense
		dx.Mul(t.cov, &rhs)
		t.x.AddVec(t.x, dx.ColView(0))
		if mat.Norm(&dx, math.Inf(1)) < settled {
			break
		}
	}
	_, b := t.system()
	t.resid = slices.Clone(b.RawMatrix().Data)
	return t
}

func (t *twin) solution() solution {
	n := t.x.Len() - len(t.m.prior)
	x := newSolution(n/2, len(t.m.prior))
	for i := range x.nodes {
		x.nodes[i] = Vec{t.x.AtVec(2 * i), t.x.AtVec(2*i + 1)}
	}
	for k := range x.shared {
		x.shared[k] = t.x.AtVec(n + k)
	}
	return x
}

// system returns the dense design matrix and right-hand side, whitened.
func (t *twin) system() (*mat.Dense, *mat.Dense) {
	x, w := t.solution(), t.x.Len()
	t.m.arena = t.m.arena[:0]
	rows := len(t.used) + len(t.m.prior)
	a, b := mat.NewDense(rows, w, nil), mat.NewDense(rows, 1, nil)
	for r := range rows {
		var e equation
		if r < len(t.used) {
			z := &t.m.s.Measurements[t.used[r]]
			e = t.m.equation(z, t.node, x)
			e.weigh(z.Sigma)
		} else {
			k := r - len(t.used)
			e = t.m.priorEquation(k, x)
			e.weigh(t.m.sigma[k])
		}
		t.put(a.RawRowView(r), &e)
		b.Set(r, 0, e.rhs)
	}
	return a, b
}

func (t *twin) put(row []float64, e *equation) {
	for k, c := range [2]Vec{e.ca, e.cb} {
		if node := [2]int{e.a, e.b}[k]; node >= 0 {
			row[2*node] += c.U
			row[2*node+1] += c.V
		}
	}
	base := len(row) - len(t.m.prior)
	for _, s := range e.shared {
		row[base+s.index] += s.coef
	}
}

// covOf returns a row vector's variance, or the covariance of two.
func (t *twin) covOf(a, b []float64) float64 {
	s := 0.0
	for i, x := range a {
		if x == 0 {
			continue
		}
		for j, y := range b {
			s += x * t.cov.At(i, j) * y
		}
	}
	return s
}

// offsetRow returns the gradient of today's offset of position i from a datum.
func (t *twin) offsetRow(i, datum int) []float64 {
	row := make([]float64, t.x.Len())
	e := equation{a: t.node[i], b: -1}
	if t.m.s.Datums[datum].Kind == FixedPoint {
		x := t.solution()
		dir := x.nodes[t.node[i]].minus(t.m.point(datum, x.shared)).unit()
		e.ca = dir
		e.shared = []term{{t.m.shift[datum], -dir.U}, {t.m.shift[datum] + 1, -dir.V}}
	} else {
		e.ca, e.shared = t.m.normal[datum], t.m.coverNow(datum)
	}
	t.put(row, &e)
	return row
}

// w returns measurement k's redundancy and standardised residual.
func (t *twin) w(k int) (redundancy, w float64) {
	a, _ := t.system()
	r := slices.Index(t.used, k)
	redundancy = 1 - t.covOf(a.RawRowView(r), a.RawRowView(r))
	if redundancy < noRedundancy {
		return 0, 0
	}
	return redundancy, -t.resid[r] / math.Sqrt(redundancy)
}

// readsAs adjusts the whole surface afresh for every other state.
func (t *twin) readsAs(k int, start []*Vec) int {
	z := t.m.s.Measurements[k]
	best, bestW := Unrecorded, ReadsAsW
	for _, state := range t.m.s.Datums[z.From].otherStates(z.State) {
		s := *t.m.s
		s.Measurements = slices.Clone(s.Measurements)
		s.Measurements[k].State = state
		if _, w := newTwin(&s, start).w(k); math.Abs(w) <= bestW {
			best, bestW = state, math.Abs(w)
		}
	}
	return best
}

// answer reads off all that the contract asks, the plain way.
func (t *twin) answer(start []*Vec) *Answer {
	a := &Answer{Positions: make([]PositionAnswer, len(start)), Measurements: make([]MeasurementAnswer,
		len(t.m.s.Measurements))}
	design, _ := t.system()
	for r, k := range t.used {
		m, z := &a.Measurements[k], &t.m.s.Measurements[k]
		row := design.RawRowView(r)
		m.Redundancy, m.ReadsAs = 1-t.covOf(row, row), Unrecorded
		m.W = -t.resid[r] / math.Sqrt(m.Redundancy)
		if math.Abs(m.W) > SuspectW && z.Kind == Offset && t.m.s.Datums[z.From].Kind == Face {
			m.ReadsAs = t.readsAs(k, start)
		}
	}
	for i, p := range start {
		if p != nil {
			t.setOut(i, &a.Positions[i])
		}
	}
	t.teach(a)
	return a
}

// setOut fills in position i's offsets and the best pair of them to mark from.
func (t *twin) setOut(i int, p *PositionAnswer) {
	var rows [][]float64
	for k := range t.m.s.Datums {
		rows = append(rows, t.offsetRow(i, k))
		p.SetOut = append(p.SetOut, SetOut{Sigma: math.Sqrt(t.covOf(rows[k], rows[k]))})
	}
	for b := range rows {
		for a := range b {
			c, ok := crossing(t.m.normal[a], t.m.normal[b])
			if !ok {
				continue
			}
			cov := c.frame(Cov{p.SetOut[a].Sigma * p.SetOut[a].Sigma, t.covOf(rows[a], rows[b]),
				p.SetOut[b].Sigma * p.SetOut[b].Sigma})
			if p.Mark == nil || cov.Trace() < p.Mark.Cov.Trace()*(1-sameTrace) {
				p.Mark = &Mark{From: [2]int{a, b}, Cov: cov}
			}
		}
	}
}

// markRows returns the gradients of the two components of a position's mark
// error.
func (t *twin) markRows(i int, m *Mark) (marks, offsets [2][]float64) {
	c, _ := crossing(t.m.normal[m.From[0]], t.m.normal[m.From[1]])
	offsets = [2][]float64{t.offsetRow(i, m.From[0]), t.offsetRow(i, m.From[1])}
	for k := range offsets[0] {
		marks[0] = append(marks[0], c.ofA.U*offsets[0][k]+c.ofB.U*offsets[1][k])
		marks[1] = append(marks[1], c.ofA.V*offsets[0][k]+c.ofB.V*offsets[1][k])
	}
	return marks, offsets
}

// firstWorth returns by how much the summed variance of the other marks shrinks
// when the tail of hole i is found: the normal system with the two found
// offsets added, inverted afresh.
func (t *twin) firstWorth(a *Answer, i int) float64 {
	_, found := t.markRows(i, a.Positions[i].Mark)
	var normal, after mat.Dense
	if err := normal.Inverse(t.cov); err != nil {
		panic(err)
	}
	w := t.x.Len()
	for _, row := range found {
		v := mat.NewVecDense(w, row)
		var add mat.Dense
		add.Outer(1/(FoundSigma*FoundSigma), v, v)
		normal.Add(&normal, &add)
	}
	if err := after.Inverse(&normal); err != nil {
		panic(err)
	}
	updated := &twin{m: t.m, node: t.node, x: t.x, cov: &after}
	worth := 0.0
	for j := range a.Positions {
		if j == i || a.Positions[j].Mark == nil {
			continue
		}
		marks, _ := t.markRows(j, a.Positions[j].Mark)
		for _, m := range marks {
			worth += t.covOf(m, m) - updated.covOf(m, m)
		}
	}
	return worth
}

// teach works out what every hole teaches.
func (t *twin) teach(a *Answer) {
	for i := range a.Positions {
		if a.Positions[i].Mark != nil {
			a.Positions[i].Teaches = t.firstWorth(a, i)
		}
	}
}
