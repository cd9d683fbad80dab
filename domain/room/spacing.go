package room

import (
	"math"
	"strconv"

	"lathmark/domain/fault"
	"lathmark/domain/roomsheet"
)

// Grid is a schedule spaced evenly: rows × columns with half a space to the
// walls.
type Grid struct {
	Rows, Columns int
	Prefix        string // "D": D1, D2 ...
	From          int    // first number; 0: 1
	Kind          string
	Cutout        float64
}

// Spaced returns the positions of a grid over the box round an outline, leaving
// out those that fall outside the outline. Rows go up, columns to the right.
// Faults: BadInput.
func Spaced(outline []roomsheet.Point, g Grid) ([]PositionDraft, error) {
	if g.Rows < 1 || g.Columns < 1 || g.Rows*g.Columns > 500 {
		return nil, &fault.Error{Kind: fault.BadInput, Msg: "A grid has one to 500 positions.",
			Fields: []fault.Field{{Path: "rows", Wrong: "rows and columns do not make 1 to 500",
				Mend: "Give how many rows and how many in a row"}}}
	}
	low, high := Box(outline)
	n := max(g.From, 1)
	var out []PositionDraft
	for row := range g.Rows {
		for col := range g.Columns {
			p := roomsheet.Point{
				round(low[0] + (high[0]-low[0])*(float64(col)+0.5)/float64(g.Columns)),
				round(low[1] + (high[1]-low[1])*(float64(row)+0.5)/float64(g.Rows)),
			}
			if !inside(outline, p) {
				continue
			}
			out = append(out, PositionDraft{Name: g.Prefix + strconv.Itoa(n), Kind: g.Kind, Cutout: g.Cutout, Planned: &p})
			n++
		}
	}
	return out, nil
}

// Box is the least rectangle with upright sides round some points.
func Box(outline []roomsheet.Point) (low, high roomsheet.Point) {
	low, high = outline[0], outline[0]
	for _, p := range outline {
		for k := range 2 {
			low[k], high[k] = min(low[k], p[k]), max(high[k], p[k])
		}
	}
	return low, high
}

// inside reports whether a place is inside an outline, by counting walls that a
// line to the right of it meets.
func inside(outline []roomsheet.Point, p roomsheet.Point) bool {
	in := false
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		if (a[1] > p[1]) != (b[1] > p[1]) && p[0] < a[0]+(p[1]-a[1])*(b[0]-a[0])/(b[1]-a[1]) {
			in = !in
		}
	}
	return in
}

// clearance is what a planned hole keeps from a timber's edge, mm: room for the
// clips of a fitting and for a timber that is not quite where it is drawn.
// Common practice, no source.
const clearance = 25.0

// OffTimbers moves planned positions by the least that brings each clear of
// every timber: across the one it is on. It tells which stay on a timber
// because no move within half a bay clears.
func OffTimbers(drafts []PositionDraft, timbers []Timber) (moved []PositionDraft, stuck []string) {
	for _, d := range drafts {
		if d.Planned != nil {
			p, ok := clear(*d.Planned, d.Cutout/2+clearance, timbers)
			if !ok {
				stuck = append(stuck, d.Name)
			}
			d.Planned = &p
		}
		moved = append(moved, d)
	}
	return moved, stuck
}

// halfBay is the farthest a position is moved off a timber, mm: half of joists
// at 600 centres, the widest usual spacing.
const halfBay = 300.0

// clear moves p out of every timber's way; it stays where it cannot.
func clear(p roomsheet.Point, need float64, timbers []Timber) (roomsheet.Point, bool) {
	if gap(p, timbers) >= need {
		return p, true
	}
	best, least := p, math.Inf(1)
	for _, t := range timbers {
		n := t.normal()
		off := across(p, t)
		for _, to := range []float64{t.Width/2 + need, -t.Width/2 - need} {
			move := to - off
			q := roomsheet.Point{round(p[0] + n[0]*move), round(p[1] + n[1]*move)}
			if math.Abs(move) < least && math.Abs(move) <= halfBay && gap(q, timbers) >= need-0.01 {
				best, least = q, math.Abs(move)
			}
		}
	}
	return best, !math.IsInf(least, 1)
}

// gap is the least distance from p to the edge of a timber.
func gap(p roomsheet.Point, timbers []Timber) float64 {
	least := math.Inf(1)
	for _, t := range timbers {
		least = min(least, ToLine(p, t.A, t.B)-t.Width/2)
	}
	return least
}

func (t *Timber) normal() roomsheet.Point {
	l := t.length()
	return roomsheet.Point{-(t.B[1] - t.A[1]) / l, (t.B[0] - t.A[0]) / l}
}

// across is how far p is off the timber's centre line, signed.
func across(p roomsheet.Point, t Timber) float64 {
	n := t.normal()
	return (p[0]-t.A[0])*n[0] + (p[1]-t.A[1])*n[1]
}

// Joists returns timbers at even spacing over an outline, their centre lines
// along u or along v, the first at an offset from the low side of the box round
// it. Names are prefix and number. Faults: BadInput.
func Joists(outline []roomsheet.Point, alongU bool, first, spacing, width, depth float64) ([]Timber, error) {
	low, high := Box(outline)
	k := 0
	if alongU {
		k = 1
	}
	if !(spacing >= 50 && first >= 0 && width >= 1 && width < spacing) {
		return nil, &fault.Error{Kind: fault.BadInput, Msg: "These joists cannot be drawn.",
			Fields: []fault.Field{{Path: "spacing", Wrong: "the spacing is under 50 mm, or under the joists' width",
				Mend: "Give the distance from centre to centre in millimetres"}}}
	}
	var out []Timber
	for at := low[k] + first; at < high[k]; at += spacing {
		a, b := low, high
		a[k], b[k] = at, at
		out = append(out, Timber{Name: "J" + strconv.Itoa(len(out)+1), A: a, B: b, Width: width, Depth: depth})
	}
	return out, nil
}
