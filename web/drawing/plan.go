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

	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"
)

// Magnify is how many times larger than life an ellipse is drawn.
const Magnify = 10

// Mode says which dimensions a plan shows.
type Mode int

// The modes of a plan.
const (
	Record Mode = iota // what was measured, in the states it was measured in
	SetOut             // what to mark today, in today's states
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
	// Elsewhere is the address of the page that has the schedule's lines, by
	// kind ("position", "datum", "timber"); a kind without one has its lines on
	// the page of the plan.
	Elsewhere map[string]string
}

// Sizes on the sheet, in drawing units (about a CSS pixel at full width).
const (
	across    = 640.0 // largest width of the room
	upright   = 620.0 // largest height of the room
	wallDepth = 26.0
	rowDepth  = 60.0 // one dimension string
	nameDepth = 30.0 // the walls' names
	rim       = 12.0
)

// sheet is a drawing in progress.
type sheet struct {
	Plan
	view
	out    writer
	walls  []wall
	spots  []spot
	taken  []box // by text
	width  float64
	height float64
}

// SVG draws the plan. A surface without a datum has no plan: "".
func (p Plan) SVG() template.HTML {
	if len(p.Surface.Datums) == 0 {
		return ""
	}
	s := &sheet{Plan: p}
	s.view = newView(p.Surface, p.placed())
	s.walls = s.sections()
	s.spots = s.placeSpots()
	below, left := s.strings()
	s.layOut(len(below), len(left))
	s.open()
	s.drawTimbers()
	s.drawWalls()
	s.drawFixed()
	s.drawLines()
	for i, d := range below {
		s.drawBelow(d, i)
	}
	for i, d := range left {
		s.drawLeft(d, i)
	}
	s.drawSlanted()
	s.drawSpots()
	s.drawScale()
	s.out.put("</svg>")
	return template.HTML(s.out.b.String()) // every text in it was escaped by writer
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

// layOut reserves space for the names and the dimension strings.
func (s *sheet) layOut(below, left int) {
	s.ox = rim + float64(left)*rowDepth + nameDepth + wallDepth
	s.oy = rim + nameDepth + wallDepth
	s.width = s.ox + s.w + wallDepth + nameDepth + rim
	s.height = s.oy + s.h + wallDepth + nameDepth + float64(below)*rowDepth + 34
}

func (s *sheet) open() {
	mode := "record"
	if s.Mode == SetOut {
		mode = "set-out"
	}
	s.out.put(`<svg xmlns="http://www.w3.org/2000/svg" class="plan plan-%s" viewBox="0 0 %s %s" role="group" `+
		`aria-label="Plan of the %s">`,
		mode, num(s.width), num(s.height), text(s.inWords()))
	s.out.put(`<defs>`)
	for _, h := range hatchings {
		s.out.put(`<pattern id="%s" width="%s" height="%s" patternUnits="userSpaceOnUse">%s</pattern>`,
			s.hatchID(h.name), num(h.size), num(h.size), h.body)
	}
	s.out.put(`</defs>`)
}

// drawScale is a bar of one metre, and the hatchings that the walls show.
func (s *sheet) drawScale() {
	x, y, l := s.ox, s.height-14, 1000*s.scale
	s.out.line("scale", x, y, x+l, y)
	s.out.line("scale", x, y-5, x, y+5)
	s.out.line("scale", x+l, y-5, x+l, y+5)
	s.out.text("small", x+l+8, y+5, "start", 0, "1 m")
	x += l + 60
	for _, h := range s.shown() {
		s.out.put(`<rect class="solid" fill="url(#%s)" x="%s" y="%s" width="16" height="14"/>`, s.hatchID(h.name), num(x),
			num(y-8))
		s.out.text("small", x+21, y+5, "start", 0, h.word)
		x += 32 + 10.5*float64(len(h.word))
	}
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
