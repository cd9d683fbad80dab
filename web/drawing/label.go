package drawing

import "math"

// label is a text that stands beside what it names, wherever there is space for it.
type label struct {
	class string
	say   []wording // the best first
	// at returns the places where a text of a width may stand.
	at func(width float64) []place
	// key is what the key below the drawing says where a number alone finds
	// space; "" for what is left out instead.
	key   string
	tip   spotXY  // what it stands beside: a leader begins there
	reach float64 // how much of the leader what is there hides
	fixed bool    // it has only one place
	found []seat  // what seats returns
	set   *seat
}

// wording is one way to say a label; more is added on a wide page.
type wording struct {
	text, more string
	number     bool // of the key
	cost       float64
}

// place is where a text may stand, and what speaks against it.
type place struct {
	x, y   float64 // of the anchor, at the base of the text
	anchor string  // "start", "middle", "end"
	up     bool    // read from the right
	cost   float64
	leader bool
}

// reserve returns how wide a wording is at most, on a phone and on a wide page.
func (w wording) reserve(class string) float64 {
	if w.number {
		return keyRing * 2
	}
	return math.Max(widthOf(class, w.text, textTall), widthOf(class, w.text+w.more, wide(class)))
}

// boxAt returns what a text of a width takes up.
func (p place) boxAt(width float64) box {
	before := 0.0
	switch p.anchor {
	case "middle":
		before = width / 2
	case "end":
		before = width
	}
	if p.up {
		return box{p.x - ascent, p.y - width + before, p.x + descent, p.y + before}
	}
	return box{p.x - before, p.y - ascent, p.x - before + width, p.y + descent}
}

// centred returns the place of a text whose box has a middle.
func centred(c spotXY, up bool, cost float64) place {
	const drop = (ascent - descent) / 2
	if up {
		return place{x: c.x + drop, y: c.y, anchor: "middle", up: true, cost: cost}
	}
	return place{x: c.x, y: c.y + drop, anchor: "middle", cost: cost}
}

// around returns the places around a mark of a radius: close to it, and farther off,
// up to a distance, with a leader.
func around(p spotXY, r, width, far float64) []place {
	const drop = (ascent - descent) / 2
	out := []place{
		{x: p.x + r + 4, y: p.y - r/2, anchor: "start"}, {x: p.x - r - 4, y: p.y - r/2, anchor: "end", cost: 1},
		{x: p.x + r + 4, y: p.y + r/2 + ascent - descent, anchor: "start", cost: 1},
		{x: p.x - r - 4, y: p.y + r/2 + ascent - descent, anchor: "end", cost: 2},
		{x: p.x + r + 4, y: p.y + drop, anchor: "start", cost: 2}, {x: p.x - r - 4, y: p.y + drop, anchor: "end", cost: 3},
		{x: p.x, y: p.y - r - descent - 2, anchor: "middle", cost: 2},
		{x: p.x, y: p.y + r + ascent + 2, anchor: "middle", cost: 3},
	}
	for d := r + 28; d < far; d *= 1.45 {
		for k := range 12 {
			sin, cos := math.Sincos(float64(k) * math.Pi / 6)
			q := place{x: p.x + d*cos, y: p.y + d*sin + drop, anchor: "middle", cost: 12 + d/4, leader: true}
			switch {
			case cos > 0.3:
				q.anchor = "start"
			case cos < -0.3:
				q.anchor = "end"
			default:
				q.y += math.Copysign(lineTall/2, sin)
			}
			out = append(out, q)
		}
	}
	return out
}

// beside returns the places of a text along a line from a to b, gap units off
// it: at parts of its length, on its sides (1: the right, -1: the left). Text
// is level, or reads from the right along a line that is nearly upright.
func beside(a, b spotXY, gap, width float64, parts, sides []float64) []place {
	var out []place
	l := through(a, b)
	n := spotXY{-l.dy, l.dx} // to the right
	for _, up := range []bool{true, false} {
		steep, short := math.Abs(l.dy) > 0.99, width < 3*textTall
		if up && !steep {
			continue
		}
		w, h := width, lineTall
		if up {
			w, h = h, w
		}
		off := gap + math.Abs(n.x)*w/2 + math.Abs(n.y)*h/2
		for i, part := range parts {
			for k, side := range sides {
				cost := float64(2*i + k)
				if steep && up == short {
					cost += 4
				}
				t := part * dist(a, b)
				out = append(out, centred(spotXY{a.x + l.dx*t + n.x*off*side, a.y + l.dy*t + n.y*off*side}, up, cost))
			}
		}
	}
	return out
}

// box is what a label or a symbol takes up on the sheet.
type box struct{ x0, y0, x1, y1 float64 }

func (a box) over(b box) float64 {
	w := math.Min(a.x1, b.x1) - math.Max(a.x0, b.x0)
	h := math.Min(a.y1, b.y1) - math.Max(a.y0, b.y0)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h
}

// from returns how far a place is from the box, and where the box is nearest.
func (a box) from(p spotXY) (float64, spotXY) {
	q := spotXY{math.Min(math.Max(p.x, a.x0), a.x1), math.Min(math.Max(p.y, a.y0), a.y1)}
	return dist(p, q), q
}

// crossed reports whether a line from p to q meets the box (Liang and Barsky).
func (a box) crossed(p, q spotXY) bool {
	if math.Max(p.x, q.x) < a.x0 || math.Min(p.x, q.x) > a.x1 || math.Max(p.y, q.y) < a.y0 || math.Min(p.y, q.y) > a.y1 {
		return false
	}
	lo, hi := 0.0, 1.0
	for _, c := range [][2]float64{{p.x - q.x, p.x - a.x0}, {q.x - p.x, a.x1 - p.x}, {p.y - q.y, p.y - a.y0},
		{q.y - p.y, a.y1 - p.y}} {
		switch {
		case c[0] == 0 && c[1] < 0:
			return false
		case c[0] < 0:
			lo = math.Max(lo, c[1]/c[0])
		case c[0] > 0:
			hi = math.Min(hi, c[1]/c[0])
		}
	}
	return lo < hi
}
