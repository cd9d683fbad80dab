package room

import (
	"math"
	"strings"

	"lathmark/domain/caution"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Rims of baths and trays above the floor, mm, where nobody measured them.
// Common practice, no source; they decide only what is below them.
const (
	bathRim = 550.0
	trayRim = 150.0
)

// What may go on where nobody has planned it, mm: as much as is common, because the thicker the floor and the
// ceiling are in the end, the lower a hole is above the floor, and the wetter. Common practice, no source.
const (
	mostOnFloor   = 75.0
	mostOnCeiling = 30.0
	mostOnWall    = 60.0
)

// spot is where a hole may be: a place in the room's plan, and its height above the finished floor.
type spot struct {
	at     caution.Point
	height float64
}

// WetZone returns what to mind at a position that comes through its surface at a place, mm in the surface's
// own frame, because of the baths and showers of the room; nil where nothing is asked of it. Heights are above the
// finished floor and under the finished ceiling. What is not known is taken as the wetter: a build-up that nobody
// planned, a wall of which nobody knows which one it is, how high the foot of a slope is.
func (r *Record) WetZone(p *Position, at geometry.Vec) []caution.Caution {
	on, err := r.Surface(p.Surface)
	if err != nil || len(r.Wet) == 0 {
		return nil
	}
	spots, taken := r.spots(on, roomsheet.Point{at.U, at.V})
	worst, height := caution.Zoned{Zone: caution.Outside, Distance: math.Inf(1), Basin: -1}, 0.0
	for _, s := range spots {
		if z := caution.ZoneAt(r.basins(), s.at, s.height); z.Wetter(worst) {
			worst, height = z, s.height
		}
	}
	list := worst.Cautions(p.Name, height, p.Kind == "socket")
	if len(list) > 0 && len(taken) > 0 {
		list[0].Text += " " + words.Capital(strings.Join(taken, "; ")) + "."
	}
	return list
}

func (r *Record) basins() (out []caution.Basin) {
	for _, w := range r.Wet {
		b := caution.Basin{Name: w.Kind, Rim: trayRim}
		if w.Kind == "bath" {
			b.Rim = bathRim
		}
		for _, p := range w.Outline {
			b.Outline = append(b.Outline, caution.Point{X: p[0], Y: p[1]})
		}
		out = append(out, b)
	}
	return out
}

// spots returns where a place on a surface may be, and in words what was taken for it. Ceilings and floors have
// the room's own frame.
func (r *Record) spots(on *Surface, p roomsheet.Point) (out []spot, taken []string) {
	floor := r.thickest(&taken, "the floor's", mostOnFloor, func(s *Surface, d *Datum) bool {
		return s.Kind == "floor" && d == nil || s.Kind == "wall" && d != nil && d.A[1] < near && d.B[1] < near
	})
	switch on.Kind {
	case "floor":
		return []spot{{caution.Point{X: p[0], Y: p[1]}, 0}}, nil
	case "ceiling":
		ceiling := r.thickest(&taken, "the ceiling's", mostOnCeiling, func(s *Surface, d *Datum) bool {
			return s.ID == on.ID && d == nil || s.Kind == "wall" && d != nil && d.A[1] > near && d.A[1] == d.B[1]
		})
		return []spot{{caution.Point{X: p[0], Y: p[1]}, r.Height - floor - ceiling}}, taken
	}
	into, up := 0.0, p[1]
	if on.Kind == "slope" {
		sin, cos := math.Sincos(on.Pitch * math.Pi / 180)
		into, up = p[1]*cos, p[1]*sin
		taken = append(taken, "how high the foot of the slope is, is not recorded, and it is taken as low")
	}
	own, _ := r.grows(on.ID, id.Datum{})
	walls, turns := []int{on.Wall}, 1
	if on.Wall < 1 || on.Wall > len(r.Outline) {
		if walls, turns = r.couldBe(on), 2; len(walls) == 0 {
			for n := range r.Outline {
				walls = append(walls, n+1)
			}
		}
		taken = append(taken, "which wall of the room it is, is not recorded, and the wettest is taken")
	}
	for _, n := range walls {
		thick := max(own, r.thickestOn(n))
		w := r.wallLine(n)
		for turn := range turns {
			along := w.length - p[0] // the left side, seen from inside, is where the wall ends
			if turn == 1 {
				along = p[0]
			}
			for _, off := range []float64{into, into + thick} {
				height := up - floor
				if on.Kind == "slope" { // nothing slopes down into a bath
					height = max(height-own, bathRim+1)
				}
				out = append(out, spot{caution.Point{X: w.a[0] + along*w.eu - off*w.ev, Y: w.a[1] + along*w.ev + off*w.eu},
					height})
			}
		}
	}
	return out, taken
}

// grows returns how thick what goes on a face, or on a surface itself, is in the end, as built where that is
// recorded. False where nobody has planned it.
func (r *Record) grows(surface id.Surface, datum id.Datum) (mm float64, known bool) {
	layers := r.LayersOf(surface, datum)
	for _, l := range layers {
		if b := r.BuiltOf(l.ID); b != nil && b.Thickness > 0 {
			mm += b.Thickness
			continue
		}
		mm += l.Thickness
	}
	for i := range r.Measurements { // a thickness that was measured from bare, with what is still to go on it
		m := &r.Measurements[i]
		if datum.IsZero() || m.From != datum || m.Kind != words.Thickness || !m.Stands() || m.FromState != "" {
			continue
		}
		whole, on := m.Value, true
		for _, l := range layers {
			if !on {
				whole += l.Thickness
			}
			on = on && l.Name != m.State
		}
		mm = max(mm, whole)
	}
	return mm, len(layers) > 0
}

// thickest returns the most that goes on any of the surfaces themselves (no datum) and of the faces that are
// asked for. Where nobody has planned any of them it is most, and taken says so.
func (r *Record) thickest(taken *[]string, whose string, most float64, asked func(*Surface, *Datum) bool) float64 {
	thick, known := 0.0, false
	see := func(mm float64, planned bool) { thick, known = max(thick, mm), known || planned }
	for i := range r.Surfaces {
		if s := &r.Surfaces[i]; asked(s, nil) {
			see(r.grows(s.ID, id.Datum{}))
		}
	}
	for i := range r.Datums {
		d := &r.Datums[i]
		if s, err := r.Surface(d.Surface); err == nil && d.Kind == words.Face && asked(s, d) {
			mm, planned := r.grows(d.Surface, d.ID)
			see(mm, planned || d.StaysBare)
		}
	}
	if known {
		return thick
	}
	*taken = append(*taken, whose+" build-up is not planned, and "+words.MM(most)+" mm is taken")
	return most
}

// thickestOn is thickest of a wall of the outline, wherever it appears.
func (r *Record) thickestOn(wall int) float64 {
	var unsaid []string
	return r.thickest(&unsaid, "the wall's", mostOnWall, func(s *Surface, d *Datum) bool {
		return d == nil && s.Kind == "wall" && s.Wall == wall || d != nil && d.Wall == wall
	})
}
