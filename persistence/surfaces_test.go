package persistence_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// measured is a room of one surface with its readings, as they come to mind.
type measured struct {
	room.Record
	at map[id.Position]roomsheet.Point // where positions truly are
}

func newMeasured() *measured {
	m := &measured{at: map[id.Position]roomsheet.Point{}}
	m.Name = "Utility"
	m.Surfaces = []room.Surface{{ID: id.New[id.Surface](), Name: "ceiling", Kind: "ceiling"}}
	return m
}

// line adds a face or a line between two places, or a point.
func (m *measured) line(kind words.DatumKind, name string, a, b roomsheet.Point) *room.Datum {
	m.Datums = append(m.Datums, room.Datum{ID: id.New[id.Datum](), Surface: m.Surfaces[0].ID, Name: name, Kind: kind, A: a,
		B: b})
	return &m.Datums[len(m.Datums)-1]
}

// walls adds faces from corner to corner and back to the first.
func (m *measured) walls(corners ...roomsheet.Point) {
	for i, a := range corners {
		m.line(words.Face, fmt.Sprint("wall ", i+1), a, corners[(i+1)%len(corners)])
	}
}

// layers puts layers on a face, or on the surface itself where datum is none.
func (m *measured) layers(datum id.Datum, thick ...float64) {
	for i, t := range thick {
		m.Layers = append(m.Layers, room.Layer{ID: id.New[id.Layer](), Surface: m.Surfaces[0].ID, Datum: datum, Place: i + 1,
			Name: fmt.Sprint("layer ", i+1), Thickness: t, Stage: words.Boarding})
	}
}

func (m *measured) position(u, v float64) id.Position {
	p := room.Position{ID: id.New[id.Position](), Surface: m.Surfaces[0].ID, Name: fmt.Sprint("D", len(m.Positions)+1)}
	m.Positions = append(m.Positions, p)
	m.at[p.ID] = roomsheet.Point{u, v}
	return p.ID
}

// take writes a reading down and returns it, to be changed.
func (m *measured) take(r room.Measurement) *room.Measurement {
	r.ID, r.Surface, r.Name, r.By = id.New[id.Measurement](), m.Surfaces[0].ID, fmt.Sprint("m", len(m.Measurements)+1),
		"tape"
	m.Measurements = append(m.Measurements, r)
	return &m.Measurements[len(m.Measurements)-1]
}

// offset tapes a position from a datum with an error.
func (m *measured) offset(of id.Position, from *room.Datum, wrong float64) *room.Measurement {
	at, du, dv := m.at[of], from.B[0]-from.A[0], from.B[1]-from.A[1]
	value := math.Hypot(at[0]-from.A[0], at[1]-from.A[1])
	if from.Kind != words.Point {
		value = (du*(at[1]-from.A[1]) - dv*(at[0]-from.A[0])) / math.Hypot(du, dv)
	}
	state := ""
	if from.Kind == words.Face {
		state = roomsheet.Bare
	}
	return m.take(room.Measurement{Kind: words.Offset, Of: of, From: from.ID, State: state, Value: value + wrong})
}

// distance tapes between two positions with an error.
func (m *measured) distance(of, to id.Position, wrong float64) *room.Measurement {
	value := math.Hypot(m.at[of][0]-m.at[to][0], m.at[of][1]-m.at[to][1])
	return m.take(room.Measurement{Kind: words.Distance, Of: of, ToPosition: to, Value: math.Abs(value + wrong)})
}

var plans = [][]roomsheet.Point{
	{{0, 0}, {4000, 0}, {4000, 3000}, {0, 3000}},
	{{0, 0}, {4000, 0}, {4000, 1500}, {2000, 1500}, {2000, 3000}, {0, 3000}},
	{{0, 0}, {4200, 300}, {3600, 3100}, {-200, 2700}},
}

// drawSurface draws a surface that is measured as people do on a bad day: along
// chains, from points, nearly in line, twice the same, with slips.
func drawSurface(r *rand.Rand) *measured {
	m := newMeasured()
	m.walls(one(r, plans)...)
	if r.IntN(5) == 0 { // nobody drew that one
		k := r.IntN(len(m.Datums))
		m.Datums = slices.Delete(m.Datums, k, k+1)
	}
	tilt := math.Tan((5.9 + 0.2*r.Float64()) * math.Pi / 180)
	m.line(words.Line, "splay", roomsheet.Point{0, 0}, roomsheet.Point{4000, 4000 * tilt})
	m.line(words.Line, "steel", roomsheet.Point{0, 1500}, roomsheet.Point{4000, 1500})
	for k := range 1 + r.IntN(2) {
		m.line(words.Point, fmt.Sprint("stack ", k), roomsheet.Point{float64(300 + r.IntN(3400)),
			float64(200 + r.IntN(2600))},
			roomsheet.Point{})
	}
	cover(r, m)
	for range 2 + r.IntN(7) {
		drawPosition(r, m)
	}
	r.Shuffle(len(m.Positions), func(a, b int) { // names, by which the sums go, are in no order
		m.Positions[a].Name, m.Positions[b].Name = m.Positions[b].Name, m.Positions[a].Name
	})
	spans(r, m)
	for k := range m.Measurements {
		z := &m.Measurements[k]
		z.By = one(r, []string{"tape", "laser", "rule"})
		z.Value = math.Round(z.Value)
		switch r.IntN(30) {
		case 0:
			z.State = "" // nobody looked
		case 1:
			z.StruckAt, z.StruckWhy = time.Now(), "misread"
		case 2:
			z.Sigma = one(r, []float64{0.001, 0.5, 20, 1000})
		}
		if z.Kind != words.Span && r.IntN(30) == 0 {
			z.Value += one(r, []float64{-1000, -100, 25, 100, 500})
		}
		if d, err := m.Datum(z.From); err != nil || d.Kind != words.Line {
			z.Value = math.Abs(z.Value)
		}
	}
	return m
}

// cover gives faces layers, leans and sigmas of their own.
func cover(r *rand.Rand, m *measured) {
	if r.IntN(3) == 0 {
		m.layers(id.Datum{}, 25, 3)
		if r.IntN(2) == 0 {
			m.Built = []room.AsBuilt{{Layer: m.Layers[0].ID, Stage: words.Boarding, Thickness: 31}}
		}
	}
	for k := range m.Datums {
		d := &m.Datums[k]
		if r.IntN(6) == 0 {
			d.Sigma = one(r, []float64{0.001, 1, 30, 1000})
		}
		if d.Kind == words.Face && r.IntN(2) == 0 {
			m.layers(d.ID, 12.5+float64(r.IntN(30)), 3)
		}
		if d.Kind == words.Face && r.IntN(5) == 0 {
			d.Lean = one(r, []float64{-20, 12, 35, 60})
		}
	}
}

// drawPosition adds a position, often in line with others, and its readings.
func drawPosition(r *rand.Rand, m *measured) {
	before := slices.Clone(m.Positions)
	u, v := 100+3600*r.Float64(), 100+2700*r.Float64()
	if len(before) > 1 && r.IntN(3) == 0 { // nearly in line with two others
		a, b := m.at[one(r, before).ID], m.at[one(r, before).ID]
		turn, far := (9.5+r.Float64())*math.Pi/180, 0.3+r.Float64()
		du, dv := (b[0]-a[0])*far, (b[1]-a[1])*far
		u, v = b[0]+du*math.Cos(turn)-dv*math.Sin(turn), b[1]+du*math.Sin(turn)+dv*math.Cos(turn)
	}
	p := m.position(math.Round(u), math.Round(v))
	n := 1 + r.IntN(4)
	for range n {
		wrong := 2 * r.NormFloat64()
		if len(before) > 0 && r.IntN(5) > 1 {
			m.distance(p, one(r, before).ID, wrong)
			continue
		}
		d := one(r, m.Datums)
		z := m.offset(p, &d, wrong)
		if layers := m.LayersOf(d.Surface, d.ID); len(layers) > 0 {
			z.State = one(r, []string{"bare", layers[0].Name, layers[len(layers)-1].Name})
		}
		if own := m.LayersOf(d.Surface, id.Datum{}); len(own) > 0 && d.Kind == words.Face && r.IntN(2) == 0 {
			z.SurfaceState = own[0].Name
		}
	}
	if len(before) < 2 && r.IntN(4) > 0 { // something to start from
		m.offset(p, &m.Datums[0], 0)
		m.offset(p, &m.Datums[1], 0)
	}
}

// spans adds a span and a thickness, now and then one that is far off.
func spans(r *rand.Rand, m *measured) {
	a, b := one(r, m.Datums), one(r, m.Datums)
	au, av, bu, bv := a.B[0]-a.A[0], a.B[1]-a.A[1], b.A[0]-b.B[0], b.A[1]-b.B[1]
	if opposite := math.Abs(math.Atan2(au*bv-av*bu, au*bu+av*bv)) < 0.08; opposite && a.Kind == words.Face &&
		b.Kind == words.Face {
		m.take(room.Measurement{Kind: words.Span, From: a.ID, To: b.ID, State: roomsheet.Bare, ToState: roomsheet.Bare,
			Value: one(r, []float64{4000, 3000, 2000})})
	}
	for _, l := range m.Layers {
		if !l.Datum.IsZero() && r.IntN(6) == 0 {
			m.take(room.Measurement{Kind: words.Thickness, From: l.Datum, State: l.Name, Value: one(r, []float64{20, 28, 90})})
		}
	}
}

func one[T any](r *rand.Rand, list []T) T { return list[r.IntN(len(list))] }
