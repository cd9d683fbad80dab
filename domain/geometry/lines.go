package geometry

import (
	"cmp"
	"math"
	"slices"
)

// hole is a position's hole as it is judged. Its middle is where the position
// is, until it is moved.
type hole struct {
	position int
	alone    Vec     // its own smallest move; zero where that leaves the tail out of reach
	good     float64 // the least chance of finding the tail that a line's move may leave
	limit    float64 // half the joist spacing at the timber hit worst; +Inf if none is hit
	shifts   int     // how many rows move it
	shift    Vec     // by how much in all, so far
}

// stays is what a line's move leaves at least of the chance that a hole has which
// has to move anyway: its own move is hardly better. Our own figure.
const stays = 0.95

// needs reports whether the hole's own move goes more across a line with normal n
// than along it, so that it is the line that is in the way.
func (h *hole) needs(n Vec) bool {
	return h.alone != Vec{} && math.Abs(h.alone.dot(n)) >= h.alone.length()*math.Sqrt2/2
}

// lines returns the set-out lines: holes whose offsets from one datum lie
// within LineTolerance of each other, taken from the smallest offset on, so
// that the same offsets give the same lines in any order.
//
// A line is listed where two of its holes are marked from its datum. A room has
// as many lines as it has datums through nearly every row of fittings, and one
// that nobody, or only a single hole, is marked from would save no work. But
// once listed it carries every hole that lies on it, those marked from
// elsewhere too: it is the row that the eye follows, and where the line has to
// move none of it may stay behind.
func (j *judgement) lines() []SetOutLine {
	var out []SetOutLine
	for d := range j.surface.Datums {
		if j.surface.Datums[d].Kind == FixedPoint || j.markedFrom(d, j.order) < 2 {
			continue
		}
		offset := func(k int) float64 { return j.answer.Positions[j.holes[k].position].SetOut[d].Value }
		slices.SortFunc(j.order, func(a, b int) int { return cmp.Or(cmp.Compare(offset(a), offset(b)), cmp.Compare(a, b)) })
		for from := 0; from < len(j.order); {
			to := from + 1
			for to < len(j.order) && offset(j.order[to])-offset(j.order[from]) <= LineTolerance {
				to++
			}
			if on := j.order[from:to]; j.markedFrom(d, on) >= 2 {
				out = append(out, j.line(d, on))
			}
			from = to
		}
	}
	return out
}

// markedFrom counts which of some holes are marked from datum d.
func (j *judgement) markedFrom(d int, holes []int) int {
	n := 0
	for _, k := range holes {
		if from := j.answer.Positions[j.holes[k].position].Mark.From; from[0] == d || from[1] == d {
			n++
		}
	}
	return n
}

func (j *judgement) line(d int, holes []int) SetOutLine {
	l := SetOutLine{Datum: d, Clears: true, Positions: make([]int, len(holes))}
	for i, k := range holes {
		l.Positions[i] = j.holes[k].position
		l.Offset += j.answer.Positions[l.Positions[i]].SetOut[d].Value / float64(len(holes))
	}
	slices.Sort(l.Positions)
	return l
}

// row is what moves as one: lines that run the same way and share holes, such
// as one row of fittings taken from two opposite walls.
type row struct {
	lines  []int
	holes  []int
	normal Vec     // of its first line, the way it moves
	shift  float64 // along normal, mm
}

// shiftLines moves the rows that a hole on them needs moved, the one that has
// to move least first, the next from where that has left its holes: a hole on
// two rows gets both shifts, and the second allows for the first, which may
// have taken off it the hole that was in the way. Where nothing clears a row and
// leaves each of its holes good, it stays and the holes that need it moved move
// alone.
func (j *judgement) shiftLines(lines []SetOutLine) {
	rows := j.rows(lines)
	for len(rows) > 0 {
		least, first := math.Inf(1), -1
		for i := range rows {
			limit, needed := j.needed(&rows[i])
			s, ok := 0.0, false
			if needed {
				s, ok = j.rowShift(&rows[i], limit)
			}
			for _, k := range rows[i].lines {
				lines[k].Clears = ok || !needed
			}
			if rows[i].shift = s; ok && math.Abs(s) < math.Abs(least)-level {
				least, first = s, i
			}
		}
		if first < 0 {
			return
		}
		j.shift(lines, &rows[first])
		rows = slices.Delete(rows, first, first+1)
	}
}

func (j *judgement) shift(lines []SetOutLine, r *row) {
	for _, k := range r.lines {
		lines[k].Shift = r.shift * r.normal.dot(j.normals[lines[k].Datum])
	}
	for _, k := range r.holes {
		j.holes[k].shifts++
		j.holes[k].shift = j.holes[k].shift.along(r.normal, r.shift)
	}
}

// rows gathers the lines into rows, leaving out those that no hole needs moved.
func (j *judgement) rows(lines []SetOutLine) []row {
	var out []row
	done := make([]bool, len(lines))
	for i := range lines {
		if n := j.normals[lines[i].Datum]; !done[i] && slices.ContainsFunc(lines[i].Positions,
			func(p int) bool { return j.holes[j.holeOf[p]].needs(n) }) {
			out = append(out, j.row(lines, i, done))
		}
	}
	return out
}

// row gathers the lines that make one row with line i, and the holes on them in
// the order of their positions; it marks the lines as done.
func (j *judgement) row(lines []SetOutLine, i int, done []bool) row {
	r := row{normal: j.normals[lines[i].Datum]}
	on := make([]bool, len(j.holes))
	join := func(k int) {
		done[k] = true
		r.lines = append(r.lines, k)
		for _, p := range lines[k].Positions {
			on[j.holeOf[p]] = true
		}
	}
	join(i)
	for grown := true; grown; {
		grown = false
		for k := range lines {
			if done[k] || math.Abs(r.normal.cross(j.normals[lines[k].Datum])) > parallel {
				continue
			}
			if slices.ContainsFunc(lines[k].Positions, func(p int) bool { return on[j.holeOf[p]] }) {
				join(k)
				grown = true
			}
		}
	}
	for k, is := range on {
		if is {
			r.holes = append(r.holes, k)
		}
	}
	return r
}

// needed reports whether a hole of the row, where it is by now, still needs the
// row moved, and by how much it may: half the joist spacing, the smallest of
// those holes'. A timber without parallel neighbours, such as a noggin, does not
// set a whole row free to leave its place: then the surface's widest spacing
// counts.
func (j *judgement) needed(r *row) (limit float64, needed bool) {
	limit = math.Inf(1)
	for _, k := range r.holes {
		if h := &j.holes[k]; h.needs(r.normal) {
			j.take(h)
			if slices.Max(j.clearing.hits) > HitLimit {
				limit, needed = min(limit, h.limit), true
			}
		}
	}
	if math.IsInf(limit, 1) {
		limit = 0.5 * j.clearing.widest()
	}
	return limit, needed
}

// stretch is where along a row's normal some hole of it is barred, in mm.
type stretch struct{ lo, hi float64 }

// rowShift returns the smallest shift along the row's normal, up to limit, that
// clears every hole of it of every timber and leaves each good. The chance of
// finding a tail falls on and on the further its hole goes, so that where the
// first free place is too far for one hole, none beyond it will do. Of two that are equally small the
// one that leaves the row further from timbers that it does not hit now is
// taken, else the one along the normal. It returns 0 and false if there is
// none.
func (j *judgement) rowShift(r *row, limit float64) (float64, bool) {
	holes, n := r.holes, r.normal
	j.barred = j.barred[:0]
	for _, k := range holes {
		j.take(&j.holes[k])
		zones := j.clearing.grow()
		for i := range zones {
			z := &zones[i]
			if lo, hi, ok := z.crossing(j.clearing.h, n); !ok || lo > limit || hi < -limit {
				continue
			}
			if lo, hi, ok := z.stretch(j.clearing.h, n); ok {
				j.barred = append(j.barred, stretch{lo, hi})
			}
		}
	}
	plus, minus := j.free(1), -j.free(-1)
	if !j.stayGood(holes, n.times(plus)) {
		plus = math.Inf(1)
	}
	if !j.stayGood(holes, n.times(minus)) {
		minus = math.Inf(-1)
	}
	switch {
	case min(plus, -minus) > limit:
		return 0, false
	case math.Abs(plus+minus) > level:
		if plus < -minus {
			return plus, true
		}
		return minus, true
	case j.room(holes, n.times(minus)) > j.room(holes, n.times(plus))+level:
		return minus, true
	}
	return plus, true
}

// stayGood reports whether each of some holes is good once it is shifted by m.
func (j *judgement) stayGood(holes []int, m Vec) bool {
	return !slices.ContainsFunc(holes, func(k int) bool {
		h := &j.holes[k]
		return j.find(h.position, h.shift.plus(m)) < h.good
	})
}

// free returns the first place at or beyond 0, going in the direction way, that no
// stretch bars, as a distance.
func (j *judgement) free(way float64) float64 {
	s := 0.0
	for moved := true; moved; {
		moved = false
		for _, b := range j.barred {
			lo, hi := min(way*b.lo, way*b.hi), max(way*b.lo, way*b.hi)
			if s > lo && s < hi {
				s, moved = hi, true
			}
		}
	}
	return s
}

// room returns the least gap that holes shifted by m have to timbers that they do
// not hit where they are.
func (j *judgement) room(holes []int, m Vec) float64 {
	least := math.Inf(1)
	for _, k := range holes {
		j.take(&j.holes[k])
		for i := range j.clearing.bars {
			if j.clearing.hits[i] <= HitLimit {
				least = min(least, j.clearing.bars[i].gap(j.clearing.h.plus(m), j.clearing.r))
			}
		}
	}
	return least
}
