package programme

import (
	"fmt"
	"math"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// usualHeight stands for a room's where nobody gave it, mm. Common practice, no source.
const usualHeight = 2400.0

// place is one face as it stands in the room: a wall of the outline is one place, wherever
// it is drawn, and each other face or surface is its own.
type place struct {
	wall    int
	surface id.Surface
	datum   id.Datum
}

// placeOf returns the place that a layer goes on, and its area in m².
func placeOf(r *room.Record, l *room.Layer) (place, float64) {
	height := r.Height
	if height <= 0 {
		height = usualHeight
	}
	walls := len(r.Outline)
	if d, err := r.Datum(l.Datum); err == nil {
		if d.Wall > 0 && d.Wall <= walls {
			return place{wall: d.Wall}, wallLength(r, d.Wall) * height / 1e6
		}
		return place{surface: d.Surface, datum: d.ID}, math.Hypot(d.B[0]-d.A[0], d.B[1]-d.A[1]) * height / 1e6
	}
	s, err := r.Surface(l.Surface)
	switch {
	case err != nil:
		return place{}, 0
	case s.Kind == "wall" && s.Wall > 0 && s.Wall <= walls:
		return place{wall: s.Wall}, wallLength(r, s.Wall) * height / 1e6
	}
	return place{surface: s.ID}, outlineArea(s.Outline)
}

func wallLength(r *room.Record, n int) float64 {
	a, b := r.Outline[n-1], r.Outline[n%len(r.Outline)]
	return math.Hypot(b[0]-a[0], b[1]-a[1])
}

// outlineArea is the area inside corners in mm, in m².
func outlineArea(corners []roomsheet.Point) float64 {
	sum := 0.0
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		sum += a[0]*b[1] - b[0]*a[1]
	}
	return math.Abs(sum) / 2e6
}

// inside is the area of a room's ceiling and of its walls, m², by its outline or, without
// one, by its largest ceiling.
func inside(r *room.Record) (ceiling, walls float64) {
	outline := r.Outline
	for _, s := range r.Surfaces {
		if len(r.Outline) == 0 && s.Kind == "ceiling" && outlineArea(s.Outline) > outlineArea(outline) {
			outline = s.Outline
		}
	}
	round := 0.0
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		round += math.Hypot(b[0]-a[0], b[1]-a[1])
	}
	height := r.Height
	if height <= 0 {
		height = usualHeight
	}
	return outlineArea(outline), round * height / 1e6
}

// m2 says an area: "31 m² of boards"; under one it is said as one.
func m2(area float64, of string) string {
	return fmt.Sprintf("%.0f m² of %s", math.Max(1, area), of)
}

// spread is what is to go on, by the layer's name.
type spread struct {
	name string
	area float64
}

// layersLeft returns what a trade still has to put on in a stage, m² of each layer by its
// name, in the order in which they are planned. A wall that is drawn twice counts once. With
// done it is the whole of the stage, as for what was learned of it.
func layersLeft(r *room.Record, s words.Stage, t words.Trade, done bool) (out []spread) {
	type one struct {
		place
		name string
	}
	seen := map[one]int{} // where in out
	on := map[one]bool{}
	for i := range r.Layers {
		l := &r.Layers[i]
		if at, _ := placeOf(r, l); r.BuiltOf(l.ID) != nil && !done {
			on[one{at, l.Name}] = true
		}
	}
	for i := range r.Layers {
		l := &r.Layers[i]
		at, area := placeOf(r, l)
		key := one{at, l.Name}
		if _, twice := seen[key]; twice || on[key] || l.Stage != s || words.TradeOfLayer(l.Name, l.Stage) != t {
			continue
		}
		k := 0
		for k < len(out) && out[k].name != l.Name {
			k++
		}
		if k == len(out) {
			out = append(out, spread{name: l.Name})
		}
		out[k].area += area
		seen[key] = k
	}
	return out
}
