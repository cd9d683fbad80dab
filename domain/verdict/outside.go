package verdict

import (
	"math"

	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// outside asks about a reading that is longer than its surface is, which needs
// no second reading to be seen. It is longer where it passes the drawing by
// more than geometry.SuspectW times the standard deviation of that difference:
// the reading's own, and of both walls' places.
func outside(j *standing.Standing, m *room.Measurement) string {
	on, err := j.Record.Surface(m.Surface)
	if err != nil || m.Kind == words.Thickness {
		return ""
	}
	solved := solvedOf(j, on.ID)
	z := reading(solved, m)
	far, way, sigma := reach(on, solved, z)
	if !(far > 0) {
		return ""
	}
	sigma = math.Hypot(math.Hypot(z.Sigma, sigma), widestWall(&solved.Geometry))
	if math.Abs(m.Value)-far <= geometry.SuspectW*sigma {
		return ""
	}
	what := "room"
	if on.Kind == "wall" || on.Kind == "slope" {
		what = on.Kind
	}
	return subject(j.Record, m) + " would be outside the " + what + ", which is " + words.MM(far) + " " + way + "."
}

func solvedOf(j *standing.Standing, on id.Surface) *roomsheet.Solved {
	for i := range j.Record.Surfaces {
		if j.Record.Surfaces[i].ID == on {
			return &j.Solved[i]
		}
	}
	return nil
}

// reading is a measurement as the geometry takes it.
func reading(s *roomsheet.Solved, m *room.Measurement) *geometry.Measurement {
	for i := range s.Surface.Measurements {
		if s.Surface.Measurements[i].ID == m.Name {
			return &s.Geometry.Measurements[i]
		}
	}
	return nil
}

// reach is the longest that a reading can be on a surface as it is drawn, in
// mm; which way that is; and the standard deviation of where it begins. It is 0
// where the drawing has no corners.
func reach(on *room.Surface, s *roomsheet.Solved, z *geometry.Measurement) (far float64, way string, sigma float64) {
	if z == nil || len(on.Outline) < 3 {
		return 0, "", 0
	}
	if z.Kind == geometry.Distance {
		for i, a := range on.Outline {
			for _, b := range on.Outline[:i] {
				far = math.Max(far, math.Hypot(b[0]-a[0], b[1]-a[1]))
			}
		}
		return far, "from corner to corner", 0
	}
	d := &s.Geometry.Datums[z.From]
	for _, c := range on.Outline {
		far = math.Max(far, along(d, c, z.Value < 0))
	}
	return far + rise(&s.Geometry, z), "that way", d.Sigma
}

// along is how far a corner lies from a datum: square off a face or line, on
// its right where right is; straight from a point.
func along(d *geometry.Datum, c roomsheet.Point, right bool) float64 {
	du, dv := c[0]-d.A.U, c[1]-d.A.V
	if d.Kind == geometry.FixedPoint {
		return math.Hypot(du, dv)
	}
	u, v := d.B.U-d.A.U, d.B.V-d.A.V
	off := (u*dv - v*du) / math.Hypot(u, v)
	if right {
		return -off
	}
	return off
}

// rise is what the surface's own layers add to an offset from a face that
// leans away from it: their thickness times the tangent of the lean.
func rise(s *geometry.Surface, z *geometry.Measurement) float64 {
	sum := 0.0
	for _, l := range s.Layers[:z.SurfaceState] {
		sum += l.Thickness
	}
	return math.Max(0, sum*math.Tan(s.Datums[z.From].Lean*math.Pi/180))
}

// widestWall is the least sure place of a face, one standard deviation, mm.
func widestWall(s *geometry.Surface) float64 {
	widest := 0.0
	for i := range s.Datums {
		if s.Datums[i].Kind == geometry.Face {
			widest = math.Max(widest, s.Datums[i].Sigma)
		}
	}
	return widest
}
