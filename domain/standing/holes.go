package standing

import (
	"lathmark/domain/geometry"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
)

// ToOpen is one hole that is still to be cut.
type ToOpen struct {
	Position room.Position
	Surface  room.Surface
	Answer   *geometry.PositionAnswer // determinate
	Solved   *roomsheet.Solved
	// First: open it before all others, to prove the set-out.
	First bool
}

// holes returns the holes that are still to be cut in a room, surface by
// surface. Positions that are held, given up, opened already or not
// determinate are not among them. Until a hole has proved the set-out the one
// to open first comes first: the one whose tail teaches most about the others,
// or where that one is not to be cut, the surest.
func (j *Standing) holes() []ToOpen {
	opened := map[string]bool{}
	for _, o := range j.Record.Openings {
		opened[o.Position.String()] = true
	}
	var out []ToOpen
	for i, s := range j.Record.Surfaces {
		k := -1
		for _, p := range j.Record.Positions {
			if p.Surface != s.ID {
				continue
			}
			k++
			a := &j.Solved[i].Answer.Positions[k]
			if p.Held || !p.OmittedAt.IsZero() || opened[p.ID.String()] || !a.Determinate || a.Mark == nil {
				continue
			}
			out = append(out, ToOpen{p, s, a, &j.Solved[i], j.Solved[i].Answer.First == k})
		}
	}
	if j.Gate.FirstProved.IsZero() {
		return firstFirst(out)
	}
	for i := range out {
		out[i].First = false
	}
	return out
}

// firstFirst moves the hole to open first to the front and marks no other.
func firstFirst(holes []ToOpen) []ToOpen {
	first := -1
	for i := range holes {
		if first < 0 || holes[i].First && !holes[first].First ||
			holes[i].First == holes[first].First && holes[i].Answer.Mark.Cov.Trace() < holes[first].Answer.Mark.Cov.Trace() {
			first = i
		}
	}
	if first < 0 {
		return holes
	}
	head := holes[first]
	copy(holes[1:first+1], holes[:first])
	for i := range holes {
		holes[i].First = false
	}
	head.First = true
	holes[0] = head
	return holes
}
