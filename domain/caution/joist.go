package caution

import (
	"fmt"
	"math"
)

// JoistRule is one published set of limits for cuts in solid timber joists.
// Fractions are of the depth D or of the clear span, places from the nearer
// support. A zero field sets no limit.
type JoistRule struct {
	Name   string
	Source Source
	// A notch: at most NotchDepth·D deep and NotchLength·D long, all of it
	// between NotchFrom and NotchTo of the span.
	NotchDepth, NotchLength, NotchFrom, NotchTo float64
	// EndNotch: a notch that reaches a support, at most this times D deep; its
	// place then does not matter.
	EndNotch float64
	// A hole: at most Hole·D in diameter, all of it between HoleFrom and
	// HoleTo of the span, on the centre line or HoleEdge mm from the edges.
	Hole, HoleFrom, HoleTo, HoleEdge float64
	// HolesApart: centre to centre, in diameters of the larger hole.
	HolesApart float64
	// HolesClear and NotchClear: mm of timber between two holes, and between
	// a hole and a notch, along the joist.
	HolesClear, NotchClear float64
	// MaxDepth: deeper joists are for an engineer, mm.
	MaxDepth float64
}

// The published alternatives. They differ, and a firm keeps to one; none is
// preferred here.
var (
	// BS5268 is BS 5268-2 as TRADA restates it, on pages that agree. Withdrawn
	// standard, still quoted on site.
	BS5268 = JoistRule{Name: "BS 5268-2", Source: Source{Document: "BS 5268-2:2002, as restated by TRADA",
		Withdrawn: true},
		NotchDepth: 0.125, NotchFrom: 0.07, NotchTo: 0.25,
		Hole: 0.25, HoleFrom: 0.25, HoleTo: 0.40, HolesApart: 3, NotchClear: 100}

	// NHBC is NHBC Standards 2020, 6.4.18 Table 6; read in the document.
	NHBC = JoistRule{Name: "NHBC 6.4.18", Source: Source{Document: "NHBC Standards 2020", Clause: "6.4.18, Table 6",
		Known: Read},
		NotchDepth: 0.15, NotchFrom: 0.1, NotchTo: 0.2,
		Hole: 0.25, HoleFrom: 0.25, HoleTo: 0.40, HolesClear: 100, NotchClear: 100, MaxDepth: 250}

	// IRC is the US International Residential Code R502.8.1; the text of R802.7.1,
	// which has the same limits for rafters, was read where it is repeated.
	IRC = JoistRule{Name: "IRC R502.8.1", Source: Source{Document: "International Residential Code (US)",
		Clause: "R502.8.1"},
		NotchDepth: 1.0 / 6, NotchLength: 1.0 / 3, NotchTo: 1.0 / 3, EndNotch: 0.25,
		Hole: 1.0 / 3, HoleEdge: 50.8, HolesClear: 50.8, NotchClear: 50.8}

	// JoistRules lists all of them.
	JoistRules = []JoistRule{BS5268, NHBC, IRC}
)

// CentreTolerance is how far from the centre line a hole still counts as on
// it, mm. Our own: what can be marked with a rule on site; no source.
const CentreTolerance = 5.0

// Joist is a solid timber member on two supports, mm.
type Joist struct{ Depth, Span, Width float64 }

// Limits are a rule's figures for one joist, mm; places are from either
// support. A figure is 0 if the rule has none.
type Limits struct {
	MaxNotch, MaxNotchLength, NotchFrom, NotchTo, MaxEndNotch float64
	MaxHole, HoleFrom, HoleTo                                 float64
}

// Limits returns the rule's figures for a joist, exact; round them down to mark.
func (r JoistRule) Limits(j Joist) Limits {
	return Limits{
		MaxNotch: r.NotchDepth * j.Depth, MaxNotchLength: r.NotchLength * j.Depth,
		NotchFrom: r.NotchFrom * j.Span, NotchTo: r.NotchTo * j.Span, MaxEndNotch: r.EndNotch * j.Depth,
		MaxHole: r.Hole * j.Depth, HoleFrom: r.HoleFrom * j.Span, HoleTo: r.HoleTo * j.Span,
	}
}

// Cut is one hole or notch in a joist, mm.
type Cut struct {
	Notch bool    // else a hole
	At    float64 // its middle, from one support along the joist, 0 to the span
	Size  float64 // diameter of a hole, depth of a notch
	// Off is how far a hole's centre is from the joist's centre line.
	Off float64
}

// half returns half the cut's extent along the joist: 0 of a notch, whose length
// nobody records.
func (c Cut) half() float64 {
	if c.Notch {
		return 0
	}
	return c.Size / 2
}

func (c Cut) word() string {
	if c.Notch {
		return "notch"
	}
	return "hole"
}

// Judge returns a caution for every way in which the cuts of a joist break the
// rule's limits; none if they keep to it. The limits themselves are allowed.
func (r JoistRule) Judge(j Joist, cuts []Cut) []Caution {
	var out []Caution
	add := func(code, format string, args ...any) {
		out = append(out, Caution{"joist/" + code, fmt.Sprintf(format, args...) + ". Ask an engineer.", r.Source})
	}
	if over(j.Depth, r.MaxDepth) && len(cuts) > 0 {
		add("depth", "The joist is deeper than %.0f mm", r.MaxDepth)
	}
	for i, c := range cuts {
		if c.Notch {
			r.judgeNotch(j, c, add)
		} else {
			r.judgeHole(j, c, add)
		}
		for _, other := range cuts[i+1:] {
			r.judgePair(c, other, add)
		}
	}
	return out
}

type adder func(code, format string, args ...any)

func (r JoistRule) judgeNotch(j Joist, c Cut, add adder) {
	l, near := r.Limits(j), c.fromSupport(j)
	atEnd := r.EndNotch > 0 && near-c.half() <= edge
	most := l.MaxNotch
	if atEnd {
		most = l.MaxEndNotch
	}
	if over(c.Size, most) {
		add("notch_depth", "The notch is %.0f mm deep, the most is %.0f mm", c.Size, math.Floor(most))
	}
	if !atEnd {
		r.judgePlace(c, near, l.NotchFrom, l.NotchTo, add)
	}
}

func (r JoistRule) judgeHole(j Joist, c Cut, add adder) {
	l := r.Limits(j)
	if over(c.Size, l.MaxHole) {
		add("hole_size", "The hole is %.0f mm across, the most is %.0f mm", c.Size, math.Floor(l.MaxHole))
	}
	r.judgePlace(c, c.fromSupport(j), l.HoleFrom, l.HoleTo, add)
	left := j.Depth/2 - math.Abs(c.Off) - c.Size/2
	switch {
	case r.HoleEdge > 0 && left < r.HoleEdge-edge:
		add("hole_edge", "The hole leaves %.0f mm to the edge, the least is %.0f mm", math.Max(0, left),
			math.Ceil(r.HoleEdge))
	case r.HoleEdge == 0 && math.Abs(c.Off) > CentreTolerance:
		add("hole_centre", "The hole is %.0f mm off the centre line of the joist", math.Abs(c.Off))
	}
}

// judgePlace adds nothing if the rule says nothing about the place.
func (r JoistRule) judgePlace(c Cut, near, from, to float64, add adder) {
	if to > 0 && (near-c.half() < from-edge || near+c.half() > to+edge) {
		add(c.word()+"_place", "The %s is %.0f mm from the nearer support; keep it between %.0f and %.0f mm from the support",
			c.word(), near, math.Max(0, math.Ceil(from-edge)), math.Floor(to+edge))
	}
}

func (r JoistRule) judgePair(a, b Cut, add adder) {
	between := math.Abs(a.At - b.At)
	clear := between - a.half() - b.half()
	switch {
	case a.Notch && b.Notch:
	case a.Notch != b.Notch:
		if clear < r.NotchClear-edge {
			add("apart", "Hole and notch are %.0f mm apart, the least is %.0f mm", math.Max(0, clear), math.Ceil(r.NotchClear))
		}
	case between < r.HolesApart*math.Max(a.Size, b.Size)-edge:
		add("apart", "Two holes are %.0f mm apart centre to centre, the least is %.0f mm", between,
			math.Ceil(r.HolesApart*math.Max(a.Size, b.Size)))
	case clear < r.HolesClear-edge:
		add("apart", "Two holes leave %.0f mm between them, the least is %.0f mm", math.Max(0, clear),
			math.Ceil(r.HolesClear))
	}
}

// fromSupport returns how far the cut's middle is from the nearer support.
func (c Cut) fromSupport(j Joist) float64 { return math.Min(c.At, j.Span-c.At) }

// over reports whether v is above a limit; a limit of 0 is none.
func over(v, limit float64) bool { return limit > 0 && v > limit+edge }

// Webbed is for joists that are not solid timber. NHBC Standards 2020, 6.4.18;
// read in the document.
var Webbed = Caution{"joist/webbed",
	"An I-joist is not cut without its maker's approval. In a metal web joist run through the gaps and cut nothing.",
	NHBC.Source}

// NotAJoist is for a rafter or a stud that is cut: the limits of JoistRules are
// for joists.
var NotAJoist = Caution{"joist/other",
	"The limits for holes and notches here are for joists. Before you cut a rafter or a stud, ask an engineer.",
	site}
