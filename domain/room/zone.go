package room

import (
	"math"

	"lathmark/domain/caution"
	"lathmark/domain/geometry"
)

// Rims of baths and trays above the floor, mm, where nobody measured them.
// Common practice, no source; they decide only what is below them.
const (
	bathRim = 550.0
	trayRim = 150.0
)

// WetZone is where a position at a place of its surface lies to the baths and
// showers of the room; nil where it is outside their zones and nothing is asked
// of it, or where the surface's own place in plan is not known.
func (r *Record) WetZone(q *Position, place geometry.Vec) []caution.Caution {
	on, err := r.Surface(q.Surface)
	if err != nil || len(r.Wet) == 0 {
		return nil
	}
	at, height, ok := inPlan(r, on, place)
	if !ok {
		return nil
	}
	var basins []caution.Basin
	for _, w := range r.Wet {
		b := caution.Basin{Name: w.Kind, Rim: trayRim}
		if w.Kind == "bath" {
			b.Rim = bathRim
		}
		for _, p := range w.Outline {
			b.Outline = append(b.Outline, caution.Point{X: p[0], Y: p[1]})
		}
		basins = append(basins, b)
	}
	zoned := caution.ZoneAt(basins, at, height)
	list := zoned.Cautions(q.Name, q.Kind == "socket")
	if zoned.Zone == caution.Outside && len(list) < 2 {
		return nil
	}
	return list
}

// inPlan turns a place on a surface into a place in the room's plan and a
// height above the floor. Ceilings and floors have the room's own frame; a wall
// is told by its length and height, where only one of the room's fits.
func inPlan(r *Record, on *Surface, at geometry.Vec) (caution.Point, float64, bool) {
	switch on.Kind {
	case "ceiling":
		return caution.Point{X: at.U, Y: at.V}, r.Height, true
	case "floor":
		return caution.Point{X: at.U, Y: at.V}, 0, true
	case "wall":
		wall := -1
		for i := range r.Outline {
			if on.Name == "wall "+string(rune('1'+i)) {
				wall = i
			}
		}
		if wall < 0 {
			return caution.Point{}, 0, false
		}
		a, b := r.Outline[wall], r.Outline[(wall+1)%len(r.Outline)]
		l := math.Hypot(b[0]-a[0], b[1]-a[1])
		return caution.Point{X: a[0] + (b[0]-a[0])*at.U/l, Y: a[1] + (b[1]-a[1])*at.U/l}, at.V, true
	}
	return caution.Point{}, 0, false
}
