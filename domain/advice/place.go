package advice

import (
	"math"

	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Mark is one offset to mark.
type Mark struct {
	Value float64 `json:"value" doc:"mm, to the middle of the hole."`
	From  string  `json:"from"`            // "south wall"
	State string  `json:"state,omitempty"` // of a face today: "skimmed"
	Side  string  `json:"side,omitempty"`  // "towards the north wall", of what has two
}

// Says is where the offset is taken from: "from south wall, skimmed".
func (m Mark) Says() string {
	out := "from " + m.From
	if m.State != "" {
		out += ", " + m.State
	}
	if m.Side != "" {
		out += " " + m.Side
	}
	return out
}

// Mark is an offset from datum k as people say it: with the state of a face today,
// and the side of a line, which has two, and of a face where the offset lies
// behind it.
func (v *Surface) Mark(k int, value float64) Mark {
	d := &v.Surface.Datums[k]
	m := Mark{Value: math.Abs(value), From: d.ID}
	if d.Kind == "face" {
		m.From, m.State = words.Wall(d.ID), words.StateOf(d.Now)
	}
	if d.Kind == "line" || d.Kind == "face" && value < 0 {
		m.Side = v.side(k, value)
	}
	return m
}

func (v *Surface) side(k int, value float64) string {
	d := &v.Geometry.Datums[k]
	n := Normal(d)
	step := math.Copysign(100, value)
	middle := geometry.Vec{U: (d.A.U + d.B.U) / 2, V: (d.A.V + d.B.V) / 2}
	switch said := v.Towards(middle, geometry.Vec{U: middle.U + step*n.U, V: middle.V + step*n.V}); {
	case said != "":
		return said
	case value < 0:
		return "on its right"
	}
	return "on its left"
}

// Towards names the face that a move goes to: the one that it comes nearer to by
// most; "" where it comes nearer to none.
func (v *Surface) Towards(from, to geometry.Vec) string {
	best, name := 0.5, ""
	for k := range v.Geometry.Datums {
		if d := &v.Geometry.Datums[k]; d.Kind == geometry.Face {
			if nearer := toLine(from, d.A, d.B) - toLine(to, d.A, d.B); nearer > best {
				best, name = nearer, "towards the "+words.Wall(v.Surface.Datums[k].ID)
			}
		}
	}
	return name
}

// toLine returns the distance from p to the line from a to b, which ends, in mm.
func toLine(p, a, b geometry.Vec) float64 {
	d := geometry.Vec{U: b.U - a.U, V: b.V - a.V}
	r := geometry.Vec{U: p.U - a.U, V: p.V - a.V}
	along := min(max(Dot(r, d)/Dot(d, d), 0), 1)
	return math.Hypot(r.U-along*d.U, r.V-along*d.V)
}

// Hole returns where the centre of a hole is to be, in the frame.
func (v *Surface) Hole(i int) geometry.Vec {
	a := &v.Answer.Positions[i]
	return geometry.Vec{U: a.At.U + a.Plan.Move.U, V: a.At.V + a.Plan.Move.V}
}

// nearest returns the timber with the smallest gap to a hole as it is to be cut, and
// the gap in mm from edge to edge; -1 if the surface has none.
func (v *Surface) nearest(i int) (int, float64) {
	best, least := -1, math.Inf(1)
	for k := range v.Geometry.Timbers {
		if gap := gapTo(&v.Geometry.Timbers[k], v.Hole(i), v.Geometry.Positions[i].Cutout/2); gap < least {
			best, least = k, gap
		}
	}
	return best, least
}

// worst returns the timber that a hole over its tail would most likely meet, or -1
// if none is likely enough to matter.
func (v *Surface) worst(i int) int {
	a := &v.Answer.Positions[i]
	worst := -1
	for k := range a.Timbers {
		if a.Timbers[k].Hit > geometry.HitLimit && (worst < 0 || a.Timbers[k].Hit > a.Timbers[worst].Hit) {
			worst = k
		}
	}
	return worst
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

// Normal returns the direction in which the offset from a face or line grows.
func Normal(d *geometry.Datum) geometry.Vec {
	u, v := d.B.U-d.A.U, d.B.V-d.A.V
	l := math.Hypot(u, v)
	return geometry.Vec{U: -v / l, V: u / l}
}

// Dot is the dot product.
func Dot(a, b geometry.Vec) float64 { return a.U*b.U + a.V*b.V }

// shut says why nothing is cut in a surface, from its room sheet alone: its own
// boards and plaster are not all on. A sheet says nothing of sign-offs.
func shut(s *roomsheet.Surface) string {
	last := ""
	for _, l := range s.Layers {
		if l.Stage != words.Decoration.String() && l.Stage != words.SecondFix.String() {
			last = l.ID
		}
	}
	if on := func() bool {
		seen := false
		for _, l := range s.Layers {
			seen = seen || l.ID == last
			if l.ID == s.Now {
				return seen
			}
		}
		return last == ""
	}(); on {
		return ""
	}
	return NotBefore
}
