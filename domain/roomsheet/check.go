package roomsheet

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/words"
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
	mostWalls     = 100       // of a room's outline
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

// uses are what a room may be used for, as a room sheet has them.
func uses() (out []string) {
	for _, u := range words.Uses {
		out = append(out, string(u))
	}
	return out
}

// checker checks one surface. The maps give records by id; a name that occurs
// twice keeps its first record.
type checker struct {
	*faults
	at, who   string // where the surface is, and what a sentence calls it
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
	if !words.Use(r.Use).Known() {
		f.rule("$.use", "the use is "+quote(r.Use), "Give "+strings.Join(uses(), ", ")+", or leave it out")
	}
	if wrong := wrongName(r.Room); wrong != "" {
		f.rule("$.room", "the room's name "+wrong, "Give a name of up to 60 characters")
	}
	if len(r.Surfaces) == 0 {
		f.rule("$.surfaces", "the room has no surface", "Give at least one ceiling, slope, wall or floor")
	}
	whole := &checker{faults: f, loose: map[string]bool{}}
	each(whole, "$", "surface", r.Surfaces, mostSurfaces, map[string]bool{}, func(at, who string, s *Surface) {
		c := &checker{faults: f, at: at, who: who, surface: s,
			datums: map[string]*Datum{}, positions: map[string]bool{}, loose: map[string]bool{}}
		c.all()
	})
}

func (c *checker) all() {
	s := c.surface
	c.oneOf(c.at+".kind", "kind", c.who, s.Kind, "ceiling", "slope", "wall", "floor")
	c.wall(c.at, c.who, s.Wall, s.Kind == "wall" || s.Kind == "slope", "only a wall or a slope has one")
	c.layers(c.at, s.Layers, c.who)
	c.state(c.at+".now", s.Now, s.Layers, c.who)
	each(c, c.at, "datum", s.Datums, mostDatums, map[string]bool{}, c.datum)
	each(c, c.at, "timber", s.Timbers, mostTimbers, map[string]bool{}, c.timber)
	each(c, c.at, "position", s.Positions, mostPositions, c.positions, c.position)
	each(c, c.at, "measurement", s.Measurements, mostMeasurements, map[string]bool{}, c.measurement)
}

// wall checks which wall of the room's outline something is.
func (c *checker) wall(at, who string, wall int, may bool, why string) {
	c.absent(wall != 0 && !may, at, "wall", who, why)
	if wall < 0 || wall > mostWalls {
		c.rule(at+".wall", fmt.Sprintf("the wall of %s is %d", who, wall),
			"Give its place in the room's outline, from 1, or leave it out")
	}
}

// record is a record with a name, which ref returns.
type record[T any] interface {
	*T
	ref() string
}

func (s *Surface) ref() string     { return s.ID }
func (l *Layer) ref() string       { return l.ID }
func (d *Datum) ref() string       { return d.ID }
func (t *Timber) ref() string      { return t.ID }
func (p *Position) ref() string    { return p.ID }
func (m *Measurement) ref() string { return m.ID }

// refs returns the names of records.
func refs[T any, P record[T]](list []T) []string {
	out := make([]string, len(list))
	for i := range list {
		out[i] = P(&list[i]).ref()
	}
	return out
}

// each checks a list of records of the thing at a path: how many there are, their
// names, which it adds to ids, and each with check, which gets what a sentence
// calls it.
func each[T any, P record[T]](c *checker, at, noun string, list []T, most int, ids map[string]bool,
	check func(at, who string, r P)) {
	at += "." + noun + "s"
	if len(list) > most {
		c.rule(at, fmt.Sprintf("there are %d %ss; %d is the most", len(list), noun, most), "Split them over several sheets")
	}
	for i := range list {
		one := P(&list[i])
		c.id(at+item(i), noun, one.ref(), ids)
		check(at+item(i), called(one.ref(), noun), one)
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

// oneOf checks a word that has to be one of a few, and reports whether it is.
func (f *faults) oneOf(at, what, who, word string, words ...string) bool {
	if slices.Contains(words, word) {
		return true
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
