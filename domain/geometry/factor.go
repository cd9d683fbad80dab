package geometry

import (
	"math"

	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
	"gonum.org/v1/gonum/lapack/lapack64"
)

// equation is one observation equation, divided by its standard deviation:
// coefficients over at most two positions and a few shared unknowns, and the
// right-hand side.
type equation struct {
	a, b   int // nodes of the forest; -1 if there is none (b only with a)
	ca, cb Vec
	shared []term
	rhs    float64
}

type term struct {
	index int
	coef  float64
}

// apply returns the equation's left-hand side at x.
func (e *equation) apply(x solution) float64 {
	s := 0.0
	if e.a >= 0 {
		s += e.ca.dot(x.nodes[e.a])
	}
	if e.b >= 0 {
		s += e.cb.dot(x.nodes[e.b])
	}
	for _, t := range e.shared {
		s += t.coef * x.shared[t.index]
	}
	return s
}

// solution is a value for every unknown.
type solution struct {
	nodes  []Vec
	shared []float64
}

func newSolution(nodes, shared int) solution {
	return solution{nodes: make([]Vec, nodes), shared: make([]float64, shared)}
}

// factor is the triangular factor R of the whitened observation equations,
// Q R = A, found by Householder reflections: node by node down the forest,
// then the shared unknowns together. QR works on A itself and so keeps twice
// the digits that the normal equations would; reflections do not care how the
// columns are scaled, and the rows are scaled by their sigmas.
type factor struct {
	forest *forest
	shared int
	nodes  []nodeFactor
	root   blas64.Triangular
	rhs    []float64 // transformed right-hand side of the root
	memory *slab
}

// nodeFactor holds the two rows of R that belong to one position.
type nodeFactor struct {
	r00, r01, r11 float64
	// The rows beyond their own two columns: two for each position above,
	// then the shared unknowns.
	top, second []float64
	rhs         Vec
}

// front is a dense matrix of equations over some nodes. Columns: two for each
// node, then the shared unknowns, then the right-hand side.
type front struct {
	nodes  []int
	rows   int
	stride int
	skip   int // columns at the left that are eliminated already
	data   []float64
}

func (m *front) row(i int) []float64 { return m.data[i*m.stride+m.skip : (i+1)*m.stride] }

// column returns where the two columns of a node start.
func (m *front) column(node int) int {
	for k, i := range m.nodes {
		if i == node {
			return 2 * k
		}
	}
	panic("geometry: an equation couples positions that are not neighbours")
}

// slab hands out zeroed memory. One adjustment takes all its factors from one
// slab, since only the last is kept.
type slab struct{ data, rest []float64 }

// reset takes all the memory back.
func (s *slab) reset() { s.rest = s.data }

func (s *slab) take(n int) []float64 {
	if len(s.rest) < n {
		s.data = make([]float64, max(n, 2*len(s.data), 4096))
		s.rest = s.data
	}
	list := s.rest[:n:n]
	s.rest = s.rest[n:]
	clear(list)
	return list
}

// newFactor eliminates. Each equation's nodes must be neighbours in the forest.
// It resets the slab and takes its memory from there.
func newFactor(f *forest, shared int, equations []equation, memory *slab) *factor {
	n := len(f.order)
	memory.reset()
	if memory.data == nil { // about what the fronts and the root take
		memory.data = make([]float64, (2*len(equations)+n)*(shared+4)+f.ancestry*shared)
		memory.reset()
	}
	fac := &factor{forest: f, shared: shared, nodes: make([]nodeFactor, n), memory: memory}
	byNode, rest := fac.assign(equations)
	left := make([][]front, n+1) // what elimination leaves for a node; the last is for the root
	for _, i := range f.order {
		m := fac.assemble(i, equations, byNode[i], left[i])
		up, out := fac.eliminate(i, &m)
		if up.rows > 0 {
			left[f.parent(i)] = append(left[f.parent(i)], up)
		}
		if out.rows > 0 {
			left[n] = append(left[n], out)
		}
		left[i] = nil
	}
	fac.closeRoot(equations, rest, left[n])
	return fac
}

// assign returns each equation to the first of its nodes to be eliminated.
func (fac *factor) assign(equations []equation) (byNode [][]int, rest []int) {
	byNode = make([][]int, len(fac.nodes))
	count := make([]int, len(fac.nodes))
	for k := range equations {
		if i := fac.first(&equations[k]); i >= 0 {
			count[i]++
		}
	}
	list := make([]int, len(equations))
	for i, n := range count {
		byNode[i], list = list[:0:n], list[n:]
	}
	rest = list[:0]
	for k := range equations {
		if i := fac.first(&equations[k]); i >= 0 {
			byNode[i] = append(byNode[i], k)
		} else {
			rest = append(rest, k)
		}
	}
	return byNode, rest
}

// first returns the first of an equation's nodes to be eliminated; -1 if it has
// none.
func (fac *factor) first(e *equation) int {
	if e.b >= 0 && fac.forest.depth[e.b] > fac.forest.depth[e.a] {
		return e.b
	}
	return e.a
}

// assemble puts what concerns node i into its front: its own equations and
// what its children left.
func (fac *factor) assemble(i int, equations []equation, own []int, left []front) front {
	m := front{nodes: fac.forest.front[i], rows: len(own)}
	for _, l := range left {
		m.rows += l.rows
	}
	m.rows = max(m.rows, 2)
	m.stride = 2*len(m.nodes) + fac.shared + 1
	m.data = fac.memory.take(m.rows * m.stride)
	for r, k := range own {
		e, row := &equations[k], m.row(r)
		row[m.column(e.a)], row[m.column(e.a)+1] = e.ca.U, e.ca.V
		if e.b >= 0 {
			row[m.column(e.b)], row[m.column(e.b)+1] = e.cb.U, e.cb.V
		}
		e.spread(row[2*len(m.nodes):])
	}
	m.inherit(len(own), left)
	return m
}

// spread writes the shared terms and the right-hand side into a row's end.
func (e *equation) spread(row []float64) {
	for _, t := range e.shared {
		row[t.index] += t.coef
	}
	row[len(row)-1] = e.rhs
}

// inherit copies the rows that a node's children left, from row at on.
func (m *front) inherit(at int, left []front) {
	for _, l := range left {
		for r := range l.rows {
			from, to := l.row(r), m.row(at)
			at++
			for k, node := range l.nodes {
				c := m.column(node)
				to[c], to[c+1] = from[2*k], from[2*k+1]
			}
			copy(to[2*len(m.nodes):], from[2*len(l.nodes):])
		}
	}
}

// eliminate reflects all columns of nodes to upper triangular form and keeps
// the two top rows as node i's part of R. The rows below that still touch the
// nodes above go up to the parent, at most two for each; all others are over
// the shared unknowns alone and go out to the root.
func (fac *factor) eliminate(i int, m *front) (up, out front) {
	work := fac.memory.take(m.stride)
	for c := range min(2*len(m.nodes), m.rows) {
		m.reflect(c, work)
	}
	top, second := m.row(0), m.row(1)
	end := m.stride - 1
	node := &fac.nodes[i]
	node.r00, node.r01, node.r11 = top[0], top[1], second[1]
	node.top, node.second = top[2:end], second[2:end]
	node.rhs = Vec{top[end], second[end]}
	still := min(2*len(m.nodes), m.rows)
	up = front{nodes: m.nodes[1:], rows: still - 2, stride: m.stride, skip: 2, data: m.data[2*m.stride:]}
	out = front{rows: m.rows - still, stride: m.stride, skip: 2 * len(m.nodes), data: m.data[still*m.stride:]}
	return up, out
}

// negligible: a whitened coefficient below this is zero. It comes from rounding
// a right angle in a frame with odd figures; scaling by it would overflow.
const negligible = 1e-150

// reflect applies the Householder reflection that clears column c below row c.
// A column that is zero already is left alone.
func (m *front) reflect(c int, work []float64) {
	norm := 0.0
	for r := c; r < m.rows; r++ {
		norm = math.Hypot(norm, m.row(r)[c])
	}
	if norm < negligible {
		for r := c; r < m.rows; r++ {
			m.row(r)[c] = 0
		}
		return
	}
	head := m.row(c)[c]
	if head > 0 {
		norm = -norm
	}
	// v = column - norm e, scaled so that its head is 1; H = I - tau v v'.
	tau, scale := (norm-head)/norm, 1/(head-norm)
	work = work[c:]
	copy(work, m.row(c)[c:])
	for r := c + 1; r < m.rows; r++ {
		v := m.row(r)[c] * scale
		for k, x := range m.row(r)[c:] {
			work[k] += v * x
		}
	}
	for k := range m.row(c)[c:] {
		m.row(c)[c+k] -= tau * work[k]
	}
	for r := c + 1; r < m.rows; r++ {
		v := m.row(r)[c] * scale * tau
		row := m.row(r)[c:]
		for k := range row {
			row[k] -= v * work[k]
		}
		row[0] = 0
	}
}

// closeRoot factors what is left, which is over the shared unknowns alone.
func (fac *factor) closeRoot(equations []equation, rest []int, left []front) {
	g, rows := fac.shared, len(rest)
	for _, l := range left {
		rows += l.rows
	}
	m := front{rows: max(rows, g+1), stride: g + 1}
	m.data = fac.memory.take(m.rows * m.stride)
	for r, k := range rest {
		equations[k].spread(m.row(r))
	}
	m.inherit(len(rest), left)
	a := blas64.General{Rows: m.rows, Cols: m.stride, Stride: m.stride, Data: m.data}
	tau, query := make([]float64, m.stride), make([]float64, 1)
	lapack64.Geqrf(a, tau, query, -1)
	lapack64.Geqrf(a, tau, make([]float64, int(query[0])), int(query[0]))
	fac.root = blas64.Triangular{Uplo: blas.Upper, Diag: blas.NonUnit, N: g, Stride: m.stride, Data: m.data}
	fac.rhs = make([]float64, g)
	for k := range fac.rhs {
		fac.rhs[k] = m.data[k*m.stride+g]
	}
}
