package room

import (
	"math"

	"lathmark/domain/caution"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// CautionHole is what the cautions go by where a position's hole is cut at a place
// of its surface.
func (r *Record) CautionHole(q *Position, at geometry.Vec) caution.Hole {
	h := caution.Hole{Name: q.Name, Kind: q.Kind, Height: math.NaN(), Use: r.Use, Wet: r.WetZone(q, at),
		At: caution.Point{X: at.U, Y: at.V}}
	on, err := r.Surface(q.Surface)
	if err != nil {
		return h
	}
	switch h.Surface = on.Kind; on.Kind {
	case "ceiling":
		h.Height = r.Height
	case "floor":
		h.Height = 0
	case "wall":
		wall := r.cableWall(on, q.ID)
		h.Height, h.Wall = at.V, &wall
	}
	return h
}

// cableWall is a wall as it concerns concealed cables: with the electrician's points on
// it but for one position, where each is planned.
func (r *Record) cableWall(on *Surface, but id.Position) caution.CableWall {
	w := caution.CableWall{AngleLeft: true, AngleRight: true}
	for _, p := range on.Outline {
		w.Width, w.Height = math.Max(w.Width, p[0]), math.Max(w.Height, p[1])
	}
	for i := range r.Positions {
		q := &r.Positions[i]
		if q.Surface != on.ID || q.ID == but || q.Trade != words.Electrician || q.Planned == nil || !q.OmittedAt.IsZero() {
			continue
		}
		w.Accessories = append(w.Accessories, caution.Accessory{Name: q.Name,
			At:    caution.Point{X: q.Planned[0], Y: q.Planned[1]},
			Width: math.Max(q.Cutout, caution.Plate), Height: math.Max(q.Cutout, caution.Plate)})
	}
	return w
}
