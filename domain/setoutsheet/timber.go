package setoutsheet

import (
	"math"
	"slices"

	"lathmark/domain/geometry"
	"lathmark/domain/words"
)

// timber prints the timber nearest to a hole as it is to be opened, and what to
// do if it is too near.
func (p *paper) timber(v *view, i int) {
	a := &v.Answer.Positions[i]
	if a.Plan.Move != (geometry.Vec{}) {
		p.para(indent, "MOVED "+v.moved(i))
	}
	k, gap := v.nearest(i)
	if k < 0 {
		return
	}
	id := v.Surface.Timbers[k].ID
	switch {
	case !a.Plan.Clears && gap < 0:
		p.para(indent, "STOP: over "+id+" by "+words.MM(-gap)+", and no move clears. Do not open")
	case !a.Plan.Clears:
		p.para(indent, "STOP: "+id+" only "+words.MM(math.Floor(gap))+" away, and no move clears. Do not open")
	case gap < 0: // hardly any risk all the same: a timber's end, or a well-known one grazed
		p.para(indent, "timber "+id+" overlaps by "+words.MM(math.Ceil(-gap)))
	default:
		p.para(indent, "timber "+id+": "+words.MM(math.Floor(gap))+" from the edge")
	}
}

// nearest returns the timber with the smallest gap to a hole as it is to be
// opened, and the gap in mm from edge to edge; -1 if the surface has none.
func (v *view) nearest(i int) (int, float64) {
	best, least := -1, math.Inf(1)
	for k := range v.Geometry.Timbers {
		if gap := gapTo(&v.Geometry.Timbers[k], v.hole(i), v.Geometry.Positions[i].Cutout/2); gap < least {
			best, least = k, gap
		}
	}
	return best, least
}

// gapTo returns the clear distance in mm from the edge of a hole of radius r about
// h to a timber drawn as a rectangle; negative where they overlap, by the
// least that would part them. It is the adjustment's own gap for a hole that
// has not moved.
func gapTo(t *geometry.Timber, h geometry.Vec, r float64) float64 {
	u, v := t.B.U-t.A.U, t.B.V-t.A.V
	length := math.Hypot(u, v)
	u, v = u/length, v/length
	x := (h.U-t.A.U)*u + (h.V-t.A.V)*v
	y := (h.V-t.A.V)*u - (h.U-t.A.U)*v
	past, beside := max(-x, x-length), math.Abs(y)-t.Width/2
	if past > 0 && beside > 0 {
		return math.Hypot(past, beside) - r
	}
	return max(past, beside) - r
}

// moved returns how far and which way a hole is moved off its tail, and what
// moves with it: "31 nearer west, the whole line with it (D3 D7 D11)".
func (v *view) moved(i int) string {
	a := &v.Answer.Positions[i]
	var steps []string
	for n, k := range a.Mark.From {
		by := dot(normal(&v.Geometry.Datums[k]), a.Plan.Move)
		if math.Abs(by) >= 0.5 {
			steps = append(steps, v.step(k, a.Plan.Offsets[n]-by, by))
		}
	}
	said := words.List(steps)
	if said == "" {
		said = "less than 1"
	}
	for l := range v.Answer.Lines {
		line := &v.Answer.Lines[l]
		if line.Shift == 0 || !slices.Contains(line.Positions, i) {
			continue
		}
		said += ", the whole line moves (" + v.holes(line) + ")"
	}
	return said
}

// step returns a change of an offset: "31 nearer west".
func (v *view) step(k int, offset, by float64) string {
	if offset < 0 {
		by = -by
	}
	if by < 0 {
		return words.MM(-by) + " nearer " + v.Surface.Datums[k].ID
	}
	return words.MM(by) + " further from " + v.Surface.Datums[k].ID
}
