package scenario

import (
	"fmt"
	"math"
	"math/rand/v2"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// chance draws what is left to chance.
type chance struct{ rng *rand.Rand }

// normal draws from a normal distribution, cut off at two standard deviations:
// what is wrong in the scenario is meant to be wrong.
func (c chance) normal(sigma float64) float64 {
	return sigma * math.Max(-2, math.Min(2, c.rng.NormFloat64()))
}

// What is simulated: how far tails hang from where the schedule wants them,
// how far walls are from where they are drawn, and what a tape and a rule show
// of it, each one standard deviation in mm.
const (
	tailOff   = 6.0
	wallOff   = 4.0
	tapeNoise = 2.0
	ruleNoise = 0.7
	tailNoise = 3.0 // of a found tail, measured past the hole's edge
)

// truth is how a room really is.
type truth struct {
	tails  map[id.Position]roomsheet.Point
	walls  map[id.Datum]float64
	layers map[id.Layer]float64
}

func newTruth() truth {
	return truth{map[id.Position]roomsheet.Point{}, map[id.Datum]float64{}, map[id.Layer]float64{}}
}

// tail returns where a position's tail really is.
func (s *story) tail(p *room.Position) roomsheet.Point {
	at, known := s.truth.tails[p.ID]
	if !known {
		at = roomsheet.Point{p.Planned[0] + s.normal(tailOff), p.Planned[1] + s.normal(tailOff)}
		s.truth.tails[p.ID] = at
	}
	return at
}

// wall returns how far a face really is inside its line as drawn, mm.
func (s *story) wall(d *room.Datum) float64 {
	if d.Kind != words.Face {
		return 0
	}
	off, known := s.truth.walls[d.ID]
	if !known {
		off = s.normal(wallOff)
		s.truth.walls[d.ID] = off
	}
	return off
}

// thick returns how thick a layer really is.
func (s *story) thick(l *room.Layer) float64 {
	t, known := s.truth.layers[l.ID]
	if !known {
		sigma := l.Sigma
		if sigma == 0 {
			sigma = l.Thickness / 5
		}
		t = math.Max(1, l.Thickness+s.normal(sigma)/2)
		s.truth.layers[l.ID] = t
	}
	return t
}

// cover returns what really lies on a face or surface up to a state.
func (s *story) cover(layers []room.Layer, state string) float64 {
	sum := 0.0
	for i := range layers {
		if state == roomsheet.Bare || state == "" {
			break
		}
		sum += s.thick(&layers[i])
		if layers[i].Name == state {
			break
		}
	}
	return sum
}

// offset returns what a perfect tape would show from a datum as it is today to the
// tail of a position: the model of the room sheet, the other way round.
func (s *story) offset(p *room.Position, d *room.Datum) (value float64, state, surfaceState string) {
	at := s.tail(p)
	if d.Kind == words.Point {
		return math.Hypot(at[0]-d.A[0], at[1]-d.A[1]), "", ""
	}
	du, dv := d.B[0]-d.A[0], d.B[1]-d.A[1]
	length := math.Hypot(du, dv)
	value = ((at[1]-d.A[1])*du-(at[0]-d.A[0])*dv)/length - s.wall(d)
	if d.Kind != words.Face {
		return value, "", ""
	}
	layers := s.at.Record.LayersOf(d.Surface, d.ID)
	state = s.at.Record.Now(layers)
	lean := d.Lean * math.Pi / 180
	value -= s.cover(layers, state) / math.Cos(lean)
	if d.Lean != 0 {
		own := s.at.Record.LayersOf(d.Surface, id.Datum{})
		surfaceState = s.at.Record.Now(own)
		value += s.cover(own, surfaceState) * math.Tan(lean)
	}
	return value, state, surfaceState
}

// datum finds a datum of a surface by its name.
func (s *story) datum(surface, name string) (*room.Datum, error) {
	for i := range s.at.Record.Datums {
		d := &s.at.Record.Datums[i]
		on, err := s.at.Record.Surface(d.Surface)
		if err == nil && on.Name == surface && d.Name == name {
			return d, nil
		}
	}
	return nil, fmt.Errorf("%s has no %s on its %s", s.name, name, surface)
}

func (s *story) surface(name string) (*room.Surface, error) {
	for i := range s.at.Record.Surfaces {
		if s.at.Record.Surfaces[i].Name == name {
			return &s.at.Record.Surfaces[i], nil
		}
	}
	return nil, fmt.Errorf("%s has no %s", s.name, name)
}

// position finds a position by its name, and the name of its surface.
func (s *story) position(name string) (*room.Position, string, error) {
	for i := range s.at.Record.Positions {
		if p := &s.at.Record.Positions[i]; p.Name == name {
			on, err := s.at.Record.Surface(p.Surface)
			return p, on.Name, err
		}
	}
	return nil, "", fmt.Errorf("%s has no %s", s.name, name)
}
