package geometry

// teach works out what finding each hole's tail would teach of the others: by how
// much it shrinks the summed variance of their marks. Finding it is two offsets
// from the datums it was marked from, as they are now, each FoundSigma. Only holes
// (positions with a cut-out) count; where none has one, all that can be marked.
//
// With M the images of all the holes' marks one under the other and O those of
// the found offsets, that variance shrinks by the trace of (O O' + s²I)⁻¹ O
// M'M O'. M'M is summed once, so the cost grows with the number of holes, not
// with its square.
func (r *reading) teach(answer *Answer) {
	holes := r.holes(answer)
	g := newGram(r.fac)
	var w holeImages
	for _, i := range holes {
		r.imagesOf(&w, i, answer.Positions[i].Mark)
		g.add(r.node[i], w.marks[0])
		g.add(r.node[i], w.marks[1])
	}
	for _, i := range holes {
		r.imagesOf(&w, i, answer.Positions[i].Mark)
		answer.Positions[i].Teaches = w.shrinks(g, r.node[i])
	}
}

// first picks the hole to cut first: the first in the surface's order of those
// that none is Before.
func (r *reading) first(answer *Answer) int {
	best := -1
	for _, i := range r.holes(answer) {
		if p := &answer.Positions[i]; !p.Plan.Stop() && (best < 0 || p.Before(&answer.Positions[best])) {
			best = i
		}
	}
	return best
}

// Before reports whether a hole proves the set-out better than another, so that it
// is cut before it. One that is good and stays over its tail comes before one
// that is not or was moved; of two such, the one that teaches more; of two
// others, the one whose tail is more likely to be found.
func (p *PositionAnswer) Before(o *PositionAnswer) bool {
	proves, others := p.proves(), o.proves()
	switch {
	case proves != others:
		return proves
	case proves:
		return p.Teaches > o.Teaches*(1+sameTrace)
	}
	return p.Plan.Find > o.Plan.Find+sameTrace
}

// proves reports whether a hole can prove the set-out: one that found nothing, or
// that was moved off its tail, says little.
func (p *PositionAnswer) proves() bool {
	return p.Plan.Clears && p.Plan.Move == Vec{} && p.Plan.Find >= FindGood
}

// holeImages holds the images of one hole's offsets from the datums it is
// marked from, and of the two components of its mark; inner is the covariance
// of those offsets once found, times memory to work in. Where a hole's node has
// no relatives in the forest, what is in the images' paths concerns no other
// hole and is left out once inner is known.
type holeImages struct {
	found, marks, times [2]image
	inner               Cov
}

func (r *reading) imagesOf(w *holeImages, i int, mark *Mark) {
	c, _ := crossing(r.normal[mark.From[0]], r.normal[mark.From[1]])
	for k, datum := range mark.From {
		r.along(&w.found[k], i, r.normal[datum], r.covers[datum])
	}
	w.marks[0].combine(c.ofA.U, w.found[0], c.ofB.U, w.found[1], r.nothing)
	w.marks[1].combine(c.ofA.V, w.found[0], c.ofB.V, w.found[1], r.nothing)
	w.inner = pairCov(w.found[0], w.found[1])
	w.inner.UU += FoundSigma * FoundSigma
	w.inner.VV += FoundSigma * FoundSigma
	if r.fac.forest.lone[r.node[i]] {
		for k := range w.found {
			w.found[k].path, w.marks[k].path = w.found[k].path[:0], w.marks[k].path[:0]
		}
	}
}

func (r *reading) holes(answer *Answer) []int {
	var holes, all []int
	for i := range answer.Positions {
		if answer.Positions[i].Mark == nil {
			continue
		}
		all = append(all, i)
		if r.s.Positions[i].Cutout > 0 {
			holes = append(holes, i)
		}
	}
	if len(holes) == 0 {
		return all
	}
	return holes
}

// shrinks returns by how much finding one hole's tail shrinks the summed
// variance of the others' marks, mm².
func (w *holeImages) shrinks(g *gram, node int) float64 {
	found := &w.found
	inverse, ok := w.inner.inverse()
	if !ok {
		return 0
	}
	g.times(&w.times[0], node, found[0])
	g.times(&w.times[1], node, found[1])
	a, b := w.times[0], w.times[1]
	all := Cov{a.dot(found[0]), a.dot(found[1]), b.dot(found[1])}
	for _, m := range w.marks { // its own mark does not count
		all.UU -= m.dot(found[0]) * m.dot(found[0])
		all.UV -= m.dot(found[0]) * m.dot(found[1])
		all.VV -= m.dot(found[1]) * m.dot(found[1])
	}
	return inverse.UU*all.UU + 2*inverse.UV*all.UV + inverse.VV*all.VV
}

// gram is the sum of outer products of images, kept only where it is not zero
// for sure: between a node and its ancestors, between nodes and the shared
// unknowns, and among the shared unknowns.
type gram struct {
	fac    *factor
	path   [][]block   // by node: with itself and each ancestor, as in an image's path
	cross  [][]float64 // by node: 2 x shared
	shared []float64   // shared x shared
}

// block is a 2x2 block of the sum: rows the node's u and v, columns the ancestor's.
type block struct{ ofU, ofV Vec }

func newGram(fac *factor) *gram {
	g := &gram{fac: fac, path: make([][]block, len(fac.nodes)), cross: make([][]float64, len(fac.nodes))}
	g.shared = make([]float64, fac.shared*fac.shared)
	for i := range g.path {
		if !fac.forest.lone[i] {
			g.path[i] = make([]block, fac.forest.depth[i]+1)
			g.cross[i] = make([]float64, 2*fac.shared)
		}
	}
	return g
}

// add adds the outer product of an image that lies above a node.
func (g *gram) add(node int, y image) {
	n := g.fac.shared
	for k, at := 0, node; k < len(y.path); k, at = k+1, g.fac.forest.parent(at) {
		p := y.path[k]
		for l, q := range y.path[k:] {
			b := &g.path[at][l]
			b.ofU, b.ofV = b.ofU.along(q, p.U), b.ofV.along(q, p.V)
		}
		for s, x := range y.shared {
			g.cross[at][s] += p.U * x
			g.cross[at][n+s] += p.V * x
		}
	}
	for s, x := range y.shared {
		for t, w := range y.shared {
			g.shared[s*n+t] += x * w
		}
	}
}

// times sets out to the sum's product with an image that lies above a node, as
// far as the same node's images can tell (all that a dot product with one
// needs).
func (g *gram) times(out *image, node int, y image) {
	n := g.fac.shared
	out.resize(len(y.path), n)
	clear(out.path)
	clear(out.shared)
	for k, at := 0, node; k < len(y.path); k, at = k+1, g.fac.forest.parent(at) {
		p := y.path[k]
		for l, q := range y.path[k:] {
			b := g.path[at][l]
			out.path[k] = out.path[k].plus(Vec{b.ofU.dot(q), b.ofV.dot(q)})
			if l > 0 {
				out.path[k+l] = out.path[k+l].plus(b.ofU.times(p.U).along(b.ofV, p.V))
			}
		}
		for s, x := range y.shared {
			out.path[k] = out.path[k].plus(Vec{g.cross[at][s] * x, g.cross[at][n+s] * x})
			out.shared[s] += g.cross[at][s]*p.U + g.cross[at][n+s]*p.V
		}
	}
	for s := range out.shared {
		for t, x := range y.shared {
			out.shared[s] += g.shared[s*n+t] * x
		}
	}
}
