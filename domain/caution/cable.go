package caution

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// Figures of cables concealed in walls and joists: BS 7671, 522.6.201 and 522.6.202.
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
	// Plate is how wide and high an accessory is taken to be, mm: a single plate.
	// Common practice, no source.
	Plate = 86.0
)

var (
	cableSource = Source{Document: "BS 7671:2018+A2:2022", Clause: "522.6.202 and 522.6.203"}
	joistSource = Source{Document: "BS 7671:2018+A2:2022", Clause: "522.6.201"}
)

// Accessory is a socket, switch or other point on a wall: the middle and the
// size of its plate, mm. X runs along the wall, Y up from the floor.
type Accessory struct {
	Name          string
	At            Point
	Width, Height float64
}

// CableWall is a wall face as it concerns concealed cables, mm.
type CableWall struct {
	Width, Height float64
	// AngleLeft and AngleRight: the wall meets another there.
	AngleLeft, AngleRight bool
	Accessories           []Accessory
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

// safe is how a cable is run, for a sentence.
const safe = "within 150 mm of the top of the wall or of a corner, or straight up, down or across from an accessory"

// Route returns what to mind about a straight run concealed in a wall; false if it
// lies where it is expected.
func (w CableWall) Route(a, b Point) (Caution, bool) {
	return Caution{"cable_route", fmt.Sprintf("The cable is outside the safe zones. Run it %s; otherwise give it RCD or "+
			"mechanical protection. In a metal-framed wall it needs one of them at any depth.", safe), cableSource},
		!w.Expected(a, b)
}

// Hole returns what concealed cables mean for a hole: whether it lies where one is
// expected, and how its own is to run.
func (w CableWall) Hole(name string, at Point) Caution {
	text := name + " is outside the safe zones of this wall as it is recorded; a cable may run there all the same."
	if where := w.where(at); where != "" {
		text = name + " lies " + where + ", where concealed cables are to be expected."
	}
	return Caution{"cable_zone", text + " Scan before you cut. Run cables " + safe +
		". A wall of 100 mm or less has the " +
		"zones of its other side too.", cableSource}
}

// where says in which zone a place lies; empty if in none.
func (w CableWall) where(at Point) string {
	switch {
	case at.Y >= w.Height-CableStrip-edge:
		return "within 150 mm of the top of the wall"
	case w.AngleLeft && at.X <= CableStrip+edge, w.AngleRight && at.X >= w.Width-CableStrip-edge:
		return "within 150 mm of a corner"
	}
	for _, a := range w.Accessories {
		switch {
		case math.Abs(at.X-a.At.X) <= a.Width/2+edge && at.Y < a.At.Y:
			return "straight below " + a.Name
		case math.Abs(at.X-a.At.X) <= a.Width/2+edge:
			return "straight above " + a.Name
		case math.Abs(at.Y-a.At.Y) <= a.Height/2+edge:
			return "straight across from " + a.Name
		}
	}
	return ""
}

// JoistCable is for a cable that goes through joists.
var JoistCable = Caution{"cable_joist", "Where a cable goes through a joist keep it 50 mm from the top and from the " +
	"bottom.", joistSource}

// NearEdge is for a cable nearer than JoistCover to an edge of a joist, as one in a
// notch is.
var NearEdge = Caution{"cable_notch", "The cable is less than 50 mm from the edge of the joist. Give it mechanical " +
	"protection that no nail or screw can go through, such as a steel plate over the notch.", joistSource}
