package sequence

import "context"

// Plan returns the best schedule that it finds, the same for the same project and
// seed. The errors are Check's, and the context's if it ends first.
func Plan(ctx context.Context, p *Project) (Answer, error) {
	if err := Check(p); err != nil {
		return Answer{}, err
	}
	n := newNetwork(p)
	b, s := newBuilder(n), newSchedule(n)
	if err := ctx.Err(); err != nil {
		return Answer{}, err
	}
	b.forward(n.byLatest(), &s)
	return n.answer(&s, 1), nil
}

// answer returns a schedule as whoever asked reads it.
func (n *network) answer(s *schedule, tried int) Answer {
	out := Answer{Days: int(s.score.days), Work: make([]Placed, len(n.pieces)), Schedules: tried}
	for i := range n.pieces {
		out.Work[i] = Placed{n.p.Work[i].ID, int(s.start[i]), int(s.end[i])}
	}
	return out
}
