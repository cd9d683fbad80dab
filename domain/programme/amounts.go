package programme

import (
	"slices"

	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// amount is how much work a trade has in a stage of a room: positions, holes or m².
type amount struct {
	Piece
	units float64
	says  string // "12 positions", "31 m² of boards"
}

// amounts returns what is left to do in a room, by stage and in the order in which the
// trades come. A stage that is signed off or offered has no work left, and what is
// recorded as done is taken off. A held position counts: its hole is still to be cut.
func amounts(j *standing.Standing) (out []amount) {
	for _, s := range words.Stages {
		if state := j.Record.Gates[s].State; state != words.SignedOff && state != words.Offered {
			out = append(out, amountsOf(j, s, false)...)
		}
	}
	return append(out, snags(j)...)
}

// amountsOf returns the work of one stage: what is left, or with all the whole of it.
func amountsOf(j *standing.Standing, s words.Stage, all bool) (out []amount) {
	add := func(t words.Trade, units float64, says string) {
		if units > 0 {
			out = append(out, amount{Piece{j.Record.ID, s, t}, units, says})
		}
	}
	if s == words.FirstFix || s == words.SecondFix {
		for _, t := range []words.Trade{words.Electrician, words.Plumber} {
			n := positions(j, s, t, all)
			add(t, float64(n), words.Count(n, map[bool]string{true: "position", false: "hole"}[s == words.FirstFix]))
		}
	}
	for _, t := range []words.Trade{words.DryLiner, words.Plasterer, words.Tiler, words.Decorator} {
		sum := 0.0
		var says []string
		for _, l := range coats(j.Record, s, t, all) {
			sum += l.area
			says = append(says, m2(l.area, l.name))
		}
		add(t, sum, words.List(says))
	}
	return out
}

// coats is what a trade puts on in a stage: the layers that are planned, and what is
// assumed where nobody planned any. Whatever is planned, rooms are painted.
func coats(r *room.Record, s words.Stage, t words.Trade, all bool) []spread {
	planned := layersLeft(r, s, t, all)
	if slices.ContainsFunc(r.Layers, func(l room.Layer) bool { return l.Stage == s }) ||
		len(r.Layers) > 0 && s != words.Decoration {
		return planned
	}
	ceiling, walls := inside(r)
	switch {
	case s == words.Boarding && t == words.DryLiner:
		return []spread{{"boards, as no build-up is planned", ceiling + walls}}
	case s == words.Plaster && t == words.Plasterer:
		return []spread{{"skim, as no build-up is planned", ceiling + walls}}
	case s == words.Decoration && t == words.Decorator:
		tiles := 0.0
		for _, s := range words.Stages {
			for _, l := range layersLeft(r, s, words.Tiler, true) {
				if l.name != "adhesive" {
					tiles += l.area
				}
			}
		}
		return []spread{{"paint", max(ceiling+walls-tiles, ceiling)}}
	}
	return nil
}

// positions counts a trade's positions that still have to be run and measured at first
// fix, or cut at second fix.
func positions(j *standing.Standing, s words.Stage, t words.Trade, all bool) (n int) {
	for i := range j.Record.Positions {
		p := &j.Record.Positions[i]
		if gate.TradeOf(p) != t || !p.OmittedAt.IsZero() {
			continue
		}
		a, _ := j.Position(p.ID)
		ran := a != nil && a.Determinate
		if all || s == words.FirstFix && !ran || s == words.SecondFix && !cut(j.Record, p.ID) {
			n++
		}
	}
	return n
}

// cut reports whether a position has a hole with an outcome that is no loss, or one that
// was made good or that another position takes the place of.
func cut(r *room.Record, p id.Position) bool {
	return slices.ContainsFunc(r.Openings, func(o room.Opening) bool {
		_, err := r.Position(o.NewPosition)
		return o.Position == p && o.Outcome != "" && (!o.Outcome.Lost() || err == nil || r.PatchOf(o.ID) != nil)
	})
}

// snags are the faults that somebody still has to put right before the room is signed off
// for good, by trade.
func snags(j *standing.Standing) (out []amount) {
	if j.Record.Gates[words.Decoration].State == words.SignedOff {
		return nil
	}
	for _, t := range words.Trades {
		n := 0
		for i := range j.Record.Snags {
			if g := &j.Record.Snags[i]; g.Open() && g.DoneAt.IsZero() && g.Trade == t {
				n++
			}
		}
		if n > 0 && t != words.Decorator && t != words.Client && t != words.Foreman {
			out = append(out, amount{Piece{j.Record.ID, words.Decoration, t}, float64(n), words.Count(n, "snag")})
		}
	}
	return out
}
