package geometry

// outsideMargin: a place up to this many mm behind a face may still be inside,
// faces being drawn to a centimetre or so and then covered.
const outsideMargin = 50.0

// outline is what the faces say about where the room is. It serves one
// purpose: to rule out a mirror place that no tail can be at.
type outline struct {
	faces []Datum
	ring  []Vec // the corners, where the faces close into one ring; else nil
}

func (s *Surface) outline() outline {
	var o outline
	for _, d := range s.Datums {
		if d.Kind == Face {
			o.faces = append(o.faces, d)
		}
	}
	o.ring = ring(o.faces)
	return o
}

// ring walks from face to face, each starting where one ends, and returns the
// corners where that uses every face and comes back to the first.
func ring(faces []Datum) []Vec {
	if len(faces) < 3 {
		return nil
	}
	corners := []Vec{faces[0].A}
	used := make([]bool, len(faces))
	for at := 0; len(corners) <= len(faces); {
		used[at] = true
		next := -1
		for k := range faces {
			if faces[k].A.distance(faces[at].B) < 1 && (!used[k] || k == 0 && len(corners) == len(faces)) {
				next = k
				break
			}
		}
		if next <= 0 {
			if next == 0 {
				return corners
			}
			return nil
		}
		corners = append(corners, faces[next].A)
		at = next
	}
	return nil
}

// outside reports whether p is surely not in the room: outside the ring of faces
// or, where they form no ring, behind one of them between its ends; and in
// either case not within the margin of any face.
func (o outline) outside(p Vec) bool {
	behind := o.ring != nil
	for k := range o.faces {
		f := &o.faces[k]
		dir, l := f.B.minus(f.A).unit(), f.A.distance(f.B)
		foot := p.minus(f.A).dot(dir)
		if f.A.along(dir, max(0, min(l, foot))).distance(p) <= outsideMargin {
			return false
		}
		if o.ring == nil && foot >= 0 && foot <= l && dir.left().dot(p.minus(f.A)) < 0 {
			behind = true
		}
	}
	return behind && !(o.ring != nil && contains(o.ring, p))
}

// contains returns the even-odd test of a point in a polygon.
func contains(corners []Vec, p Vec) bool {
	in := false
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		if (a.V > p.V) != (b.V > p.V) && p.U < a.U+(p.V-a.V)/(b.V-a.V)*(b.U-a.U) {
			in = !in
		}
	}
	return in
}
