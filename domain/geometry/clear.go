package geometry

import (
	"cmp"
	"math"
	"slices"
)

// level is the difference in mm below which two moves, or two clearances, are
// held to be the same, so that rounding does not choose between them.
const level = 0.01

// parallel is the sine of the angle, 10 degrees, within which two timbers or two
// datums count as running the same way.
const parallel = 0.17364817766693036

// aslant is the correlation along and across a timber from which the ways out
// round its corners are looked at.
const aslant = 0.2

// clearing works out moves for one hole after another over the same timbers. It
// reuses its buffers from hole to hole and is for a single goroutine.
type clearing struct {
	bars  []bar
	zones []zone    // of the current hole once grow is called, parallel to bars
	hits  []float64 // of the current hole where it is, parallel to bars
	seeds []seed
	moves []Vec // found to clear
	h     Vec   // the current hole
	frame Cov
	r     float64
	grown bool
	best  float64 // length of the shortest of moves, or the limit
}

// seed is a place to start looking for a move: off timber zone in the
// direction by, or (with) where it crosses another.
type seed struct {
	zone, with int // with is -1 for one timber alone
	by         Vec // a direction, or the crossing less h
	length     float64
	least      float64 // what the length may come down to
}

func newClearing(timbers []Timber) *clearing {
	c := &clearing{bars: make([]bar, len(timbers)), zones: make([]zone, len(timbers)), hits: make([]float64, len(timbers))}
	for i := range timbers {
		c.bars[i] = newBar(&timbers[i])
	}
	return c
}

// take makes a hole the current one and works out its hits where it is.
func (c *clearing) take(h Vec, frame Cov, r float64) {
	c.h, c.frame, c.r, c.grown = h, frame, r, false
	for i := range c.bars {
		c.hits[i] = c.bars[i].hit(h, frame, r)
	}
}

// grow makes the zones of the current hole; most holes need none.
func (c *clearing) grow() []zone {
	if !c.grown {
		for i := range c.bars {
			c.zones[i] = c.bars[i].zone(c.frame, c.r)
		}
		c.grown = true
	}
	return c.zones
}

// clearMove returns the smallest move in mm of a hole of radius r at h, placed with
// the covariance frame, that brings its hit to HitLimit or less for every
// timber. It is at most half the joist spacing (see spacing); where no such
// move clears, clears is false and the move zero. The move is zero too where
// the hole clears as it is. Good to 0.1 mm, and never short.
//
// Of two moves of the same length (a timber exactly under the position) the
// one that leaves the hole further from the nearest other timber is taken, else
// the one to the left of the timber that is hit worst; the odds of finding the
// tail are the same for both.
//
// Law: the order of the timbers, and turning or shifting everything together,
// changes nothing.
func clearMove(h Vec, frame Cov, r float64, timbers []Timber) (move Vec, clears bool) {
	c := newClearing(timbers)
	c.take(h, frame, r)
	return c.move()
}

// move returns clearMove for the current hole. The places that are barred are a
// union of convex patches, so that the nearest free place lies square off the
// edge of one patch, or where the edges of two cross. Where the first place
// looked at is free no crossing is nearer; else they are looked at too.
func (c *clearing) move() (Vec, bool) {
	worst := c.worst()
	if worst < 0 {
		return Vec{}, true
	}
	c.grow()
	c.best, c.moves, c.seeds = 0.5*c.spacing(worst), c.moves[:0], c.seeds[:0]
	c.square()
	nearestFirst(c.seeds)
	crossed := false
	for k := 0; k < len(c.seeds); k++ {
		if c.seeds[k].least > c.best+level || c.try(c.seeds[k]) || crossed {
			continue
		}
		crossed = true
		c.crossings()
		nearestFirst(c.seeds[k+1:])
	}
	if len(c.moves) == 0 {
		return Vec{}, false
	}
	return c.choose(worst), true
}

func nearestFirst(s []seed) {
	slices.SortFunc(s, func(a, b seed) int { return cmp.Compare(a.length, b.length) })
}

// try follows a seed. It reports false if the seed leads nowhere, or to a place
// that a timber bars.
func (c *clearing) try(s seed) bool {
	if s.with >= 0 {
		return c.tryCrossing(s)
	}
	m, ok := c.zones[s.zone].wayOut(c.h, s.by)
	return ok && c.offer(m)
}

// worst returns the timber most likely to be hit, or -1 if none is over
// HitLimit. Of equally likely ones (to 1e-9) it is the one overlapped most.
func (c *clearing) worst() int {
	worst, most, least := -1, HitLimit, 0.0
	for i, p := range c.hits {
		if p <= HitLimit || p < most-1e-9 {
			continue
		}
		g := c.bars[i].gap(c.h, c.r)
		if worst < 0 || p > most+1e-9 || g < least-1e-9 || g < least+1e-9 && c.bars[i].before(&c.bars[worst]) {
			worst, most, least = i, max(p, most), g
		}
	}
	return worst
}

// before orders bars independently of how they are listed.
func (b *bar) before(o *bar) bool {
	return cmp.Or(cmp.Compare(b.end.U, o.end.U), cmp.Compare(b.end.V, o.end.V),
		cmp.Compare(b.length, o.length), cmp.Compare(b.half, o.half)) < 0
}

// spacing returns the larger of the centre-to-centre distances from timber i to its
// neighbours: on either side the nearest that lies within 10 degrees of
// parallel, beside it for some of its length, and not tight against it (a
// doubled joist is one). Without any there is no limit: +Inf.
func (c *clearing) spacing(i int) float64 {
	t := &c.bars[i]
	left, right := math.Inf(1), math.Inf(1)
	for j := range c.bars {
		o := &c.bars[j]
		if j == i || math.Abs(t.along.cross(o.along)) > parallel {
			continue
		}
		x0, y0 := t.local(o.end)
		x1, y1 := t.local(o.end.along(o.along, o.length))
		from, to := max(0, min(x0, x1)), min(t.length, max(x0, x1))
		if from >= to {
			continue
		}
		y := y0 + (y1-y0)*(0.5*(from+to)-x0)/(x1-x0)
		switch {
		case math.Abs(y) <= t.half+o.half:
		case y > 0:
			left = min(left, y)
		default:
			right = min(right, -y)
		}
	}
	if math.IsInf(left, 1) || math.IsInf(right, 1) {
		return min(left, right)
	}
	return max(left, right)
}

// widest returns the largest spacing of the surface's timbers; +Inf if no two
// are parallel.
func (c *clearing) widest() float64 {
	widest := 0.0
	for i := range c.bars {
		if s := c.spacing(i); !math.IsInf(s, 1) {
			widest = max(widest, s)
		}
	}
	if widest == 0 {
		return math.Inf(1)
	}
	return widest
}

// square adds the ways square off every timber's sides and past its ends. Where
// a hole is placed much better one way than another and that way lies aslant,
// the way out round a corner can be shorter than either: those are added too.
func (c *clearing) square() {
	for i := range c.zones {
		z := &c.zones[i]
		x, y := z.local(c.h)
		past, beside := z.box()
		round, tip := keepOff*z.sy, keepOff*z.sx // by how much less than the box says
		if x < 0 || x > z.length {
			round += z.r
		}
		if math.Abs(y) > z.half {
			tip += z.r
		}
		c.seed(i, Vec{0, 1}, beside-y, round)
		c.seed(i, Vec{0, -1}, beside+y, round)
		for _, e := range [2]struct{ way, length float64 }{{-1, past + x}, {1, z.length + past - x}} {
			c.seed(i, Vec{e.way, 0}, e.length, tip)
			if math.Abs(z.beta)*z.sx > aslant*z.sy {
				c.seed(i, Vec{e.way, 1}.unit(), e.length, tip)
				c.seed(i, Vec{e.way, -1}.unit(), e.length, tip)
			}
		}
	}
}

// seed adds a way off timber i, its direction in the timber's frame, unless it
// is too long; less is by how much it may be shorter than length.
func (c *clearing) seed(i int, way Vec, length, less float64) {
	if length > 0 && length-less <= c.best {
		c.seeds = append(c.seeds, seed{zone: i, with: -1, by: c.zones[i].frame(way.U, way.V), length: length,
			least: length - less})
	}
}

// worstAt returns the largest chance of a hit with the current hole moved to h.
func (c *clearing) worstAt(h Vec) float64 {
	worst := 0.0
	for i := range c.bars {
		worst = max(worst, c.bars[i].hit(h, c.frame, c.r))
	}
	return worst
}

// offer keeps a move that clears every timber and is not longer than the
// shortest so far. It reports false if a timber bars the move.
func (c *clearing) offer(m Vec) bool {
	length := m.length()
	if length > c.best+level {
		return true
	}
	if c.worstAt(c.h.plus(m)) > HitLimit {
		return false
	}
	c.moves = append(c.moves, m)
	c.best = min(c.best, length)
	return true
}

// wayOut returns the move from h to the far edge of the zone where it is shortest,
// near the direction d. At the shortest the edge lies square to the move, so
// the direction is turned (secant steps on the angle) until it does.
func (z *zone) wayOut(h, d Vec) (Vec, bool) {
	p, _ := z.at(h)
	within := p > HitLimit
	var shortest Vec
	least := math.Inf(1)
	angle, before, offBefore := 0.0, 0.0, 0.0
	for k := range 12 {
		dir := d.turned(angle)
		lo, out, ok := z.crossing(h, dir)
		in := 0.0
		if ok && !within {
			in, ok = z.inside(h, dir, lo, out)
		}
		if !ok || out <= 0 {
			break
		}
		hi, slope := z.edge(h, dir, in, out, max(in, min(out, least)))
		if hi < least {
			shortest, least = dir.times(hi), hi
		}
		off := math.Atan2(slope.cross(dir), -slope.dot(dir))
		if math.Abs(off) < 1e-3 {
			break
		}
		turn := off
		if rate := (off - offBefore) / (angle - before); k > 0 && rate < 0 {
			turn = max(-0.5, min(0.5, -off/rate))
		}
		before, offBefore = angle, off
		angle += turn
	}
	return shortest, least > 0 && !math.IsInf(least, 1)
}

// choose takes the shortest of the moves; see clearMove for a tie.
func (c *clearing) choose(worst int) Vec {
	left := c.bars[worst].along.left()
	clearance := func(m Vec) float64 {
		g := math.Inf(1)
		for i := range c.bars {
			if i != worst {
				g = min(g, c.bars[i].gap(c.h.plus(m), c.r))
			}
		}
		return g
	}
	c.moves = slices.DeleteFunc(c.moves, func(m Vec) bool { return m.length() > c.best+level })
	most := math.Inf(-1)
	for _, m := range c.moves {
		most = max(most, clearance(m))
	}
	c.moves = slices.DeleteFunc(c.moves, func(m Vec) bool { return clearance(m) < most-level })
	return slices.MinFunc(c.moves, func(a, b Vec) int {
		if d := b.dot(left) - a.dot(left); math.Abs(d) > level {
			return cmp.Compare(d, 0)
		}
		return cmp.Or(cmp.Compare(a.U, b.U), cmp.Compare(a.V, b.V))
	})
}
