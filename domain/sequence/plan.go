package sequence

import "context"

// Plan returns the best schedule that it finds, the same for the same project and
// seed. The errors are Check's, and the context's if it ends first.
func Plan(ctx context.Context, p *Project) (Answer, error) {
	if err := Check(p); err != nil {
		return Answer{}, err
	}
	if len(p.Work) == 0 {
		return Answer{Work: []Placed{}}, nil
	}
	q := newSearch(ctx, p)
	q.run()
	if err := ctx.Err(); err != nil {
		return Answer{}, err
	}
	return q.n.answer(&q.best, q.tried), nil
}

// Usual returns how many schedules are tried where nothing is said of it: as many as
// one core makes in about a fifth of a second, at least 1000 and at most 5000. Of very
// long work fewer.
func Usual(p *Project) int {
	return min(max(1000, 5_000_000/effort(p)), 5000, mostEffort/effort(p))
}

// bound returns what no schedule is better than: everything at the earliest, or, for
// the end of the whole, each crew at work without a pause.
func (n *network) bound(early *schedule) score {
	out := n.score(early)
	days := make([]int, n.crews)
	for i := range n.pieces {
		for _, x := range n.pieces[i].needs {
			days[x.crew] += int(x.count) * int(n.pieces[i].days)
		}
	}
	for c, sum := range days {
		if size := int(n.size[c]); sum > 0 {
			out.days = max(out.days, n.zero+int32((sum+size-1)/size))
		}
	}
	return out
}

// answer returns a schedule as whoever asked reads it.
func (n *network) answer(s *schedule, tried int) Answer {
	out := Answer{Days: int(s.score.days - n.zero), Work: make([]Placed, len(n.pieces)), Schedules: tried}
	for i := range n.pieces {
		out.Work[i] = Placed{n.p.Work[i].ID, int(s.start[i] - n.zero), int(s.end[i] - n.zero)}
	}
	return out
}
