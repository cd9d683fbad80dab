package sequence

import (
	"cmp"
	"slices"
)

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
	late := n.latest(early.score.days)
	out := make([]Path, len(n.pieces))
	for i := range out {
		out[i] = Path{p.Work[i].ID, int(early.start[i]), int(late.end[i]), int(early.end[i]), int(late.start[i]),
			int(late.start[i] - early.start[i])}
	}
	return out, int(early.score.days), nil
}

// earliest returns the forward pass.
func (n *network) earliest() schedule {
	s := newSchedule(n)
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

// latest returns the backward pass from the end of the whole.
func (n *network) latest(days int32) schedule {
	s := newSchedule(n)
	for k := len(n.order) - 1; k >= 0; k-- {
		i := n.order[k]
		w := &n.pieces[i]
		s.end[i] = days
		for _, l := range w.after {
			s.end[i] = min(s.end[i], n.by(s.start[l.other], l))
		}
		s.start[i] = s.end[i] - w.days
	}
	return s
}

// byLatest returns the pieces in the order of their latest ends, which puts each
// behind what it comes after.
func (n *network) byLatest() []int32 {
	late := n.latest(n.earliest().score.days)
	place := make([]int32, len(n.pieces))
	for k, i := range n.order {
		place[i] = int32(k)
	}
	out := slices.Clone(n.order)
	slices.SortFunc(out, func(a, b int32) int {
		return cmp.Or(cmp.Compare(late.end[a], late.end[b]), cmp.Compare(place[a], place[b]))
	})
	return out
}
