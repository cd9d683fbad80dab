package drawing

import "math"

// touchHalf is half of what a mark is touched on: 48 px on a phone, on which a sheet is
// some 377 px wide.
const touchHalf = 51.5

// touchAreas returns what each position is touched on: a square about it, less what is
// nearer to another position or to a fixed point. None overlap.
func (s *sheet) touchAreas() map[spotXY][]spotXY {
	var marks []spotXY
	for _, sp := range s.spots {
		marks = append(marks, s.at(sp.at))
	}
	for _, d := range s.Surface.Datums {
		if d.Kind == "point" && d.Point != nil {
			marks = append(marks, s.at(vec(*d.Point)))
		}
	}
	areas := map[spotXY][]spotXY{}
	for _, p := range marks {
		area := []spotXY{{p.x - touchHalf, p.y - touchHalf}, {p.x + touchHalf, p.y - touchHalf},
			{p.x + touchHalf, p.y + touchHalf}, {p.x - touchHalf, p.y + touchHalf}}
		for _, q := range marks {
			if d := dist(p, q); d > 0.01 && d < 2*math.Sqrt2*touchHalf {
				area = nearer(area, p, q)
			}
		}
		areas[p] = area
	}
	return areas
}

// nearer returns the part of an area that is nearer to p than to q (Sutherland and
// Hodgman, against one edge).
func nearer(area []spotXY, p, q spotXY) []spotXY {
	over := func(c spotXY) float64 { // positive on q's side of the middle
		return (c.x-(p.x+q.x)/2)*(q.x-p.x) + (c.y-(p.y+q.y)/2)*(q.y-p.y)
	}
	var out []spotXY
	for i, a := range area {
		b := area[(i+1)%len(area)]
		oa, ob := over(a), over(b)
		if oa <= 0 {
			out = append(out, a)
		}
		if (oa < 0) != (ob < 0) && oa != ob {
			t := oa / (oa - ob)
			out = append(out, spotXY{a.x + (b.x-a.x)*t, a.y + (b.y-a.y)*t})
		}
	}
	return out
}

// strip returns the area within half units of a line.
func strip(a, b spotXY, half float64) []spotXY {
	l := through(a, b)
	le, ri := l.out(-half), l.out(half)
	return []spotXY{project(a, le), project(b, le), project(b, ri), project(a, ri)}
}

// touchTimber returns what a timber is touched on: a strip along it, no wider than half
// of the way to one that runs beside it.
func (s *sheet) touchTimber(i int) []spotXY {
	t := s.Surface.Timbers[i]
	a, b := s.at(vec(t.Line[0])), s.at(vec(t.Line[1]))
	half, l := touchHalf, through(a, b)
	for k, o := range s.Surface.Timbers {
		c, d := s.at(vec(o.Line[0])), s.at(vec(o.Line[1]))
		if m := through(c, d); k != i && math.Abs(l.dx*m.dy-l.dy*m.dx) < 0.1 {
			mid := spotXY{(c.x + d.x) / 2, (c.y + d.y) / 2}
			if off := dist(mid, project(mid, l)); off > 1 {
				half = math.Min(half, off/2)
			}
		}
	}
	return strip(a, b, half)
}
