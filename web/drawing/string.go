package drawing

import (
	"math"
	"sort"
)

// drawBelow draws a string under the plan, row 0 nearest to it.
func (s *sheet) drawBelow(d dimString, row int) {
	y := s.oy + s.h + wallDepth + nameDepth + float64(row)*rowDepth + 26
	ticks := ticksOf(s, d, func(p spotXY) float64 { return p.x }, func(a, b spotXY) bool { return a.y > b.y })
	start := s.foot(d.items[0]).x
	s.out.put(`<g class="dim">`)
	lo, hi := spread(start, ticks)
	s.out.line("dim", lo, y, hi, y)
	s.slash(start, y)
	for i, t := range ticks {
		s.out.line("lead", t.from.x, t.from.y+13, t.at, y+5)
		s.slash(t.at, y)
		s.out.text("figure", t.at-3, y-6-lift(ticks, i), "end", 0, t.figure())
	}
	s.out.text("small", lo, y+18, "start", 0, s.title(d))
	s.out.put("</g>")
}

// drawLeft draws a string left of the plan, read from the right.
func (s *sheet) drawLeft(d dimString, row int) {
	x := s.ox - wallDepth - nameDepth - float64(row)*rowDepth - 18
	ticks := ticksOf(s, d, func(p spotXY) float64 { return p.y }, func(a, b spotXY) bool { return a.x < b.x })
	start := s.foot(d.items[0]).y
	s.out.put(`<g class="dim">`)
	lo, hi := spread(start, ticks)
	s.out.line("dim", x, lo, x, hi)
	s.slash(x, start)
	for i, t := range ticks {
		s.out.line("lead", t.from.x-13, t.from.y, x-5, t.at)
		s.slash(x, t.at)
		s.out.text("figure", x-6-lift(ticks, i), t.at+3, "end", -90, t.figure())
	}
	s.out.text("small", x+18, hi, "start", -90, s.title(d))
	s.out.put("</g>")
}

// figureWidth is about how long a figure is on the sheet.
const figureWidth = 44.0

// lift moves a figure off the one before it if the two would overlap.
func lift(ticks []tick, i int) float64 {
	up := 0.0
	for k := 1; k <= i; k++ {
		if ticks[k].at-ticks[k-1].at < figureWidth && up == 0 {
			up = 19
		} else {
			up = 0
		}
	}
	return up
}

func spread(start float64, ticks []tick) (lo, hi float64) {
	lo, hi = start, start
	for _, t := range ticks {
		lo, hi = min(lo, t.at), max(hi, t.at)
	}
	return lo, hi
}

// slash is the oblique stroke that ends a dimension.
func (s *sheet) slash(x, y float64) {
	s.out.line("slash", x-4, y+4, x+4, y-4)
}

// drawSlanted draws the dimensions that belong to no side of the sheet: from
// slanted faces, from points, and from one position to another.
func (s *sheet) drawSlanted() {
	for _, g := range s.groups() {
		d := s.Surface.Datums[g.datum]
		n := s.normal(g.datum)
		if d.Line != nil && (n.x*n.x > 0.992 || n.y*n.y > 0.992) {
			continue
		}
		for _, r := range g.items {
			s.between(s.foot(r), s.at(s.spots[r.spot].at), r.value, s.title(g))
		}
	}
	if s.Mode == SetOut {
		return
	}
	for _, m := range s.Surface.Measurements {
		a, b := s.spotOf(m.Of), s.spotOf(m.To)
		if m.Kind == "distance" && a >= 0 && b >= 0 {
			s.between(s.at(s.spots[a].at), s.at(s.spots[b].at), m.Value, "")
		}
	}
}

// between draws one dimension along its own line, its figure above and what it
// is from below.
func (s *sheet) between(a, b spotXY, value float64, what string) {
	deg := degrees(a, b)
	mx, my := a.x+(b.x-a.x)*0.42, a.y+(b.y-a.y)*0.42
	half := 3.2 * float64(len(what)+4)
	s.taken = append(s.taken, box{mx - half, my - 16, mx + half, my + 16})
	s.out.put(`<g class="dim">`)
	s.out.line("dim", a.x, a.y, b.x, b.y)
	s.slash(a.x, a.y)
	s.slash(b.x, b.y)
	place := num(mx) + " " + num(my)
	s.out.put(`<text class="figure" x="%s" y="%s" dy="-5" text-anchor="middle" transform="rotate(%s %s)">%s</text>`,
		num(mx), num(my), num(deg), place, whole(value))
	if what != "" {
		s.out.put(`<text class="small" x="%s" y="%s" dy="15" text-anchor="middle" transform="rotate(%s %s)">`+
			`<tspan class="more">%s</tspan></text>`,
			num(mx), num(my), num(deg), place, text(what))
	}
	s.out.put("</g>")
}

// drawLines draws the set-out lines from wall to wall with what to mark.
func (s *sheet) drawLines() {
	if s.Mode != SetOut || s.Answer == nil {
		return
	}
	for _, l := range s.Answer.Lines {
		if l.Shift != 0 && !l.Clears || s.Surface.Datums[l.Datum].Line == nil {
			continue
		}
		d := s.Surface.Datums[l.Datum]
		first := s.spotOf(s.Surface.Positions[l.Positions[0]].ID)
		if first < 0 {
			continue
		}
		along := through(s.at(vec(d.Line[0])), s.at(vec(d.Line[1])))
		along.p = s.at(s.spots[first].at)
		a, b := project(s.at(vec(d.Line[0])), along), project(s.at(vec(d.Line[1])), along)
		label := "line " + whole(math.Abs(l.Offset+l.Shift))
		more := " from " + s.name(d.ID)
		if w := readState(d, d.Now); w != "" {
			more += ", " + w
		}
		s.out.put(`<g class="set-out-line">`)
		s.out.line("laser", a.x, a.y, b.x, b.y)
		s.lineLabel(a, b, label, more)
		s.out.put("</g>")
	}
}

// lineLabel writes along a set-out line from a to b, in the widest stretch
// without a position.
func (s *sheet) lineLabel(a, b spotXY, label, more string) {
	if b.x < a.x-1 || (b.x < a.x+1 && b.y > a.y) {
		a, b = b, a
	}
	l := through(a, b)
	at := []float64{0, dist(a, b)}
	for _, sp := range s.spots {
		p := s.at(sp.at)
		if foot := project(p, l); dist(p, foot) < 30 {
			at = append(at, (foot.x-a.x)*l.dx+(foot.y-a.y)*l.dy)
		}
	}
	sort.Float64s(at)
	lo, hi := at[0], at[1]
	for i := 1; i+1 < len(at); i++ {
		if at[i+1]-at[i] > hi-lo+1 {
			lo, hi = at[i], at[i+1]
		}
	}
	x, y := a.x+l.dx*(lo+hi)/2, a.y+l.dy*(lo+hi)/2
	half := 3.6 * float64(len(label)+len(more))
	up := 5.0
	if 2*half > hi-lo-30 {
		up = 17 // over the symbols
	}
	s.out.put(`<text class="laser-text" x="%s" y="%s" dy="%s" text-anchor="middle" transform="rotate(%s %s `+
		`%s)">%s<tspan class="more">%s</tspan></text>`,
		num(x), num(y), num(-up), num(degrees(a, b)), num(x), num(y), text(label), text(more))
	s.taken = append(s.taken, box{x - half*math.Abs(l.dx) - 8, y - half*math.Abs(l.dy) - up - 15,
		x + half*math.Abs(l.dx) + 8, y + half*math.Abs(l.dy) + 4 - up + 5})
}
