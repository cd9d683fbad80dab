package drawing

import "math"

// drawTimbers draws each timber as hidden edges about a chain line.
func (s *sheet) drawTimbers() {
	for i, t := range s.Surface.Timbers {
		a, b := s.at(vec(t.Line[0])), s.at(vec(t.Line[1]))
		half := t.Width * s.scale / 2
		l := through(a, b)
		le, ri := l.out(-half), l.out(half)
		class := "timber"
		if s.Coming[t.ID] {
			class += " coming"
		}
		s.link("timber", t.ID, class, t.ID)
		s.out.polygon("touch", "", s.touchTimber(i))
		s.out.polygon("wood", "", strip(a, b, half))
		for _, e := range []line2{le, ri} {
			p, q := project(a, e), project(b, e)
			s.stroke("hidden", p, q, overTimber)
		}
		s.out.line("chain", a.x, a.y, b.x, b.y)
		s.done()
		s.nameTimber(t.ID, a, b, half)
	}
}

// nameTimber has the name stand beside the end that is higher on the sheet, or
// further left if the timber is level, or where there is space along it.
func (s *sheet) nameTimber(id string, a, b spotXY, half float64) {
	if b.y < a.y-1 || (math.Abs(b.y-a.y) <= 1 && b.x < a.x) {
		a, b = b, a
	}
	s.labels = append(s.labels, &label{class: "mark", say: []wording{{text: id}, {number: true, cost: 40}}, key: id,
		tip: a,
		at:  func(width float64) []place { return beside(a, b, half+1, width, highUp, both) }})
}

// drawFixed draws the datums that no layer covers.
func (s *sheet) drawFixed() {
	areas := s.touchAreas()
	for _, d := range s.Surface.Datums {
		switch {
		case d.Kind == "line" && d.Line != nil:
			a, b := s.at(vec(d.Line[0])), s.at(vec(d.Line[1]))
			s.link("datum", d.ID, "datum fixed", s.name(d.ID)+", fixed")
			s.out.polygon("touch", "", strip(a, b, touchHalf))
			s.stroke("steel", a, b, overDim)
			s.done()
			s.nameLine(d.ID, a, b)
		case d.Kind == "point" && d.Point != nil:
			p := s.at(vec(*d.Point))
			s.link("datum", d.ID, "datum fixed", s.name(d.ID)+", fixed")
			s.out.polygon("touch", "", areas[p])
			s.out.put(`<path class="pin" d="M%s %sm-9 0h18m-9 -9v18"/>`, num(p.x), num(p.y))
			s.out.circle("pin", p.x, p.y, 5)
			s.done()
			name := s.name(d.ID)
			s.labels = append(s.labels, &label{class: "mark", say: []wording{{text: name}, {number: true, cost: 40}}, key: name,
				tip: p, reach: 9, at: func(width float64) []place { return around(p, 10, width, 300) }})
		}
	}
}

// nameLine has a fixed line's name stand along it.
func (s *sheet) nameLine(id string, a, b spotXY) {
	name := s.name(id)
	s.labels = append(s.labels, &label{class: "mark", say: []wording{{text: name}, {number: true, cost: 40}}, key: name,
		at: func(width float64) []place { return beside(a, b, 2, width, aside, both) }})
}

func dist(a, b spotXY) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }
