package geometry

import "math"

// judgement is the working state of judge for one surface.
type judgement struct {
	surface  *Surface
	normals  []Vec // by datum, unit, into the room; zero for a point
	answer   *Answer
	clearing *clearing
	holes    []hole
	holeOf   []int // by position, an index into holes; -1 without a hole
	order    []int // indices into holes, for sorting
	barred   []stretch
}

// judge fills in what the holes of a surface would meet and how they are to be
// opened: Timbers, Clears, Move, Find and Plan of every position with a mark,
// and the answer's Lines. Of each position it needs Determinate, At, SetOut and
// Mark; normals are the datums' unit normals into the room. A position without
// a cut-out has no hole: it meets nothing and stays where it is. One without a
// mark is left as it is.
func judge(s *Surface, normals []Vec, a *Answer) {
	j := &judgement{surface: s, normals: normals, answer: a, clearing: newClearing(s.Timbers),
		holeOf: make([]int, len(s.Positions))}
	j.meet()
	a.Lines = j.lines()
	j.shiftLines(a.Lines)
	for p := range a.Positions {
		if a.Positions[p].Mark != nil {
			j.plan(p)
		}
	}
}

// meet works out every hole by itself.
func (j *judgement) meet() {
	room := make([]TimberAnswer, len(j.surface.Positions)*len(j.surface.Timbers))
	c := j.clearing
	for p := range j.answer.Positions {
		at := &j.answer.Positions[p]
		j.holeOf[p] = -1
		if at.Mark == nil {
			continue
		}
		at.Find = j.find(p, Vec{})
		at.Clears = true
		if j.surface.Positions[p].Cutout <= 0 {
			continue
		}
		j.holeOf[p] = len(j.holes)
		h := hole{position: p, limit: math.Inf(1), good: FindGood}
		j.take(&h)
		at.Timbers, room = room[:len(c.bars):len(c.bars)], room[len(c.bars):]
		for i := range c.bars {
			at.Timbers[i] = TimberAnswer{Gap: c.bars[i].gap(c.h, c.r), Hit: c.hits[i]}
		}
		if worst := c.worst(); worst >= 0 {
			h.limit = 0.5 * c.spacing(worst)
			at.Move, at.Clears = c.move()
			if find := j.find(p, at.Move); find >= FindLimit {
				h.alone, h.good = at.Move, min(h.good, stays*find)
			}
		}
		j.holes = append(j.holes, h)
		j.order = append(j.order, len(j.order))
	}
}

// take makes a hole the current one, where its rows have brought it so far.
func (j *judgement) take(h *hole) {
	at := &j.answer.Positions[h.position]
	j.clearing.take(at.At.plus(h.shift), at.Mark.Frame, 0.5*j.surface.Positions[h.position].Cutout)
}

// plan settles how position p is to be opened: with its lines where they move
// and the hole then clears, else by its own move.
func (j *judgement) plan(p int) {
	at := &j.answer.Positions[p]
	plan := Plan{Clears: true, Find: at.Find}
	if k := j.holeOf[p]; k >= 0 {
		h := &j.holes[k]
		for _, t := range at.Timbers {
			plan.Hit = max(plan.Hit, t.Hit)
		}
		if h.shifts > 0 || h.alone != (Vec{}) {
			j.take(h)
			plan.Move, plan.Hit = h.shift, j.clearing.worstAt(at.At.plus(h.shift))
			if h.shifts == 0 || plan.Hit > HitLimit {
				plan.Move, plan.Hit = h.alone, j.clearing.worstAt(at.At.plus(h.alone))
			}
			plan.Find = j.find(p, plan.Move)
		}
		plan.Clears = plan.Hit <= HitLimit
	}
	for i, d := range at.Mark.From {
		plan.Offsets[i] = at.SetOut[d].Value + j.normals[d].dot(plan.Move)
	}
	at.Plan = plan
}

// find returns the chance that position p's tail is within reach of its hole once
// the hole is moved by m: the covariance of p - h and the tail's own straying.
func (j *judgement) find(p int, m Vec) float64 {
	at, pos := &j.answer.Positions[p], &j.surface.Positions[p]
	c, stray := at.Mark.Cov, pos.TailSigma*pos.TailSigma
	return inCircle(Cov{c.UU + stray, c.UV, c.VV + stray}, m.times(-1), pos.Reach)
}
