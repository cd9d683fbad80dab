package geometry

import (
	"gonum.org/v1/gonum/blas"
	"gonum.org/v1/gonum/blas/blas64"
)

// solve returns the least-squares solution of the equations that were factored.
func (fac *factor) solve() solution {
	y := newSolution(len(fac.nodes), fac.shared)
	for i := range fac.nodes {
		y.nodes[i] = fac.nodes[i].rhs
	}
	copy(y.shared, fac.rhs)
	fac.backward(y)
	return y
}

// correct returns the step that R' R dx = A' r yields for the residuals r of
// the factored equations at some x (the corrected semi-normal equations: one
// step brings a solution to working precision; Bjorck 1987).
func (fac *factor) correct(equations []equation, x solution) solution {
	n := 2 * len(fac.nodes)
	sums := make([]wide, n+fac.shared)
	for k := range equations {
		e := &equations[k]
		r := e.residual(x)
		for _, c := range [2]struct {
			node int
			coef Vec
		}{{e.a, e.ca}, {e.b, e.cb}} {
			if c.node >= 0 {
				sums[2*c.node].addWide(c.coef.U, r)
				sums[2*c.node+1].addWide(c.coef.V, r)
			}
		}
		for _, t := range e.shared {
			sums[n+t.index].addWide(t.coef, r)
		}
	}
	b := newSolution(len(fac.nodes), fac.shared)
	for i := range b.nodes {
		b.nodes[i] = Vec{sums[2*i].value(), sums[2*i+1].value()}
	}
	for i := range b.shared {
		b.shared[i] = sums[n+i].value()
	}
	for _, i := range fac.forest.order {
		b.nodes[i] = fac.nodes[i].forward(b.nodes[i])
		fac.pass(i, b.nodes[i], func(j int, v Vec) { b.nodes[j] = b.nodes[j].minus(v) }, b.shared)
	}
	fac.rootForward(b.shared)
	fac.backward(b)
	return b
}

// forward solves R' y = b for the node's own two rows.
func (n *nodeFactor) forward(b Vec) Vec {
	u := b.U / n.r00
	return Vec{u, (b.V - n.r01*u) / n.r11}
}

// pass takes node i's part y of a forward solution out of the right-hand sides
// of the nodes above it (through take) and of the shared unknowns.
func (fac *factor) pass(i int, y Vec, take func(j int, v Vec), shared []float64) {
	top, second := fac.nodes[i].top, fac.nodes[i].second
	for _, j := range fac.forest.above(i) {
		take(j, Vec{top[0]*y.U + second[0]*y.V, top[1]*y.U + second[1]*y.V})
		top, second = top[2:], second[2:]
	}
	for k := range shared {
		shared[k] -= top[k]*y.U + second[k]*y.V
	}
}

// rootForward solves R' y = b for the shared unknowns, in place.
func (fac *factor) rootForward(b []float64) {
	if fac.shared > 0 {
		blas64.Trsv(blas.Trans, fac.root, blas64.Vector{N: fac.shared, Inc: 1, Data: b})
	}
}

// backward solves R x = y in place: shared unknowns first, then the nodes from
// the roots down.
func (fac *factor) backward(y solution) {
	if fac.shared > 0 {
		blas64.Trsv(blas.NoTrans, fac.root, blas64.Vector{N: fac.shared, Inc: 1, Data: y.shared})
	}
	for k := len(fac.forest.order) - 1; k >= 0; k-- {
		i := fac.forest.order[k]
		n, b := &fac.nodes[i], y.nodes[i]
		top, second := n.top, n.second
		for _, j := range fac.forest.above(i) {
			p := y.nodes[j]
			b.U -= top[0]*p.U + top[1]*p.V
			b.V -= second[0]*p.U + second[1]*p.V
			top, second = top[2:], second[2:]
		}
		for g, x := range y.shared {
			b.U -= top[g] * x
			b.V -= second[g] * x
		}
		v := b.V / n.r11
		y.nodes[i] = Vec{(b.U - n.r01*v) / n.r00, v}
	}
}

// image is R'^-1 a, for a linear function a of the unknowns. The covariance of
// two functions is the dot product of their images, so no inverse is formed.
// Above a node it is sparse: path holds the parts of the node and of each of
// its ancestors, root last; nil for a function of the shared unknowns alone.
type image struct {
	path   []Vec
	shared []float64
}

// nodeImages returns the images of every node's u and v, one after the other.
func (fac *factor) nodeImages() []image {
	list := make([]image, 2*len(fac.nodes))
	path := make([]Vec, 2*fac.forest.ancestry)
	all := make([]float64, len(list)*fac.shared)
	shared := all
	for k := range list {
		n := fac.forest.depth[k/2] + 1
		list[k].path, path = path[:n:n], path[n:]
		list[k].shared, shared = shared[:fac.shared:fac.shared], shared[fac.shared:]
		list[k].path[0] = [2]Vec{{1, 0}, {0, 1}}[k%2]
		fac.climb(&list[k], k/2)
	}
	if len(list) > 0 && fac.shared > 0 { // all at once: each row y' R = b'
		blas64.Trsm(blas.Right, blas.NoTrans, 1, fac.root, blas64.General{
			Rows: len(list), Cols: fac.shared, Stride: fac.shared, Data: all,
		})
	}
	return list
}

// climb solves an image's path from node i up, and leaves the right-hand side
// of its shared part.
func (fac *factor) climb(y *image, i int) {
	depth := fac.forest.depth
	at := i
	for k := range y.path {
		y.path[k] = fac.nodes[at].forward(y.path[k])
		fac.pass(at, y.path[k], func(j int, v Vec) {
			c := &y.path[depth[i]-depth[j]]
			*c = c.minus(v)
		}, y.shared)
		at = fac.forest.parent(at)
	}
}

// sharedImage returns the image of a function of the shared unknowns.
func (fac *factor) sharedImage(terms []term) image {
	y := image{shared: make([]float64, fac.shared)}
	for _, t := range terms {
		y.shared[t.index] += t.coef
	}
	fac.rootForward(y.shared)
	return y
}

// dot returns the covariance of two functions that both lie above the same node, or
// of which one is of the shared unknowns alone.
func (a image) dot(b image) float64 {
	s := 0.0
	for k := range min(len(a.path), len(b.path)) {
		s += a.path[k].dot(b.path[k])
	}
	for k, x := range a.shared {
		s += x * b.shared[k]
	}
	return s
}

// combine returns x a + y b - c for images above one node (c may be of the
// shared unknowns alone), written over into.
func (into *image) combine(x float64, a image, y float64, b image, c image) {
	into.resize(len(a.path), len(a.shared))
	for k := range a.path {
		into.path[k] = a.path[k].times(x).along(b.path[k], y)
	}
	as, bs, cs := a.shared, b.shared[:len(a.shared)], c.shared[:len(a.shared)]
	for k := range into.shared {
		into.shared[k] = x*as[k] + y*bs[k] - cs[k]
	}
}

// resize makes room, reusing the memory there is; the content is undefined.
func (into *image) resize(path, shared int) {
	if cap(into.path) < path {
		into.path = make([]Vec, path)
	}
	if cap(into.shared) < shared {
		into.shared = make([]float64, shared)
	}
	into.path, into.shared = into.path[:path], into.shared[:shared]
}
