package advice

import "lathmark/domain/roomsheet"

// SetOut returns the set-out of a room that has passed roomsheet.Check, with what is
// said of each hole.
func SetOut(r *roomsheet.Room) *roomsheet.Answer {
	solved := r.Solve()
	return Outgoing(r.Room, solved, OfSheet(r, solved))
}

// Outgoing returns the set-out of a room's solved surfaces as it goes out.
func Outgoing(name string, solved []roomsheet.Solved, said Room) *roomsheet.Answer {
	out := &roomsheet.Answer{Format: roomsheet.AnswerFormat, Room: name, Surfaces: []roomsheet.SurfaceAnswer{}}
	for _, c := range said.Cautions() {
		out.Cautions = append(out.Cautions, roomsheet.Caution{Code: c.Code, Says: c.String(), For: c.For})
	}
	for i := range solved {
		s := solved[i].Outgoing()
		for p := range s.Positions {
			h := &said[i][p]
			a := &roomsheet.Advice{MayCut: h.MayCut, First: h.First, Says: []string{}}
			for _, l := range h.Lines {
				a.Says = append(a.Says, l.Says)
			}
			s.Positions[p].Advice = a
		}
		out.Surfaces = append(out.Surfaces, s)
	}
	return out
}
