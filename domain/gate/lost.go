package gate

import (
	"slices"

	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Lost returns the last hole of a position whose tail is still behind the surface: every
// hole that was cut for it hit timber or found nothing, no new position has taken its
// place, and the client has not left it out. Nil where there is none. A patch makes the
// surface good, not the position.
func (j *Judged) Lost(p *room.Position) (last *room.Opening) {
	if !p.OmittedAt.IsZero() {
		return nil
	}
	for i := range j.Openings {
		o := &j.Openings[i]
		if o.Position != p.ID {
			continue
		}
		if _, err := j.Position(o.NewPosition); err == nil || !o.Outcome.Lost() {
			return nil
		}
		last = o
	}
	return last
}

// LostSays says what became of the tail of a lost position.
func (j *Judged) LostSays(p *room.Position, o *room.Opening) string {
	behind := "it"
	if s, err := j.Surface(p.Surface); err == nil {
		behind = words.InWords(s.Name)
	}
	if o.Outcome == words.OnTimber {
		return "the hole for " + p.Name + " hit timber, so its tail is still behind " + behind
	}
	return "the tail of " + p.Name + " is lost behind " + behind
}

// LostMend says what makes a lost position good.
const LostMend = "Find it, add a new position, or have the client leave it out"

// lostTail is of lost positions whose holes are patched, so that lostHole does not ask.
func lostTail(j *Judged) []Obstacle {
	var out []Obstacle
	for i := range j.Positions {
		p := &j.Positions[i]
		if o := j.Lost(p); o != nil && j.PatchOf(o.ID) != nil {
			out = append(out, Obstacle{About: about(KindPosition, p.ID, p.Name), Surface: p.Surface, Trade: tradeOf(p),
				Wrong: j.LostSays(p, o), Mend: LostMend})
		}
	}
	return out
}

// lostEarlier are the lost positions that second fix was signed off with: they stay on
// their trade's list until the room is finished.
func (j *Judged) lostEarlier(t words.Trade) (out []Task) {
	if j.Gates[words.SecondFix].State != words.SignedOff {
		return nil
	}
	for _, o := range j.obstacles[words.SecondFix] {
		if o.Code == CodeLostTail && (o.Trade == t || t == words.Foreman) {
			task := j.taskOf(o)
			task.Stage, task.What = words.Decoration, "Have second fix opened again, then f"+LostMend[1:]
			out = append(out, task)
		}
	}
	return slices.Clip(out)
}
