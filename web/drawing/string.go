package drawing

import (
	"math"
)

// row is a dimension string on the sheet.
type row struct {
	dimString
	ticks  []tick
	start  float64 // where the datum is
	levels int     // of figures above each other
	level  []int   // of each tick's figure; -1 where none is free
}

// Sizes of a row, in units.
const (
	levelsMost = 3
	lineTo     = 6.0 // from the dimension line to its figures, and to its title
)

// depth returns how much of the sheet a row takes.
func (r *row) depth() float64 { return float64(r.levels)*lineTall + 2*lineTo + lineTall + 8 }

func depths(rows []row) float64 {
	sum := 0.0
	for i := range rows {
		sum += rows[i].depth()
	}
	return sum
}

// pack sets the levels of the figures of a row: each stands on its datum's side
// of its tick, on the lowest level that is free there.
func (r *row) pack(most int, lo, hi float64) {
	type span struct{ lo, hi float64 }
	var taken [levelsMost][]span
	r.level = make([]int, len(r.ticks))
	for i, t := range r.ticks {
		f := span{}
		f.lo, f.hi = r.figureSpan(t)
		r.level[i] = -1
		for k := 0; k < most && r.level[i] < 0 && f.lo >= lo && f.hi <= hi; k++ {
			clash := false
			for _, o := range taken[k] {
				clash = clash || f.lo < o.hi+2*apartBy && o.lo < f.hi+2*apartBy
			}
			if !clash {
				r.level[i] = k
				taken[k] = append(taken[k], f)
				r.levels = max(r.levels, k+1)
			}
		}
	}
}

// figureSpan returns the stretch of the row that a tick's figure takes.
func (r *row) figureSpan(t tick) (lo, hi float64) {
	w := widthOf("figure", t.figure(), textTall)
	if t.at < r.start {
		return t.at + 4, t.at + 4 + w
	}
	return t.at - 4 - w, t.at - 4
}

// measureRows places the ticks of the rows at the view's scale.
func (s *sheet) measureRows(most func(r *row) int) {
	for i := range s.below {
		r := &s.below[i]
		r.ticks = ticksOf(s, r.dimString, func(p spotXY) float64 { return p.x }, func(a, b spotXY) bool { return a.y > b.y })
		r.start = s.foot(r.items[0]).x
		r.pack(most(r), 4, sheetWide-4)
	}
	for i := range s.left {
		r := &s.left[i]
		r.ticks = ticksOf(s, r.dimString, func(p spotXY) float64 { return p.y }, func(a, b spotXY) bool { return a.x < b.x })
		r.start = s.foot(r.items[0]).y
		r.pack(most(r), 4, s.oy+s.h+wallDepth+nameDepth)
	}
}

// drawBelow draws a string under the plan, from y on.
func (s *sheet) drawBelow(r *row, y float64) {
	y += float64(r.levels)*lineTall + lineTo
	lo, hi := spread(r.start, r.ticks)
	s.out.put(`<g class="dim">`)
	s.out.line("dim", lo, y, hi, y)
	s.slash(r.start, y)
	for i, t := range r.ticks {
		s.lead(spotXY{t.from.x, t.from.y + 13}, spotXY{t.at, y + 5})
		s.slash(t.at, y)
		if s.figures(r.level[i]) {
			f0, _ := r.figureSpan(t)
			s.fix("figure", t.figure(), place{x: f0, y: y - lineTo - descent - float64(r.level[i])*lineTall, anchor: "start"})
		}
	}
	s.out.put("</g>")
	said := cutTo("small", s.title(r.dimString), sheetWide-2*rim)
	s.fix("small", said, place{x: math.Min(lo, sheetWide-rim-widthOf("small", said, textTall)), y: y + lineTo + ascent,
		anchor: "start"})
}

// drawLeft draws a string left of the plan, read from the right, which ends at x.
func (s *sheet) drawLeft(r *row, x float64) {
	x -= lineTall + lineTo + 8
	lo, hi := spread(r.start, r.ticks)
	s.out.put(`<g class="dim">`)
	s.out.line("dim", x, lo, x, hi)
	s.slash(x, r.start)
	for i, t := range r.ticks {
		s.lead(spotXY{t.from.x - 13, t.from.y}, spotXY{x - 5, t.at})
		s.slash(x, t.at)
		if s.figures(r.level[i]) {
			_, f1 := r.figureSpan(t)
			s.fix("figure", t.figure(), place{x: x - lineTo - descent - float64(r.level[i])*lineTall, y: f1, anchor: "start",
				up: true})
		}
	}
	s.out.put("</g>")
	foot := s.oy + s.h + wallDepth + nameDepth
	said := cutTo("small", s.title(r.dimString), foot-2*rim)
	s.fix("small", said, place{x: x + lineTo + ascent, y: math.Max(hi, rim+widthOf("small", said, textTall)),
		anchor: "start", up: true})
}

// figures reports whether a tick's figure has a level, and counts those without.
func (s *sheet) figures(level int) bool {
	if level < 0 {
		s.lost++
	}
	return level >= 0
}

// fix puts a text that has only one place among the labels.
func (s *sheet) fix(class, said string, at place) {
	s.labels = append(s.labels, &label{class: class, say: []wording{{text: said}}, fixed: true,
		at: func(float64) []place { return []place{at} }})
}

// lead draws the thin line from a position to its dimension string.
func (s *sheet) lead(a, b spotXY) { s.stroke("lead", a, b, overLead) }

// stroke draws a line that labels keep off.
func (s *sheet) stroke(class string, a, b spotXY, weight float64) {
	s.out.line(class, a.x, a.y, b.x, b.y)
	s.strokes = append(s.strokes, stroke{a, b, weight})
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
		if s.isSquare(g.datum) {
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

// Parts of a line at which a label may stand, the best first.
var (
	midway  = []float64{0.5, 0.4, 0.6, 0.3, 0.7, 0.2, 0.8, 0.1, 0.9}
	aside   = []float64{0.42, 0.5, 0.34, 0.58, 0.25, 0.67, 0.75, 0.16}
	highUp  = []float64{0.05, 0.08, 0.12, 0.17, 0.23, 0.3, 0.4, 0.5, 0.6, 0.7, 0.8, 0.9, 0.95}
	both    = []float64{-1, 1}
	outside = []float64{1}
)

// between draws one dimension along its own line, its figure beside it and on a
// wide page what it is from.
func (s *sheet) between(a, b spotXY, value float64, what string) {
	s.out.put(`<g class="dim">`)
	s.stroke("dim", a, b, overDim)
	s.slash(a.x, a.y)
	s.slash(b.x, b.y)
	s.out.put("</g>")
	say := []wording{{text: whole(value)}}
	if what != "" {
		say = []wording{{text: whole(value), more: " " + what}, {text: whole(value), cost: 4}}
	}
	s.labels = append(s.labels, &label{class: "figure", say: say, at: func(width float64) []place {
		return beside(a, b, 2, width, aside, both)
	}})
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
		said := "line " + whole(math.Abs(l.Offset+l.Shift))
		more := " from " + s.name(d.ID)
		if w := readState(d, d.Now); w != "" {
			more += ", " + w
		}
		s.stroke("laser", a, b, overDim)
		s.labels = append(s.labels, &label{class: "laser-text", say: []wording{{text: said, more: more},
			{text: said, cost: 3}}, at: func(width float64) []place {
			return beside(a, b, 2, width, midway, both)
		}})
	}
}
