package drawing

import (
	"fmt"
	"math"

	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// chi2At95 is the 95 % point of chi-square with two degrees of freedom.
const chi2At95 = 5.991464547107979

// Ellipse95 returns the 95 % ellipse of a covariance: a covariance that is not
// positive has an ellipse with a zero semi-axis, never NaN.
func Ellipse95(c geometry.Cov) geometry.Ellipse {
	mean, half := (c.UU+c.VV)/2, (c.UU-c.VV)/2
	r := math.Hypot(half, c.UV)
	angle := 0.0
	if r > 0 {
		angle = math.Atan2(c.UV, half) / 2 * 180 / math.Pi
	}
	if angle <= -90 {
		angle += 180
	}
	return geometry.Ellipse{
		A:     math.Sqrt(math.Max(0, mean+r) * chi2At95),
		B:     math.Sqrt(math.Max(0, mean-r) * chi2At95),
		Angle: angle,
	}
}

// spot is a position with its place in the surface's frame.
type spot struct {
	index    int
	pos      roomsheet.Position
	at       geometry.Vec
	measured bool
	answer   *geometry.PositionAnswer
}

func (s *sheet) placeSpots() []spot {
	var spots []spot
	for i, q := range s.Surface.Positions {
		at, measured, ok := s.placeOf(q.ID)
		if !ok {
			continue
		}
		sp := spot{index: i, pos: q, at: at, measured: measured}
		if measured {
			sp.answer = &s.Answer.Positions[i]
			if s.Mode == SetOut {
				sp.at = add(at, sp.answer.Plan.Move)
			}
		}
		spots = append(spots, sp)
	}
	return spots
}

func add(a, b geometry.Vec) geometry.Vec { return geometry.Vec{U: a.U + b.U, V: a.V + b.V} }

func (s *sheet) drawSpots() {
	for i, sp := range s.spots {
		class := "position"
		if !sp.measured {
			class += " unmeasured"
		}
		p := s.at(sp.at)
		s.link("position", sp.pos.ID, class, sp.title())
		s.out.circle("touch", p.x, p.y, 22)
		s.out.circle("ring", p.x, p.y, 19)
		s.drawEllipse(sp, p)
		if sp.measured && sp.pos.Cutout > 0 {
			s.out.circle("cut-out", p.x, p.y, sp.pos.Cutout/2*s.scale)
		}
		s.out.put(`<g transform="translate(%s %s)"><g class="symbol-box">%s</g></g>`, num(p.x), num(p.y),
			symbolOf(sp.pos.Kind))
		label := sp.pos.ID
		if w := s.Words[sp.pos.ID]; w != "" {
			label += ", " + w
		}
		s.labelSpot(i, p, label)
		s.out.put("</a>")
	}
}

// box is what a label or a symbol takes up on the sheet.
type box struct{ x0, y0, x1, y1 float64 }

func (a box) over(b box) float64 {
	w := math.Min(a.x1, b.x1) - math.Max(a.x0, b.x0)
	h := math.Min(a.y1, b.y1) - math.Max(a.y0, b.y0)
	if w <= 0 || h <= 0 {
		return 0
	}
	return w * h
}

// labelSpot writes at the first free one of the symbol's four corners, or at
// the emptiest.
func (s *sheet) labelSpot(own int, p spotXY, label string) {
	long := 12 * float64(len(label))
	best, least := 0, math.Inf(1)
	corners := []box{
		{p.x + 13, p.y - 24, p.x + 13 + long, p.y - 4}, {p.x - 13 - long, p.y - 24, p.x - 13, p.y - 4},
		{p.x + 13, p.y + 6, p.x + 13 + long, p.y + 26}, {p.x - 13 - long, p.y + 6, p.x - 13, p.y + 26},
	}
	for i, c := range corners {
		if o := s.crowding(own, c); o < least-0.5 {
			best, least = i, o
		}
	}
	c := corners[best]
	s.taken = append(s.taken, c)
	if best%2 == 0 {
		s.out.text("label", c.x0, c.y1-5, "start", 0, label)
	} else {
		s.out.text("label", c.x1, c.y1-5, "end", 0, label)
	}
}

// crowding returns how much of a place is taken by other symbols, by labels, or
// lies outside the room.
func (s *sheet) crowding(own int, c box) float64 {
	o := math.Max(0, s.ox-c.x0)*20 + math.Max(0, c.x1-s.ox-s.w)*20
	for _, t := range s.taken {
		o += c.over(t)
	}
	for i, sp := range s.spots {
		if i != own {
			q := s.at(sp.at)
			o += c.over(box{q.x - 12, q.y - 12, q.x + 12, q.y + 12})
		}
	}
	return o
}

func (sp spot) title() string {
	t := sp.pos.ID
	if sp.pos.Kind != "" {
		t += ", " + sp.pos.Kind
	}
	switch {
	case !sp.measured:
		t += ", planned here, not yet measured"
	default:
		t += ", measured, " + words.Checked(sp.answer.Slip)
	}
	return t
}

func (s *sheet) drawEllipse(sp spot, p spotXY) {
	if !sp.measured {
		return
	}
	e := Ellipse95(sp.answer.Cov)
	if s.Mode == SetOut && sp.answer.Mark != nil {
		e = sp.answer.Mark.Ellipse
	}
	k := Magnify * s.scale
	// v grows upwards and the frame may be turned: the sheet's angle is the
	// turned angle, the other way round.
	deg := -(e.Angle + math.Atan2(s.sin, s.cos)*180/math.Pi)
	s.out.put(`<ellipse class="sure" cx="%s" cy="%s" rx="%s" ry="%s" transform="rotate(%s %s %s)"/>`,
		num(p.x), num(p.y), num(e.A*k), num(e.B*k), num(deg), num(p.x), num(p.y))
}

// Note returns what the ellipses are and how much they are enlarged.
func Note() string {
	return fmt.Sprintf("Dotted ring: the tail is in it 19 times in 20; drawn %d times as large. Layers behind a face "+
		"are not to scale.", Magnify)
}
