package main

import (
	"math"
	"math/rand/v2"

	"lathmark/domain/geometry"
)

// The error rates of the trial. They are invented: nobody has counted.
const (
	misread      = 0.02 // a reading is out by 10, 50 or 100 mm
	wrongState   = 0.04 // the state noted is not the one taped from
	dabsLeast    = 10.0 // mm: dabs are even between least and most
	dabsMost     = 25.0
	timberSigma  = 5.0  // mm: a timber lies so far from where it is drawn
	tailSigma    = 15.0 // mm: a tail strays so far after it was taped
	faceSigma    = 10.0 // mm: a face lies so far from where it is drawn
	cutout       = 76.0 // mm: a downlight's hole
	reach        = cutout/2 + 40
	tailsPerRoom = 12
)

// site is a room with its truth. The surface is what is known of it: datums,
// planned build-ups and timbers as drawn; positions without measurements yet.
type site struct {
	known   geometry.Surface
	shift   []float64   // by datum: the true place less the drawn one, along its normal
	layers  [][]float64 // by datum: true thickness of each layer
	own     []float64   // of the ceiling's own layers
	timbers []geometry.Timber
	tape    []geometry.Vec // by position: where it was when it was taped
	tail    []geometry.Vec // by position: where its tail is when the hole is opened
}

// plan is the shape of a room, corner by corner, the room on the left.
type plan struct {
	name    string
	corners []geometry.Vec
	lean    float64 // of the first face
	steel   bool
}

var plans = []plan{
	{name: "kitchen with a steel", corners: []geometry.Vec{{U: 0, V: 0}, {U: 4800, V: 0}, {U: 4800, V: 3600},
		{U: 0, V: 3600}}, steel: true},
	{name: "bedroom", corners: []geometry.Vec{{U: 0, V: 0}, {U: 3600, V: 0}, {U: 3600, V: 3000}, {U: 0, V: 3000}}},
	{name: "L-shaped living room", corners: []geometry.Vec{{U: 0, V: 0}, {U: 5400, V: 0}, {U: 5400, V: 2600},
		{U: 3000, V: 2600}, {U: 3000, V: 4600}, {U: 0, V: 4600}}},
	{name: "out of square", corners: []geometry.Vec{{U: 0, V: 0}, {U: 4200, V: 0}, {U: 4450, V: 3300}, {U: 150, V: 3300}}},
	{name: "under a slope", corners: []geometry.Vec{{U: 0, V: 0}, {U: 4000, V: 0}, {U: 4000, V: 2800}, {U: 0, V: 2800}},
		lean: 35},
	{name: "landing", corners: []geometry.Vec{{U: 0, V: 0}, {U: 5200, V: 0}, {U: 5200, V: 1400}, {U: 0, V: 1400}}},
}

// newSite draws a room of a plan: its truth, and tails that hang where no
// timber is.
func newSite(rng *rand.Rand, p plan) *site {
	s := &site{known: geometry.Surface{Layers: []geometry.Layer{{Thickness: 12.5, Sigma: 0.5}, {Thickness: 3, Sigma: 1}},
		Now: 2}}
	for _, l := range s.known.Layers {
		s.own = append(s.own, l.Thickness+l.Sigma*rng.NormFloat64())
	}
	for i := range p.corners {
		d := geometry.Datum{Kind: geometry.Face, A: p.corners[i], B: p.corners[(i+1)%len(p.corners)], Sigma: faceSigma}
		if i == 0 {
			d.Lean = p.lean
		}
		s.addFace(rng, d)
	}
	if p.steel {
		s.known.Datums = append(s.known.Datums, geometry.Datum{
			Kind: geometry.FixedLine, A: geometry.Vec{V: 1500}, B: geometry.Vec{U: 4800, V: 1500}, Sigma: 2})
		s.shift = append(s.shift, 2*rng.NormFloat64())
		s.layers = append(s.layers, nil)
	}
	wide, deep := extent(p.corners)
	for u := 250.0; u < wide; u += 400 {
		t := geometry.Timber{A: geometry.Vec{U: u}, B: geometry.Vec{U: u, V: deep}, Width: 47, Sigma: timberSigma}
		s.known.Timbers = append(s.known.Timbers, t)
		off := timberSigma * rng.NormFloat64()
		t.A.U, t.B.U = t.A.U+off, t.B.U+off
		s.timbers = append(s.timbers, t)
	}
	for range tailsPerRoom {
		at := s.hang(rng, p.corners)
		s.tape = append(s.tape, at)
		s.tail = append(s.tail, geometry.Vec{U: at.U + tailSigma*rng.NormFloat64(), V: at.V + tailSigma*rng.NormFloat64()})
		s.known.Positions = append(s.known.Positions, geometry.Position{Cutout: cutout, Reach: reach, TailSigma: tailSigma})
	}
	return s
}

// addFace returns a face one of three build-ups: dabs, board and skim; board and
// skim on studs; dabs, board, adhesive and tile.
func (s *site) addFace(rng *rand.Rand, d geometry.Datum) {
	dabs := geometry.Layer{Thickness: (dabsLeast + dabsMost) / 2, Sigma: (dabsMost - dabsLeast) / math.Sqrt(12)}
	board, skim := geometry.Layer{Thickness: 12.5, Sigma: 0.5}, geometry.Layer{Thickness: 3, Sigma: 1}
	adhesive, tile := geometry.Layer{Thickness: 4, Sigma: 1}, geometry.Layer{Thickness: 9, Sigma: 0.5}
	d.Layers = [][]geometry.Layer{{dabs, board, skim}, {board, skim}, {dabs, board, adhesive, tile}}[rng.IntN(3)]
	d.Now = len(d.Layers)
	var truth []float64
	for _, l := range d.Layers {
		if l == dabs {
			truth = append(truth, dabsLeast+(dabsMost-dabsLeast)*rng.Float64())
			continue
		}
		truth = append(truth, l.Thickness+l.Sigma*rng.NormFloat64())
	}
	s.known.Datums = append(s.known.Datums, d)
	s.shift = append(s.shift, faceSigma*rng.NormFloat64())
	s.layers = append(s.layers, truth)
}

// hang finds a place in the room, 200 mm or more from any face, where a tail
// can hang: beside the timbers, not in one.
func (s *site) hang(rng *rand.Rand, corners []geometry.Vec) geometry.Vec {
	wide, deep := extent(corners)
	for {
		p := geometry.Vec{U: wide * rng.Float64(), V: deep * rng.Float64()}
		free := true
		for k := range s.known.Datums {
			d := &s.known.Datums[k]
			if d.Kind == geometry.Face {
				free = free && (across(d, p) > 200 || beside(d, p))
			}
		}
		for k := range s.timbers {
			free = free && math.Abs(p.U-s.timbers[k].A.U) > s.timbers[k].Width/2+5
		}
		if free && inRoom(corners, p) {
			return p
		}
	}
}

func extent(corners []geometry.Vec) (wide, deep float64) {
	for _, c := range corners {
		wide, deep = math.Max(wide, c.U), math.Max(deep, c.V)
	}
	return wide, deep
}

// across returns how far p is in front of a datum as drawn.
func across(d *geometry.Datum, p geometry.Vec) float64 {
	n := normal(d)
	return n.U*(p.U-d.A.U) + n.V*(p.V-d.A.V)
}

// beside reports whether p is past the ends of a face.
func beside(d *geometry.Datum, p geometry.Vec) bool {
	n := normal(d)
	along := n.V*(p.U-d.A.U) - n.U*(p.V-d.A.V)
	return along < 0 || along > math.Hypot(d.B.U-d.A.U, d.B.V-d.A.V)
}

// normal returns a datum's inward unit normal.
func normal(d *geometry.Datum) geometry.Vec {
	l := math.Hypot(d.B.U-d.A.U, d.B.V-d.A.V)
	return geometry.Vec{U: -(d.B.V - d.A.V) / l, V: (d.B.U - d.A.U) / l}
}

func inRoom(corners []geometry.Vec, p geometry.Vec) bool {
	in := false
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if (a.V > p.V) != (b.V > p.V) && p.U < a.U+(p.V-a.V)/(b.V-a.V)*(b.U-a.U) {
			in = !in
		}
	}
	return in
}
