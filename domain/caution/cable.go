package caution

import (
	"cmp"
	"math"
	"slices"
)

// Figures of cables concealed in walls.
//
// BS 7671, 522.6.202 to 204; read at second hand (the clause's text on a trade
// page). JoistCover: 522.6.201, from memory.
const (
	// CableDepth: a cable at least this deep below the face, mm, may run
	// anywhere in a wall that is not metal-framed.
	CableDepth = 50.0
	// CableStrip: within this of the wall's top or of an angle of two walls, mm.
	CableStrip = 150.0
	// ThinWall: up to this thickness, mm, the zones of a point pass to the
	// wall's other side, if its place can be told from there.
	ThinWall = 100.0
	// JoistCover: a cable through a joist or batten keeps this from its top
	// and bottom, mm.
	JoistCover = 50.0
)

var cableSource = Source{"BS 7671", "522.6.202 to 522.6.204", "2018", Secondary}

// Accessory is a socket, switch or other point on a wall: the middle and the
// size of its plate, mm. X runs along the wall, Y up from the floor.
type Accessory struct {
	At            Point
	Width, Height float64
}

// CableWall is a wall face as it concerns concealed cables, mm.
type CableWall struct {
	Width, Height float64
	// AngleLeft and AngleRight: the wall meets another there.
	AngleLeft, AngleRight bool
	Accessories           []Accessory
	MetalFrame            bool // of a metal-framed wall, where depth does not help
}

// WithOtherSide returns the wall with the points of its other side added, whose
// zones pass through a wall up to ThinWall thick if their place can be told
// from this side (the caller knows that). X of the other side runs the other
// way. A thicker wall is returned unchanged.
func (w CableWall) WithOtherSide(points []Accessory, thickness float64) CableWall {
	if thickness > ThinWall {
		return w
	}
	w.Accessories = slices.Clone(w.Accessories)
	for _, a := range points {
		a.At.X = w.Width - a.At.X
		w.Accessories = append(w.Accessories, a)
	}
	return w
}

// rect is a closed rectangle.
type rect struct{ x0, y0, x1, y1 float64 }

// zones returns the parts of the wall where a cable may be expected.
func (w CableWall) zones() []rect {
	out := []rect{{0, w.Height - CableStrip, w.Width, w.Height}}
	if w.AngleLeft {
		out = append(out, rect{0, 0, CableStrip, w.Height})
	}
	if w.AngleRight {
		out = append(out, rect{w.Width - CableStrip, 0, w.Width, w.Height})
	}
	for _, a := range w.Accessories {
		out = append(out,
			rect{a.At.X - a.Width/2, 0, a.At.X + a.Width/2, w.Height},
			rect{0, a.At.Y - a.Height/2, w.Width, a.At.Y + a.Height/2})
	}
	return out
}

// Expected reports whether all of a straight run from a to b lies where a cable
// may be expected: along the wall's top or an angle, or straight up, down or
// across from a point. Edges are inside.
func (w CableWall) Expected(a, b Point) bool {
	type span struct{ from, to float64 }
	var in []span
	for _, z := range w.zones() {
		if from, to, ok := z.clip(a, b); ok {
			in = append(in, span{from, to})
		}
	}
	slices.SortFunc(in, func(s, t span) int { return cmp.Compare(s.from, t.from) })
	done := 0.0
	for _, s := range in {
		if s.from <= done+1e-9 {
			done = math.Max(done, s.to)
		}
	}
	return len(in) > 0 && in[0].from <= 1e-9 && done >= 1-1e-9
}

// clip returns the part of the way from a (0) to b (1) that lies in the
// rectangle.
func (r rect) clip(a, b Point) (from, to float64, ok bool) {
	from, to = 0, 1
	for _, axis := range [2][4]float64{{a.X, b.X, r.x0, r.x1}, {a.Y, b.Y, r.y0, r.y1}} {
		start, d, low, high := axis[0], axis[1]-axis[0], axis[2], axis[3]
		if d == 0 {
			if start < low-edge || start > high+edge {
				return 0, 0, false
			}
			continue
		}
		t0, t1 := (low-start)/d, (high-start)/d
		from, to = math.Max(from, math.Min(t0, t1)), math.Min(to, math.Max(t0, t1))
	}
	return from, to, from <= to
}

// Cable returns what to mind about a straight run concealed in a wall at a
// depth below the face, mm; nil if it lies deep enough or where it is expected.
func (w CableWall) Cable(a, b Point, depth float64) []Caution {
	var out []Caution
	if !w.Expected(a, b) && (depth < CableDepth || w.MetalFrame) {
		out = append(out, Caution{"cable_route",
			"The cable runs where nobody expects one. Run it within 150 mm of the wall's top or corner, or straight up, down " +
				"or across from a point, or protect it.",
			cableSource})
	}
	if w.MetalFrame {
		out = append(out, Caution{"cable_metal_frame",
			"In a metal-framed wall a cable needs a residual current device or mechanical protection at any depth.",
			cableSource})
	}
	return out
}

// JoistCable is for a cable that goes through joists.
var JoistCable = Caution{"cable_joist",
	"Where a cable goes through a joist keep it 50 mm from the top and from the bottom.",
	Source{"BS 7671", "522.6.201", "2018", Memory}}
