package room

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// near is how far off a wall of the outline a face may lie and still be that wall, mm.
const near = 1.0

// shortest is how long a face must be for its direction to say anything, mm.
const shortest = 3.0

// wallLine is one wall of an outline: where it begins, its direction and its length.
type wallLine struct {
	a      roomsheet.Point
	eu, ev float64
	length float64
}

func (r *Room) wallLine(n int) wallLine {
	a, b := r.Outline[n-1], r.Outline[n%len(r.Outline)]
	length := math.Sqrt((b[0]-a[0])*(b[0]-a[0]) + (b[1]-a[1])*(b[1]-a[1]))
	return wallLine{a, (b[0] - a[0]) / length, (b[1] - a[1]) / length, length}
}

// next and before are the walls that one comes to, walking round with the room on the left.
func (r *Room) next(wall int) int   { return wall%len(r.Outline) + 1 }
func (r *Room) before(wall int) int { return (wall+len(r.Outline)-2)%len(r.Outline) + 1 }

// hollow reports whether the corner at a wall's beginning is one that a person can stand in.
// At others, and where two walls are in one line, no wall is the side of the other.
func (r *Room) hollow(wall int) bool {
	p, w := r.wallLine(r.before(wall)), r.wallLine(wall)
	return p.eu*w.ev-p.ev*w.eu > 0.02
}

// along returns the wall of the outline that a face from a to b lies along, from 1; 0: none.
func (r *Room) along(a, b roomsheet.Point) int {
	for n := 1; n <= len(r.Outline); n++ {
		w := r.wallLine(n)
		at := func(p roomsheet.Point) (along, off float64) {
			du, dv := p[0]-w.a[0], p[1]-w.a[1]
			return du*w.eu + dv*w.ev, math.Abs(dv*w.eu - du*w.ev)
		}
		from, offA := at(a)
		to, offB := at(b)
		if offA <= near && offB <= near && from >= -near && to <= w.length+near && to-from >= shortest {
			return n
		}
	}
	return 0
}

// couldBe returns the walls of the outline that an elevation may be: those as long as it is,
// where it is a rectangle as Drawn makes them.
func (r *Room) couldBe(s *Surface) (out []int) {
	o := s.Outline
	if s.Kind != "wall" && s.Kind != "slope" || len(o) != 4 || !slices.Equal(o, Rectangle(o[1][0], o[3][1])) {
		return nil
	}
	for n := 1; n <= len(r.Outline); n++ {
		if math.Abs(r.wallLine(n).length-o[1][0]) < near {
			out = append(out, n)
		}
	}
	return out
}

// Side is where the wall lies that a face of an elevation is, as one sees the elevation from inside the room: on
// the left the next wall round, on the right the one before. A slope begins at its own wall.
func (r *Room) sideOf(s *Surface, d *Datum) int {
	edge := func(axis int, at float64) bool {
		return math.Abs(d.A[axis]-at) < near && math.Abs(d.B[axis]-at) < near
	}
	switch next := r.next(s.Wall); {
	case s.Kind == "slope" && edge(1, 0):
		return s.Wall
	case edge(0, 0) && r.hollow(next):
		return next
	case edge(0, r.wallLine(s.Wall).length) && r.hollow(s.Wall):
		return r.before(s.Wall)
	}
	return 0
}

// FaceWall returns the wall of the outline that a datum of a surface is a face of, from 1; 0: none.
func (r *Room) FaceWall(s *Surface, d *Datum) int {
	switch {
	case d.Kind != words.Face:
		return 0
	case s.Kind == "ceiling" || s.Kind == "floor":
		return r.along(d.A, d.B)
	case s.Wall >= 1 && s.Wall <= len(r.Outline):
		return r.sideOf(s, d)
	}
	return 0
}

// Link says of surfaces and faces that do not say it which wall of the outline they are: by where they lie, and
// by name only where two walls are equally long.
func (r *Record) Link() {
	link := func(kinds ...string) {
		for i := range r.Datums {
			d := &r.Datums[i]
			if s, err := r.Surface(d.Surface); err == nil && d.Wall == 0 && slices.Contains(kinds, s.Kind) {
				d.Wall = r.FaceWall(s, d)
			}
		}
	}
	link("ceiling", "floor")
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		walls := r.couldBe(s)
		if len(walls) > 1 {
			walls = slices.DeleteFunc(walls, func(wall int) bool { return !r.named(s, wall) })
		}
		if s.Wall == 0 && len(walls) == 1 {
			s.Wall = walls[0]
		}
	}
	link("wall", "slope")
}

// named reports whether a surface is called as a wall of the outline is.
func (r *Record) named(s *Surface, wall int) bool {
	name := strings.ToLower(s.Name)
	return name == fmt.Sprintf("%s %d", s.Kind, wall) || slices.ContainsFunc(r.Datums, func(d Datum) bool {
		return d.Wall == wall && strings.ToLower(d.Name) == name
	})
}

// Appearance is a place in which a wall is drawn: a face of a surface, or the surface itself where Datum is none.
type Appearance struct {
	Surface id.Surface
	Datum   id.Datum
}

// SameWall returns every appearance of the wall that one is of, that one first: the faces of ceilings, floors and
// elevations that lie along the wall, and the elevations that are it. What is no wall of the outline is alone.
func (r *Record) SameWall(of Appearance) []Appearance {
	out, wall := []Appearance{of}, 0
	if d, err := r.Datum(of.Datum); err == nil {
		wall, out[0].Surface = d.Wall, d.Surface
	} else if s, err := r.Surface(of.Surface); err == nil && of.Datum.IsZero() && s.Kind == "wall" {
		wall = s.Wall
	}
	if wall == 0 {
		return out
	}
	for _, s := range r.Surfaces {
		for _, d := range r.Datums {
			if d.Surface == s.ID && d.Wall == wall && d.ID != of.Datum {
				out = append(out, Appearance{s.ID, d.ID})
			}
		}
		if itself := (Appearance{Surface: s.ID}); s.Kind == "wall" && s.Wall == wall && itself != out[0] {
			out = append(out, itself)
		}
	}
	return out
}

// SameBuildUp reports whether two appearances have the same build-up planned.
func (r *Record) SameBuildUp(a, b Appearance) bool {
	return slices.EqualFunc(r.LayersOf(a.Surface, a.Datum), r.LayersOf(b.Surface, b.Datum), func(a, b Layer) bool {
		return a.Name == b.Name && a.Thickness == b.Thickness && a.Stage == b.Stage
	})
}

// Differing returns the walls whose appearances do not have the same build-up planned, as in rooms from before one wall
// had one: a list of appearances for each, that of a face first.
func (r *Record) Differing() (out [][]Appearance) {
	seen := map[int]bool{}
	for _, d := range r.Datums {
		if d.Wall == 0 || seen[d.Wall] {
			continue
		}
		seen[d.Wall] = true
		all := r.SameWall(Appearance{d.Surface, d.ID})
		if slices.ContainsFunc(all[1:], func(a Appearance) bool { return !r.SameBuildUp(all[0], a) }) {
			out = append(out, all)
		}
	}
	return out
}

// AlsoOn says where else a wall is drawn, as people say it: "also on the floor and the north wall"; empty where it is
// drawn once.
func (r *Record) AlsoOn(of Appearance) string {
	var names []string
	for _, a := range r.SameWall(of)[1:] {
		if s, err := r.Surface(a.Surface); err == nil && s.ID != of.Surface {
			names = append(names, words.InWords(s.Name))
		}
	}
	if len(names) == 0 {
		return ""
	}
	return "also on " + words.List(slices.Compact(names))
}

// FaceName returns what a wall of the outline is called as a face of a ceiling or a floor; empty where it is none.
func (r *Record) FaceName(wall int) string {
	for i := range r.Datums {
		d := &r.Datums[i]
		s, err := r.Surface(d.Surface)
		if err == nil && d.Wall == wall && wall > 0 && (s.Kind == "ceiling" || s.Kind == "floor") {
			return d.Called()
		}
	}
	return ""
}
