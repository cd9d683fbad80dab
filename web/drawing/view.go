package drawing

import (
	"fmt"
	"math"

	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"
)

// spotXY is a place on the sheet in drawing units, y downwards.
type spotXY struct{ x, y float64 }

// view turns the surface's frame (mm, v upwards) into the sheet's.
type view struct {
	cos, sin   float64 // of the turn that lays the first face along the foot
	minX, maxY float64 // of the turned frame, mm
	wide, high float64 // of what is drawn, mm
	scale      float64 // units per mm
	w, h       float64 // of the room on the sheet
	ox, oy     float64 // of the room's top left corner on the sheet
}

// newView turns the surface and takes in the places; fit sets the scale.
func newView(s roomsheet.Surface, also []geometry.Vec) view {
	v := view{cos: 1}
	if a, b, ok := firstFace(s); ok {
		l := math.Hypot(b.U-a.U, b.V-a.V)
		v.cos, v.sin = (b.U-a.U)/l, -(b.V-a.V)/l
	}
	minX, minY := math.Inf(1), math.Inf(1)
	maxX, maxY := math.Inf(-1), math.Inf(-1)
	hold := func(p geometry.Vec) {
		x, y := v.turn(p)
		minX, maxX = math.Min(minX, x), math.Max(maxX, x)
		minY, maxY = math.Min(minY, y), math.Max(maxY, y)
	}
	for _, d := range s.Datums {
		if d.Line != nil {
			hold(vec(d.Line[0]))
			hold(vec(d.Line[1]))
		}
		if d.Point != nil {
			hold(vec(*d.Point))
		}
	}
	for _, p := range also {
		hold(p)
	}
	v.wide, v.high = math.Max(maxX-minX, 300), math.Max(maxY-minY, 300)
	v.minX, v.maxY = minX, maxY
	return v
}

// fit sets the largest scale at which the room is at most wide by high.
func (v *view) fit(wide, high float64) {
	v.scale = math.Min(wide/v.wide, high/v.high)
	v.w, v.h = v.wide*v.scale, v.high*v.scale
}

func firstFace(s roomsheet.Surface) (a, b geometry.Vec, ok bool) {
	for _, d := range s.Datums {
		if d.Line != nil && d.Kind == "face" && d.Line[0] != d.Line[1] {
			return vec(d.Line[0]), vec(d.Line[1]), true
		}
	}
	return a, b, false
}

func vec(p roomsheet.Point) geometry.Vec { return geometry.Vec{U: p[0], V: p[1]} }

func (v view) turn(p geometry.Vec) (x, y float64) {
	return p.U*v.cos - p.V*v.sin, p.U*v.sin + p.V*v.cos
}

// at returns where a place of the surface falls on the sheet.
func (v view) at(p geometry.Vec) spotXY {
	x, y := v.turn(p)
	return spotXY{v.ox + (x-v.minX)*v.scale, v.oy + (v.maxY-y)*v.scale}
}

// frame is what a script turns a place on the sheet back with, which is at with its figures: cos, sin, minX, maxY,
// scale, ox, oy.
func (v view) frame() string {
	return fmt.Sprintf("%.9f %.9f %.3f %.3f %.9f %.3f %.3f", v.cos, v.sin, v.minX, v.maxY, v.scale, v.ox, v.oy)
}

// line2 is a straight line on the sheet: a place and a unit direction.
type line2 struct {
	p      spotXY
	dx, dy float64
}

func through(a, b spotXY) line2 {
	l := math.Hypot(b.x-a.x, b.y-a.y)
	if l == 0 {
		return line2{p: a, dx: 1}
	}
	return line2{a, (b.x - a.x) / l, (b.y - a.y) / l}
}

// out returns the line moved d units to its right, which on the sheet, for a face
// with the room on its left, is out of the room.
func (l line2) out(d float64) line2 {
	l.p.x -= l.dy * d
	l.p.y += l.dx * d
	return l
}

// meet returns where two lines cross; ok is false if they hardly do.
func (l line2) meet(m line2) (spotXY, bool) {
	den := l.dx*m.dy - l.dy*m.dx
	if math.Abs(den) < 0.05 {
		return spotXY{}, false
	}
	t := ((m.p.x-l.p.x)*m.dy - (m.p.y-l.p.y)*m.dx) / den
	return spotXY{l.p.x + t*l.dx, l.p.y + t*l.dy}, true
}
