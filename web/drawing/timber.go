package drawing

import "math"

// drawTimbers draws each timber as hidden edges about a chain line.
func (s *sheet) drawTimbers() {
	for _, t := range s.Surface.Timbers {
		a, b := s.at(vec(t.Line[0])), s.at(vec(t.Line[1]))
		half := t.Width * s.scale / 2
		l := through(a, b)
		le, ri := l.out(-half), l.out(half)
		s.link("timber", t.ID, "timber", t.ID)
		s.out.polygon("wood", "", []spotXY{project(a, le), project(b, le), project(b, ri), project(a, ri)})
		for _, e := range []line2{le, ri} {
			p, q := project(a, e), project(b, e)
			s.out.line("hidden", p.x, p.y, q.x, q.y)
		}
		s.out.line("chain", a.x, a.y, b.x, b.y)
		s.nameTimber(t.ID, a, b)
		s.out.put("</a>")
	}
}

// nameTimber writes beside the end that is higher on the sheet, or further left
// if the timber is level.
func (s *sheet) nameTimber(id string, a, b spotXY) {
	if b.y < a.y-1 || (math.Abs(b.y-a.y) <= 1 && b.x < a.x) {
		a, b = b, a
	}
	l := through(a, b)
	s.out.text("mark", a.x+l.dx*18+6, a.y+l.dy*18+5, "start", 0, id)
}

// drawFixed draws the datums that no layer covers.
func (s *sheet) drawFixed() {
	for _, d := range s.Surface.Datums {
		switch {
		case d.Kind == "line" && d.Line != nil:
			a, b := s.at(vec(d.Line[0])), s.at(vec(d.Line[1]))
			s.link("datum", d.ID, "datum fixed", s.name(d.ID)+", no layer covers it")
			s.out.line("steel", a.x, a.y, b.x, b.y)
			deg := degrees(a, b)
			l := through(a, b)
			s.out.put(`<text class="mark" x="%s" y="%s" text-anchor="middle" dy="-6" transform="rotate(%s %s %s)">%s</text>`,
				num(a.x+l.dx*0.32*dist(a, b)), num(a.y+l.dy*0.32*dist(a, b)), num(deg),
				num(a.x+l.dx*0.32*dist(a, b)), num(a.y+l.dy*0.32*dist(a, b)), text(s.name(d.ID)))
			s.out.put("</a>")
		case d.Kind == "point" && d.Point != nil:
			p := s.at(vec(*d.Point))
			s.link("datum", d.ID, "datum fixed", s.name(d.ID)+", no layer covers it")
			s.out.put(`<path class="pin" d="M%s %sm-9 0h18m-9 -9v18"/>`, num(p.x), num(p.y))
			s.out.circle("pin", p.x, p.y, 5)
			if p.x > s.ox+s.w-90 {
				s.out.text("mark", p.x-12, p.y-8, "end", 0, s.name(d.ID))
			} else {
				s.out.text("mark", p.x+12, p.y+16, "start", 0, s.name(d.ID))
			}
			s.out.put("</a>")
		}
	}
}

func dist(a, b spotXY) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }
