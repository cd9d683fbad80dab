package roomsheet

import (
	"fmt"
	"math"
	"strconv"
)

// Limits of what a sheet may hold. The contract fixes positions, measurements
// and lengths. The others are ours: far above what any room has, and low enough
// that a surface full to the brim, 320 layers in play, takes about two seconds
// to work out (measured; with 100 faces of 12 layers each it took eighteen).
const (
	mostSurfaces     = 20
	mostDatums       = 40
	mostLayers       = 8 // of one build-up
	mostTimbers      = 500
	mostPositions    = 500
	mostMeasurements = 5000

	longestLength = 100_000.0 // mm
	leastLength   = 1.0       // mm; a shorter line has no direction to speak of
	leastSigma    = 0.001     // mm; nothing on site is known better
	widestCutout  = 1000.0    // mm
	widestLean    = 80.0      // degrees, either way, not reached
	widestSkew    = 5.0       // degrees between faces that a span may join
)

// Check checks a room against every rule of the room sheet. Read makes the same
// check; this one is for rooms built in code. The error is nil or a
// *fault.Error of kind BadInput that lists everything wrong at once. A
// measurement from a face with layers that gives no state is no fault: its
// datum is unrecorded, and the answer says so.
func Check(r *Room) error {
	var f faults
	check(r, &f)
	return f.err()
}

// checker checks one surface. The maps give records by id; a name that occurs
// twice keeps its first record.
type checker struct {
	*faults
	at        string
	surface   *Surface
	datums    map[string]*Datum
	positions map[string]bool
	// loose holds lists with a record whose id could not be read: names in them
	// are not looked up, since that record may be the one meant.
	loose map[string]bool
}

func check(r *Room, f *faults) {
	if r.Format != Format {
		f.rule("$.format", "the format is "+quote(r.Format), "Give "+Format)
	}
	if wrong := wrongName(r.Room); wrong != "" {
		f.rule("$.room", "the room's name "+wrong, "Give a name of up to 60 characters")
	}
	if len(r.Surfaces) == 0 {
		f.rule("$.surfaces", "the room has no surface", "Give at least one ceiling, slope, wall or floor")
	}
	f.count("$.surfaces", "surfaces", len(r.Surfaces), mostSurfaces)
	ids := map[string]bool{}
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		c := &checker{faults: f, at: "$.surfaces" + item(i), surface: s,
			datums: map[string]*Datum{}, positions: map[string]bool{}, loose: map[string]bool{}}
		c.id(c.at, "surface", s.ID, ids)
		c.all()
	}
}

func (c *checker) all() {
	s := c.surface
	c.oneOf(c.at+".kind", "kind", called(s.ID, "surface"), s.Kind, "ceiling", "slope", "wall", "floor")
	c.layers(c.at+".layers", s.Layers, called(s.ID, "surface"))
	c.state(c.at+".now", s.Now, s.Layers, called(s.ID, "surface"))
	c.count(c.at+".datums", "datums", len(s.Datums), mostDatums)
	c.count(c.at+".timbers", "timbers", len(s.Timbers), mostTimbers)
	c.count(c.at+".positions", "positions", len(s.Positions), mostPositions)
	c.count(c.at+".measurements", "measurements", len(s.Measurements), mostMeasurements)

	ids := map[string]bool{}
	for i := range s.Datums {
		c.id(c.at+".datums"+item(i), "datum", s.Datums[i].ID, ids)
		c.datum(c.at+".datums"+item(i), &s.Datums[i])
	}
	ids = map[string]bool{}
	for i := range s.Timbers {
		c.id(c.at+".timbers"+item(i), "timber", s.Timbers[i].ID, ids)
		c.timber(c.at+".timbers"+item(i), &s.Timbers[i])
	}
	for i := range s.Positions {
		c.id(c.at+".positions"+item(i), "position", s.Positions[i].ID, c.positions)
		c.position(c.at+".positions"+item(i), &s.Positions[i])
	}
	ids = map[string]bool{}
	for i := range s.Measurements {
		c.id(c.at+".measurements"+item(i), "measurement", s.Measurements[i].ID, ids)
		c.measurement(c.at+".measurements"+item(i), &s.Measurements[i])
	}
}

// called returns how a sentence names a record: by its id if it has a usable
// one.
func called(id, noun string) string {
	if wrongName(id) != "" {
		return "this " + noun
	}
	return id
}

// id checks a record's name and adds it among the names of its list.
func (c *checker) id(at, noun, id string, ids map[string]bool) {
	if wrong := wrongName(id); wrong != "" {
		c.rule(at+".id", "the id of this "+noun+" "+wrong, "Give it a name of up to 60 characters that can be seen and read")
		c.loose[noun] = true
		return
	}
	if ids[id] {
		c.rule(at+".id", "there is a second "+noun+" with the id "+id, "Give each "+noun+" a name of its own")
	}
	ids[id] = true
}

func (f *faults) count(at, nouns string, n, most int) {
	if n > most {
		f.rule(at, fmt.Sprintf("there are %d %s; %d is the most", n, nouns, most), "Split them over several sheets")
	}
}

// oneOf checks a word that has to be one of a few, and reports whether it is.
func (f *faults) oneOf(at, what, who, word string, words ...string) bool {
	for _, w := range words {
		if w == word {
			return true
		}
	}
	mend := "Give one of " + listed(words)
	if k := nearest(word, words); k != "" {
		mend = "Is " + k + " meant? Give one of " + listed(words)
	}
	if word == "" {
		f.rule(at, who+" has no "+what, mend)
	} else {
		f.rule(at, "the "+what+" of "+who+" is "+quote(word), mend)
	}
	return false
}

// length checks that a length in mm is between low and the longest; what names
// it.
func (f *faults) length(at, what string, x, low float64) bool {
	switch {
	case math.IsNaN(x) || math.IsInf(x, 0):
		f.rule(at, what+" is not a number", "Give it in millimetres")
	case x > longestLength || x < -longestLength:
		f.rule(at, what+" is "+mm(x)+" mm, which is over 100 m", "Give it in millimetres")
	case x < 0 && low >= 0:
		f.rule(at, what+" is negative ("+mm(x)+" mm)", "Give it in millimetres, without the minus")
	case x < low && x == 0:
		f.rule(at, what+" is 0", "Give it in millimetres, above 0")
	case x < low:
		f.rule(at, what+" is "+mm(x)+" mm; the least is "+mm(low)+" mm", "Give it in millimetres")
	default:
		return true
	}
	return false
}

// optional checks a length that is 0 if it is left out.
func (f *faults) optional(at, what string, x float64) {
	if x != 0 {
		f.length(at, what, x, leastSigma)
	}
}

// mm returns a number as short as it can be written.
func mm(x float64) string { return strconv.FormatFloat(x, 'g', 8, 64) }

// absent refuses a field that a record of this kind cannot have.
func (f *faults) absent(there bool, at, name, who, why string) {
	if there {
		f.rule(at+"."+name, who+" gives "+name+", but "+why, "Take "+name+" out")
	}
}
