// Package drawingtest makes rooms up that are hard to draw: of many outlines, crowded,
// with long names.
package drawingtest

import (
	"fmt"
	"math"
	"math/rand/v2"
	"strings"

	"lathmark/domain/geometry"
	"lathmark/domain/roomsheet"
	"lathmark/web/drawing"
)

// Plan returns the plan of a room that a seed stands for.
func Plan(seed uint64) drawing.Plan {
	m := maker{rand.New(rand.NewPCG(seed, 1))}
	p := drawing.Plan{Mode: drawing.Mode(m.IntN(2)), Names: map[string]string{}, Planned: map[string]roomsheet.Point{},
		Words: map[string]string{}, Answer: &geometry.Answer{}}
	s := &p.Surface
	s.ID, s.Kind = fmt.Sprintf("s%d", seed), "ceiling"
	corners := m.outline()
	for i, c := range corners {
		id := fmt.Sprintf("w%d", i)
		p.Names[id] = m.pick("south wall", "north wall, left", "chimney breast", "wall", m.name("wall"))
		s.Datums = append(s.Datums, roomsheet.Datum{ID: id, Kind: "face", Now: m.pick("bare", "board", "skim"),
			Line: &roomsheet.Line{c, corners[(i+1)%len(corners)]}, Layers: []roomsheet.Layer{
				{ID: "board", Thickness: 12.5, Stage: "boarding"}, {ID: "skim", Thickness: 3, Stage: "plaster"}}})
	}
	m.fixed(&p, corners)
	m.timbers(s, corners)
	m.positions(&p, corners)
	m.readings(&p)
	m.turn(&p)
	return p
}

type maker struct{ *rand.Rand }

func (m maker) mm(lo, hi float64) float64 { return math.Round(lo + m.Float64()*(hi-lo)) }

func (m maker) pick(of ...string) string { return of[m.IntN(len(of))] }

// name returns a name of up to 20 characters.
func (m maker) name(short string) string {
	long := []string{"over the bath", "Worktop", "MMMM WWWW", "by the window", "extractor", "second from the door"}
	n := short + " " + long[m.IntN(len(long))]
	return strings.TrimSpace(n[:min(len(n), 2+m.IntN(19))])
}

// outline returns the corners of a room, the first wall along the foot.
func (m maker) outline() []roomsheet.Point {
	w, h := m.mm(600, 8000), m.mm(600, 6000)
	a, b, c := w*m.Float64(), h*(0.2+0.6*m.Float64()), w*(0.1+0.3*m.Float64())
	switch m.IntN(8) {
	case 0: // a long way
		return []roomsheet.Point{{0, 0}, {9000, 0}, {9000, 900}, {0, 900}}
	case 1: // an L
		return []roomsheet.Point{{0, 0}, {w, 0}, {w, b}, {a * 0.8, b}, {a * 0.8, h}, {0, h}}
	case 2: // a breast
		return []roomsheet.Point{{0, 0}, {w, 0}, {w, h}, {w - c, h}, {w - c, h - 350}, {c, h - 350}, {c, h}, {0, h}}
	case 3: // a splay
		return []roomsheet.Point{{0, 0}, {w, 0}, {w, b}, {w - c, h}, {0, h}}
	case 4: // a bay
		return []roomsheet.Point{{0, 0}, {w, 0}, {w, b}, {w * 0.7, h}, {w * 0.3, h}, {0, b}}
	case 5: // a slope under a gable
		return []roomsheet.Point{{0, 0}, {w, 0}, {w / 2, h}}
	case 6: // a T
		return []roomsheet.Point{{c, 0}, {w - c, 0}, {w - c, b}, {w, b}, {w, h}, {0, h}, {0, b}, {c, b}}
	}
	return []roomsheet.Point{{0, 0}, {w, 0}, {w, h}, {0, h}}
}

// within returns a place in the box round the corners.
func (m maker) within(corners []roomsheet.Point) roomsheet.Point {
	lo, hi := boxOf(corners)
	return roomsheet.Point{m.mm(lo[0], hi[0]), m.mm(lo[1], hi[1])}
}

func boxOf(corners []roomsheet.Point) (lo, hi roomsheet.Point) {
	lo, hi = corners[0], corners[0]
	for _, c := range corners {
		for k := range 2 {
			lo[k], hi[k] = min(lo[k], c[k]), max(hi[k], c[k])
		}
	}
	return lo, hi
}

func (m maker) fixed(p *drawing.Plan, corners []roomsheet.Point) {
	lo, hi := boxOf(corners)
	for i := range m.IntN(4) {
		at := m.within(corners)
		d := roomsheet.Datum{ID: fmt.Sprintf("f%d", i), Kind: "point", Point: &at}
		if m.IntN(2) == 0 {
			d = roomsheet.Datum{ID: d.ID, Kind: "line", Line: &roomsheet.Line{{lo[0], at[1]}, {hi[0], at[1] + m.mm(-200, 200)}}}
		}
		p.Names[d.ID] = m.pick("steel", "soil stack", m.name("ridge beam"))
		p.Surface.Datums = append(p.Surface.Datums, d)
	}
}

func (m maker) timbers(s *roomsheet.Surface, corners []roomsheet.Point) {
	if m.IntN(4) == 0 {
		return
	}
	lo, hi := boxOf(corners)
	every, lean := m.mm(300, 600), m.mm(-150, 150)*float64(m.IntN(2))
	for u := lo[0] + every/2; u < hi[0]; u += every {
		s.Timbers = append(s.Timbers, roomsheet.Timber{ID: fmt.Sprintf("J%d", len(s.Timbers)+1), Width: 47,
			Line: roomsheet.Line{{u, lo[1]}, {u + lean, hi[1]}}})
	}
	s.Timbers = append(s.Timbers, roomsheet.Timber{ID: m.name("trimmer"), Width: 95,
		Line: roomsheet.Line{{lo[0], (lo[1] + hi[1]) / 2}, {hi[0], (lo[1] + hi[1]) / 2}}})
}

func (m maker) positions(p *drawing.Plan, corners []roomsheet.Point) {
	most, spread := m.IntN(41), m.mm(1, 400)
	middle := m.within(corners)
	crowd, long := m.IntN(3) == 0, m.IntN(3)
	for i := range most {
		q := roomsheet.Position{ID: fmt.Sprintf("D%d", i+1), Kind: m.pick("downlight", "fan", "socket", "pipe tail"),
			Cutout: 76}
		if m.IntN(3) < long {
			q.ID = m.name(q.ID)
			if q.ID == "D" || len(q.ID) < 3 {
				q.ID = fmt.Sprintf("D%d.", i+1)
			}
		}
		at := m.within(corners)
		if crowd {
			at = roomsheet.Point{middle[0] + m.mm(-spread, spread), middle[1] + m.mm(-spread, spread)}
		}
		a := geometry.PositionAnswer{At: geometry.Vec{U: at[0], V: at[1]}, Determinate: m.IntN(4) > 0,
			Cov: geometry.Cov{UU: 20, VV: 9}}
		if a.Determinate {
			k := m.IntN(len(corners))
			a.Mark = &geometry.Mark{From: [2]int{k, (k + 1) % len(corners)}}
			a.Plan.Offsets = [2]float64{m.mm(20, 5000), m.mm(20, 5000)}
		}
		p.Planned[q.ID] = at
		if m.IntN(3) == 0 {
			p.Words[q.ID] = m.pick("held", "found", "on timber", "hooked out")
		}
		p.Surface.Positions = append(p.Surface.Positions, q)
		p.Answer.Positions = append(p.Answer.Positions, a)
	}
}

func (m maker) readings(p *drawing.Plan) {
	s := &p.Surface
	for _, q := range s.Positions {
		for range m.IntN(4) {
			s.Measurements = append(s.Measurements, roomsheet.Measurement{ID: fmt.Sprint(len(s.Measurements)), Kind: "offset",
				Of: q.ID, From: s.Datums[m.IntN(len(s.Datums))].ID, State: m.pick("", "bare", "board", "skim"),
				Value: m.mm(20, 6000)})
		}
		if m.IntN(6) == 0 {
			s.Measurements = append(s.Measurements, roomsheet.Measurement{ID: fmt.Sprint(len(s.Measurements)),
				Kind: "distance", Of: q.ID, To: s.Positions[0].ID, Value: m.mm(20, 6000)})
		}
	}
	for i := range p.Answer.Positions {
		if m.IntN(6) == 0 && p.Answer.Positions[i].Determinate {
			p.Answer.Lines = append(p.Answer.Lines, geometry.SetOutLine{Datum: 0, Offset: m.mm(20, 3000), Positions: []int{i},
				Clears: true})
		}
	}
}

// turn turns the whole room in its frame, which the sheet turns back.
func (m maker) turn(p *drawing.Plan) {
	sin, cos := math.Sincos(m.Float64() * 2 * math.Pi * float64(m.IntN(2)))
	turned := func(q roomsheet.Point) roomsheet.Point {
		return roomsheet.Point{q[0]*cos - q[1]*sin, q[0]*sin + q[1]*cos}
	}
	for i := range p.Surface.Datums {
		d := &p.Surface.Datums[i]
		if d.Line != nil {
			d.Line = &roomsheet.Line{turned(d.Line[0]), turned(d.Line[1])}
		}
		if d.Point != nil {
			at := turned(*d.Point)
			d.Point = &at
		}
	}
	for i := range p.Surface.Timbers {
		t := &p.Surface.Timbers[i]
		t.Line = roomsheet.Line{turned(t.Line[0]), turned(t.Line[1])}
	}
	for i, q := range p.Surface.Positions {
		at := turned(p.Planned[q.ID])
		p.Planned[q.ID] = at
		p.Answer.Positions[i].At = geometry.Vec{U: at[0], V: at[1]}
	}
}
