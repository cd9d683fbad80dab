// Package drawing draws a surface of a room as a plan in SVG: walls in section
// with their layers, fixed lines and points, timbers, positions in the
// installation symbols of IEC 60617, their 95 % ellipses, and dimension
// strings that name the datum and its state.
//
// The first face lies along the foot of the sheet. Everything is drawn to one
// scale with two exceptions, which the sheet mentions: ellipses are Magnify
// times as large, and layers behind a face are as thick as the eye needs. The
// drawing carries classes, not styles; the stylesheet says how a class looks.
package drawing

import (
	"html/template"
	"math"
	"slices"

	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"
)

// Magnify is how many times larger than life an ellipse is drawn.
const Magnify = 10

// Mode says which dimensions a plan shows.
type Mode int

// The modes of a plan.
const (
	Record   Mode = iota // what was measured, in the states it was measured in
	SetOut               // what to mark today, in today's states
	Planning             // none: places are chosen on it
)

// Plan is all that one drawing is made from.
type Plan struct {
	Surface roomsheet.Surface
	// Answer is the geometry's answer for the surface, its slices parallel to
	// those of Surface; nil if nothing was worked out yet.
	Answer *geometry.Answer
	Mode   Mode
	// Title describes the surface for those who cannot see the drawing; ""
	// means its id.
	Title string
	// Names are the datums' names as people say them ("south wall"), by the
	// datum's id; an id without a name is used itself.
	Names map[string]string
	// Planned is where positions were planned, by id. A position that is not
	// determinate is drawn there, dashed.
	Planned map[string]roomsheet.Point
	// Words are written beside a position's label, by id: "held", "found".
	Words map[string]string
	// Coming are the ids of positions and timbers that a form would add, which is not sent yet.
	Coming map[string]bool
	// Leads says where touching a thing leads, by its kind ("position", "datum",
	// "timber") and id; nil: to its line on the page of the plan.
	Leads func(kind, id string) Lead
}

// Sizes on the sheet, in drawing units (about a CSS pixel at full width, under half of
// one on a phone).
const (
	sheetWide = 800.0
	upright   = 640.0 // largest height of the room
	wallDepth = 26.0
	nameDepth = lineTall + 5 // the walls' names
	rim       = 10.0
)

// sheet is a drawing in progress.
type sheet struct {
	Plan
	view
	out         writer
	walls       []wall
	spots       []spot
	below, left []row
	labels      []*label
	strokes     []stroke
	closes      string // what link opened
	lost        int    // figures that are in the tables only
	height      float64
}

// SVG draws the plan. A surface without a datum has no plan: "".
func (p Plan) SVG() template.HTML {
	if len(p.Surface.Datums) == 0 {
		return ""
	}
	s := p.drawn()
	head := writer{}
	s.open(&head)
	return template.HTML(head.b.String() + s.out.b.String() + "</svg>") // every text in it was escaped by writer
}

// drawn draws all but the head, which says how high the sheet became.
func (p Plan) drawn() *sheet {
	s := &sheet{Plan: p}
	s.view = newView(p.Surface, p.placed())
	s.fit(sheetWide, upright)
	s.walls = s.sections()
	s.spots = s.placeSpots()
	s.strings()
	s.layOut()
	s.drawTimbers()
	s.drawWalls()
	s.drawFixed()
	s.drawLines()
	s.drawStrings()
	s.drawSlanted()
	s.drawSpots()
	s.drawScale()
	s.inOrder()
	s.settle()
	s.drawKey()
	s.drawLabels()
	return s
}

func (p Plan) inWords() string {
	if p.Title != "" {
		return p.Title
	}
	return p.Surface.ID
}

// placed returns the places that the view must contain.
func (p Plan) placed() []geometry.Vec {
	var all []geometry.Vec
	for _, q := range p.Surface.Positions {
		if at, _, ok := p.placeOf(q.ID); ok {
			all = append(all, at)
		}
	}
	return all
}

// placeOf returns where a position is drawn: where its measurements put it, else
// where it was planned.
func (p Plan) placeOf(id string) (at geometry.Vec, measured, ok bool) {
	for i, q := range p.Surface.Positions {
		if q.ID == id && p.Answer != nil && i < len(p.Answer.Positions) && p.Answer.Positions[i].Determinate {
			return p.Answer.Positions[i].At, true, true
		}
	}
	if q, known := p.Planned[id]; known {
		return geometry.Vec{U: q[0], V: q[1]}, false, true
	}
	return geometry.Vec{}, false, false
}

// Unplaced returns the ids of the positions that have no place on the plan yet,
// in the order of the schedule.
func (p Plan) Unplaced() []string {
	var ids []string
	for _, q := range p.Surface.Positions {
		if _, _, ok := p.placeOf(q.ID); !ok {
			ids = append(ids, q.ID)
		}
	}
	return ids
}

func (p Plan) name(datum string) string {
	if n := p.Names[datum]; n != "" {
		return n
	}
	return datum
}

// layOut places the room and its dimension strings on the sheet, round by round: how
// many levels of figures they need depends on the scale, and the scale on them.
func (s *sheet) layOut() {
	const side = rim + nameDepth + wallDepth
	for range 4 {
		beside := depths(s.left)
		s.fit(sheetWide-2*side-beside, upright)
		s.ox = side + beside + (sheetWide-2*side-beside-s.w)/2
		s.oy = side
		for _, r := range s.left { // their titles need height
			s.oy = math.Max(s.oy, math.Min(300, widthOf("small", s.title(r.dimString), textTall)+3*rim-s.h-side))
		}
		if before := depths(s.left) + depths(s.below); s.measured(levelsMost) == before {
			break
		}
	}
	s.measureRows(func(r *row) int { return r.levels })
	s.height = s.oy + s.h + wallDepth + nameDepth + depths(s.below)
}

// measured measures the rows with at most so many levels and returns their depth.
func (s *sheet) measured(most int) float64 {
	s.measureRows(func(*row) int { return most })
	return depths(s.left) + depths(s.below)
}

// drawStrings draws the dimension strings below the room and to its left.
func (s *sheet) drawStrings() {
	y := s.oy + s.h + wallDepth + nameDepth
	for i := range s.below {
		s.drawBelow(&s.below[i], y)
		y += s.below[i].depth()
	}
	x := s.ox - wallDepth - nameDepth
	for i := range s.left {
		s.drawLeft(&s.left[i], x)
		x -= s.left[i].depth()
	}
}

// inOrder puts the labels in the order in which they choose their places: what has
// only one, the positions, figures, then the rest.
func (s *sheet) inOrder() {
	rank := func(l *label) int {
		switch {
		case l.fixed:
			return 0
		case l.class == "label":
			return 1
		case l.class == "figure" || l.class == "laser-text":
			return 2
		case l.class == "name":
			return 3
		}
		return 4
	}
	slices.SortStableFunc(s.labels, func(a, b *label) int { return rank(a) - rank(b) })
}

// open writes the head of the drawing.
func (s *sheet) open(w *writer) {
	mode := map[Mode]string{Record: "record", SetOut: "set-out", Planning: "planning"}[s.Mode]
	w.put(`<svg xmlns="http://www.w3.org/2000/svg" class="plan plan-%s" viewBox="0 0 %s %s" role="group" `+
		`aria-label="Plan of the %s"`, mode, num(sheetWide), num(s.height), text(s.inWords()))
	if s.Mode == Planning {
		w.put(` data-frame="%s"`, s.frame())
	}
	w.put(`>`)
	w.put(`<defs>`)
	for _, h := range s.shown() {
		w.put(`<pattern id="%s" width="%s" height="%s" patternUnits="userSpaceOnUse">%s</pattern>`,
			s.hatchID(h.name), num(h.size), num(h.size), h.body)
	}
	w.put(`</defs>`)
}

// drawScale draws a bar of one metre, or of less where the room is small, and the hatchings that
// the walls show, in as many
// lines as they need.
func (s *sheet) drawScale() {
	mm, says := 1000.0, "1 m"
	for _, short := range []float64{500, 200, 100} {
		if mm*s.scale > sheetWide/2 {
			mm, says = short, num(short)+" mm"
		}
	}
	long, shown := mm*s.scale, s.shown()
	wide := []float64{long + 40 + widthOf("small", says, textTall)}
	all := wide[0]
	for _, h := range shown {
		wide = append(wide, 46+widthOf("small", h.word, textTall))
		all += wide[len(wide)-1]
	}
	left := math.Max(rim, math.Min(s.ox, sheetWide-all))
	x, y := left, s.height+24
	s.out.line("scale", x, y, x+long, y)
	s.out.line("scale", x, y-5, x, y+5)
	s.out.line("scale", x+long, y-5, x+long, y+5)
	s.fix("small", says, place{x: x + long + 8, y: y + (ascent-descent)/2, anchor: "start"})
	x += wide[0]
	for i, h := range shown {
		if x+wide[i+1] > sheetWide {
			x, y = left, y+lineTall+4
		}
		s.out.put(`<rect class="solid" fill="url(#%s)" x="%s" y="%s" width="22" height="18"/>`, s.hatchID(h.name), num(x),
			num(y-9))
		s.fix("small", h.word, place{x: x + 29, y: y + (ascent-descent)/2, anchor: "start"})
		x += wide[i+1]
	}
	s.height = y + 24
}

// shown returns the hatchings in use.
func (s *sheet) shown() []hatching {
	used := map[string]bool{"solid": len(s.walls) > 0}
	for _, w := range s.walls {
		on, _ := layersOn(w.datum)
		for _, l := range on {
			used[hatchOf(l.Stage)] = true
		}
	}
	var some []hatching
	for _, h := range hatchings {
		if used[h.name] {
			some = append(some, h)
		}
	}
	return some
}

func round(v float64) float64 { return math.Round(v*100) / 100 }
