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
	areas := s.touchAreas()
	for _, sp := range s.spots {
		class := "position"
		if !sp.measured {
			class += " unmeasured"
		}
		if s.Coming[sp.pos.ID] {
			class += " coming"
		}
		p := s.at(sp.at)
		s.link("position", sp.pos.ID, class, sp.title())
		s.out.polygon("touch", "", areas[p])
		s.out.circle("ring", p.x, p.y, 19)
		s.drawEllipse(sp, p)
		if sp.measured && sp.pos.Cutout > 0 {
			s.out.circle("cut-out", p.x, p.y, sp.pos.Cutout/2*s.scale)
		}
		s.out.put(`<g transform="translate(%s %s)"><g class="symbol-box">%s</g></g>`, num(p.x), num(p.y),
			symbolOf(sp.pos.Kind))
		s.done()
		s.nameSpot(sp)
	}
}

// symbolHalf is half of what a symbol takes up on a phone, in units.
const symbolHalf = 18.0

// nameSpot has a position's name stand beside its symbol, with what there is to say
// of it if that finds space, else as a number.
func (s *sheet) nameSpot(sp spot) {
	said, p := sp.pos.ID, s.at(sp.at)
	say := []wording{{text: said, cost: 6}}
	if w := s.Words[sp.pos.ID]; w != "" {
		more := ", " + w
		said += more
		say = []wording{{text: said}, {text: sp.pos.ID, more: more, cost: 4}, say[0]}
	}
	s.labels = append(s.labels, &label{class: "label", say: append(say, wording{number: true, cost: 70}), key: said,
		tip:   p,
		reach: symbolHalf, at: func(width float64) []place { return around(p, symbolHalf, width, 450) }})
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
