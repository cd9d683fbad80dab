package standing

import (
	"lathmark/domain/advice"
	"lathmark/domain/caution"
	"lathmark/domain/gate"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Hole returns what is said of a position's hole; nil for one that is not in the
// room.
func (j *Standing) Hole(of id.Position) *advice.Hole {
	at, ok := j.where[of]
	if !ok {
		return nil
	}
	return &j.Advice[at[0]][at[1]]
}

// advise works out what is said of every hole, from the answers of the geometry and
// from the record.
func (j *Standing) advise() {
	of := make(map[[2]int]*room.Position, len(j.where))
	for i := range j.Record.Positions {
		p := &j.Record.Positions[i]
		of[j.where[p.ID]] = p
	}
	shut := j.shut()
	proved := map[words.Trade]bool{}
	for _, t := range words.Trades {
		proved[t] = !gate.Proved(j.Record, t).IsZero()
	}
	j.Advice = advice.Of(j.Solved, func(surface, position int) advice.Known {
		p := of[[2]int{surface, position}]
		k := advice.Known{Trade: gate.TradeOf(p), Proved: proved[gate.TradeOf(p)], Shut: shut}
		k.Gone, k.Cut = j.gone(p)
		return k
	})
	for at, p := range of {
		if a := &j.Solved[at[0]].Answer.Positions[at[1]]; a.Determinate {
			j.Advice[at[0]][at[1]].Cautions = cautionsAt(j.Record, p, geometry.Vec{U: a.At.U + a.Plan.Move.U,
				V: a.At.V + a.Plan.Move.V})
		}
	}
}

// cautionsAt are the cautions beside a position's hole, the worst first.
func cautionsAt(r *room.Record, p *room.Position, at geometry.Vec) []caution.Caution {
	return r.CautionHole(p, at).Cautions()
}

// shut says why nothing is cut in the room now; "" where holes may be.
func (j *Standing) shut() string {
	switch j.Record.Gates[words.SecondFix].State {
	case words.Waiting:
		return advice.NotBefore
	case words.SignedOff:
		return "Second fix is signed off. Nothing is cut unless it is reopened."
	}
	return ""
}

// gone says why no hole is cut for a position, and whether that is because it is cut
// already.
func (j *Standing) gone(p *room.Position) (why string, cut bool) {
	for i := range j.Record.Openings {
		if o := &j.Record.Openings[i]; o.Position == p.ID {
			why = "cut: nobody has said what was behind it"
			if o.Outcome != "" {
				why = "cut: " + o.Outcome.String()
			}
			cut = true
		}
	}
	switch {
	case !p.OmittedAt.IsZero():
		return said("left out by the client", p.OmitWhy), false
	case p.Held:
		return said("held", p.HeldWhy), false
	}
	return why, cut
}

func said(what, why string) string {
	if why == "" {
		return what
	}
	return what + ": " + words.NoStop(why)
}
