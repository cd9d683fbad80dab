package roomsheet

import "lathmark/domain/geometry"

// Solve works out every surface of a room that has passed Check; it panics on
// records that Check would refuse. The order in which records stand in the
// room changes nothing but the order of the answer.
func (r *Room) Solve() []Solved {
	out := make([]Solved, len(r.Surfaces))
	for i := range r.Surfaces {
		out[i] = r.Surfaces[i].Solve()
	}
	return out
}

// Solve works out one surface of a room that has passed Check.
func (s *Surface) Solve() Solved {
	g, o := s.geometry()
	return Solved{Surface: s, Geometry: s.indexed(), Answer: o.restore(geometry.Solve(&g))}
}

// SetOut returns the set-out of a room that has passed Check. The same room returns
// the same answer to the last bit.
func SetOut(r *Room) *Answer {
	out := &Answer{Format: AnswerFormat, Room: r.Room, Surfaces: make([]SurfaceAnswer, len(r.Surfaces))}
	for i, s := range r.Solve() {
		out.Surfaces[i] = s.Outgoing()
	}
	return out
}
