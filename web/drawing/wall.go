package drawing

import (
	"math"

	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// hatching is the fill of a section through something, after the idea of ISO
// 128: a direction and a spacing for each material.
type hatching struct {
	name string
	word string // in the legend
	size float64
	body string
}

// hatchings lists the fill of what is there before any layer, then those of the
// layers by their stage.
var hatchings = []hatching{
	{"solid", "wall", 9, `<rect class="cut" width="9" height="9"/>` +
		`<path class="hatch" d="M-1 10L10 -1M-1 1L1 -1M8 10L10 8"/>`},
	{"boarding", "boards", 6, `<rect class="cut" width="6" height="6"/>` +
		`<path class="hatch" d="M-1 -1L7 7M5 -1L7 1M-1 5L1 7"/>`},
	{"plaster", "plaster", 5, `<rect class="cut" width="5" height="5"/>` +
		`<circle class="stipple" cx="1.2" cy="1.2" r="0.7"/><circle class="stipple" cx="3.7" cy="3.7" r="0.7"/>`},
	{"finish", "finish", 5, `<rect class="cut" width="5" height="5"/><path class="hatch" d="M0 2.5H5M2.5 0V5"/>`},
}

func hatchOf(stage string) string {
	switch stage {
	case "boarding", "plaster":
		return stage
	}
	return "finish"
}

func (s *sheet) hatchID(name string) string { return anchor("hatch", s.Surface.ID, name) }

// wall is a face on the sheet. The sheet's origin is not known when walls are
// made, so a wall keeps only what does not depend on it.
type wall struct {
	index      int // of the datum
	datum      roomsheet.Datum
	prev, next int // walls that share a corner, -1 if none does
}

// cornerGap is how far apart, in mm, two ends may be and still form one corner.
const cornerGap = 30.0

func (s *sheet) sections() []wall {
	var walls []wall
	for i, d := range s.Surface.Datums {
		if d.Kind == "face" && d.Line != nil {
			walls = append(walls, wall{index: i, datum: d, prev: -1, next: -1})
		}
	}
	for i := range walls {
		for j := range walls {
			if i != j && apart(walls[i].datum.Line[1], walls[j].datum.Line[0]) <= cornerGap {
				walls[i].next, walls[j].prev = j, i
			}
		}
	}
	return walls
}

func apart(a, b roomsheet.Point) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// layersOn returns the layers that are on today, outermost last, and the rest.
func layersOn(d roomsheet.Datum) (on, planned []roomsheet.Layer) {
	for i, l := range d.Layers {
		if l.ID == d.Now {
			return d.Layers[:i+1], d.Layers[i+1:]
		}
	}
	return nil, d.Layers
}

func thickness(layers []roomsheet.Layer) float64 {
	t := 0.0
	for _, l := range layers {
		t += l.Thickness
	}
	return t
}

// today returns the line of a wall's face as it is now, and its two ends.
func (s *sheet) today(w wall) (line2, spotXY, spotXY) {
	on, _ := layersOn(w.datum)
	l := s.faceLine(w, thickness(on))
	a, b := s.at(vec(w.datum.Line[0])), s.at(vec(w.datum.Line[1]))
	if w.prev >= 0 {
		if p, ok := l.meet(s.plainToday(s.walls[w.prev])); ok {
			a = p
		}
	}
	if w.next >= 0 {
		if p, ok := l.meet(s.plainToday(s.walls[w.next])); ok {
			b = p
		}
	}
	return l, a, b
}

func (s *sheet) plainToday(w wall) line2 {
	on, _ := layersOn(w.datum)
	return s.faceLine(w, thickness(on))
}

// faceLine returns a wall's line with t millimetres of layers on.
func (s *sheet) faceLine(w wall, t float64) line2 {
	return through(s.at(vec(w.datum.Line[0])), s.at(vec(w.datum.Line[1]))).out(-t * s.scale)
}

// band returns the strip of a wall from d0 to d1 units behind its face, cut
// along the mitres to its neighbours.
func (s *sheet) band(w wall, d0, d1 float64) []spotXY {
	l, a, b := s.today(w)
	start, end := square(a, l), square(b, l)
	if w.prev >= 0 {
		start = s.mitre(a, l, s.plainToday(s.walls[w.prev]))
	}
	if w.next >= 0 {
		end = s.mitre(b, l, s.plainToday(s.walls[w.next]))
	}
	in, out := l.out(d0), l.out(d1)
	pts := make([]spotXY, 0, 4)
	for _, c := range []struct{ l, m line2 }{{in, start}, {in, end}, {out, end}, {out, start}} {
		p, ok := c.l.meet(c.m)
		if !ok {
			p = c.m.p
		}
		pts = append(pts, p)
	}
	return pts
}

// square returns the line through p perpendicular to l.
func square(p spotXY, l line2) line2 { return line2{p, -l.dy, l.dx} }

// mitre returns the line from an inside corner to the outside corner.
func (s *sheet) mitre(corner spotXY, l, m line2) line2 {
	if q, ok := l.out(wallDepth).meet(m.out(wallDepth)); ok {
		return through(corner, q)
	}
	return square(corner, l)
}

func (s *sheet) drawWalls() {
	for _, w := range s.walls {
		on, planned := layersOn(w.datum)
		s.link("datum", w.datum.ID, "datum wall", s.name(w.datum.ID)+", "+words.StateOf(w.datum.Now))
		s.out.polygon("touch", "", s.band(w, -15, 2*touchHalf-15))
		depth := 0.0
		for i := len(on) - 1; i >= 0; i-- {
			t := math.Max(4.5, math.Min(9, on[i].Thickness*s.scale*1.6))
			s.out.polygon("layer", s.hatchID(hatchOf(on[i].Stage)), s.band(w, depth, depth+t))
			depth += t
		}
		if depth < wallDepth {
			s.out.polygon("solid", s.hatchID("solid"), s.band(w, depth, wallDepth))
		}
		l, a, b := s.today(w)
		s.stroke("face", a, b, overFace)
		s.strokes = append(s.strokes, stroke{project(a, l.out(wallDepth)), project(b, l.out(wallDepth)), overFace})
		if t := thickness(planned) * s.scale; t > 0.5 {
			in := l.out(-math.Max(t, 4))
			p, q := project(a, in), project(b, in)
			s.out.line("planned", p.x, p.y, q.x, q.y)
		}
		s.done()
		s.nameWall(w, a, b)
	}
}

// project returns the foot of p on l.
func project(p spotXY, l line2) spotXY {
	t := (p.x-l.p.x)*l.dx + (p.y-l.p.y)*l.dy
	return spotXY{l.p.x + t*l.dx, l.p.y + t*l.dy}
}

// nameWall has the wall's name stand behind it, on a wide page with its state, or
// somewhere near with a leader, or as a number.
func (s *sheet) nameWall(w wall, a, b spotXY) {
	name := s.name(w.datum.ID)
	say := []wording{{text: name, more: ", " + words.StateOf(w.datum.Now)}, {text: name, cost: 1},
		{number: true, cost: 30}}
	back := through(a, b).out(wallDepth)
	behind := project(spotXY{(a.x + b.x) / 2, (a.y + b.y) / 2}, back)
	s.labels = append(s.labels, &label{class: "name", say: say, key: name, tip: behind,
		at: func(width float64) []place {
			return append(beside(project(a, back), project(b, back), 2, width, midway, outside),
				around(behind, 2, width, 150)...)
		}})
}
