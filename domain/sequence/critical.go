package sequence

// Path is when a piece of work could be done if there were people enough for
// everything at once: the critical path method.
type Path struct {
	ID                       string
	EarliestStart, LatestEnd int
	EarliestEnd, LatestStart int
	// Slack is how many days later it may start than at the earliest without making
	// the whole longer; work without any is on the critical path.
	Slack int
}

// CriticalPath returns the forward and the backward pass over what comes after what,
// in the project's order, and the days of the whole. Crews, days on which they are
// away, pins and promises play no part. The errors are Check's.
func CriticalPath(p *Project) ([]Path, int, error) {
	if err := Check(p); err != nil {
		return nil, 0, err
	}
	n := newNetwork(p)
	early := n.earliest()
	late := n.latest(early.score.days, false)
	out := make([]Path, len(n.pieces))
	for i := range out {
		out[i] = Path{p.Work[i].ID, int(early.start[i] - n.zero), int(late.end[i] - n.zero), int(early.end[i] - n.zero),
			int(late.start[i] - n.zero),
			int(late.start[i] - early.start[i])}
	}
	return out, int(early.score.days - n.zero), nil
}

// earliest returns the forward pass.
func (n *network) earliest() schedule {
	s := newSchedule(n)
	s.score.days = n.zero
	for _, i := range n.order {
		w := &n.pieces[i]
		s.start[i] = w.notBefore
		for _, l := range w.before {
			s.start[i] = max(s.start[i], n.free(s.end[l.other], l))
		}
		s.end[i] = s.start[i] + w.days
		s.score.days = max(s.score.days, s.end[i])
	}
	return s
}

// latest returns the backward pass from the end of the whole; with promises, also from
// those that are earlier.
func (n *network) latest(days int32, promises bool) schedule {
	s := newSchedule(n)
	for k := len(n.order) - 1; k >= 0; k-- {
		i := n.order[k]
		w := &n.pieces[i]
		if s.end[i] = days; promises && w.weight > 0 {
			s.end[i] = min(days, w.due)
		}
		for _, l := range w.after {
			s.end[i] = min(s.end[i], n.by(s.start[l.other], l))
		}
		s.start[i] = s.end[i] - w.days
	}
	return s
}
