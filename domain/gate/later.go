package gate

import (
	"fmt"
	"lathmark/domain/words"
	"time"
)

// DifferLimit is how many standard deviations as built may lie from planned
// before boarding asks about it: the 3 sigma of the gates table.
const DifferLimit = 3

// stageBefore is the first line of every later gate. For boarding a position
// put on the schedule after the first-fix sign-off counts as first fix open.
func stageBefore(s words.Stage) func(*Record, time.Time) []Obstacle {
	before, _ := s.Before()
	return func(r *Record, _ time.Time) []Obstacle {
		about := About{Kind: KindGate, ID: before.Code(), Name: before.String()}
		if r.Gates[before].State != words.SignedOff {
			return []Obstacle{{About: about, Trade: words.Foreman, Wrong: before.String() + " is not signed off",
				Mend: "Sign off " + before.String() + " first"}}
		}
		if s == words.Boarding {
			return r.eachPosition(func(p *Position) (wrong, mend string) {
				if !p.AddedAt.After(r.Gates[before].SignedAt) {
					return "", ""
				}
				return p.Name + " was put on the schedule after first fix was signed off", "Reopen first fix and measure it"
			})
		}
		return nil
	}
}

func tailNotSeen(r *Record, _ time.Time) []Obstacle {
	return r.eachPosition(func(p *Position) (wrong, mend string) {
		if !p.SeenFree.IsZero() {
			return "", ""
		}
		return "nobody has seen the tail of " + p.Name + " free",
			"Go and see that it hangs free of timber and insulation, before the boards"
	})
}

func notAsBuilt(s words.Stage) func(*Record, time.Time) []Obstacle {
	return func(r *Record, _ time.Time) []Obstacle {
		return r.eachLayer(s, func(d *Datum, l *Layer) (wrong, mend string) {
			if l.AsBuilt {
				return "", ""
			}
			return "the " + l.Name + " on " + words.InWords(d.Name) + " is not recorded as put on",
				"Measure its thickness, or a span across the room"
		})
	}
}

func asBuiltDiffers(r *Record, _ time.Time) []Obstacle {
	return r.eachLayer(words.Boarding, func(d *Datum, l *Layer) (wrong, mend string) {
		if !l.AsBuilt || l.Sigmas <= DifferLimit && l.Sigmas >= -DifferLimit {
			return "", ""
		}
		return fmt.Sprintf("the %s on %s is %.0f mm as put on, %.0f mm as planned", l.Name, words.InWords(d.Name), l.Built,
				l.Planned),
			"Measure it again"
	})
}

// noPhoto asks for a photo of every surface that hides a tail.
func noPhoto(r *Record, _ time.Time) []Obstacle {
	var out []Obstacle
	for i := range r.Surfaces {
		s := &r.Surfaces[i]
		if s.Photos > 0 || !r.hasPosition(s.ID) {
			continue
		}
		out = append(out, Obstacle{About: About{KindSurface, string(s.ID), s.Name}, Surface: s.ID, Trade: words.Foreman,
			Wrong: "there is no photo of " + words.InWords(s.Name) + " while it was open",
			Mend:  "Take one before it is boarded"})
	}
	return out
}

func noFinishDate(r *Record, now time.Time) []Obstacle {
	o := Obstacle{About: About{Kind: KindPlaster, Name: "plaster"}, Trade: words.Plasterer}
	switch {
	case r.PlasterFinished.IsZero():
		o.Wrong, o.Mend = "the day the plaster was finished is not recorded", "Write down the day"
	case r.PlasterFinished.After(now):
		o.Wrong, o.Mend = "the day the plaster was finished is still to come", "Write down the day once it is done"
	default:
		return nil
	}
	return []Obstacle{o}
}

func notOpened(r *Record, _ time.Time) []Obstacle {
	opened, said := map[PositionID]bool{}, map[PositionID]bool{}
	for _, o := range r.Openings {
		opened[o.Position] = true
		said[o.Position] = said[o.Position] || o.Outcome != ""
	}
	return r.eachPosition(func(p *Position) (wrong, mend string) {
		switch {
		case said[p.ID], p.Held: // a held one has a line of its own
			return "", ""
		case opened[p.ID]:
			return p.Name + " is opened and nobody has said what it showed", "Write down its outcome"
		}
		return p.Name + " is not opened", "Open it and write down its outcome, or have the client give it up"
	})
}

func held(r *Record, _ time.Time) []Obstacle {
	out := r.eachPosition(func(p *Position) (wrong, mend string) {
		if !p.Held {
			return "", ""
		}
		wrong = p.Name + " is held"
		if p.HeldWhy != "" {
			wrong += ": " + words.NoStop(p.HeldWhy)
		}
		return wrong, "Have it decided, then release it or have the client give it up"
	})
	for i := range out {
		out[i].Trade = words.Client
	}
	return out
}

func lostHole(r *Record, _ time.Time) []Obstacle {
	return r.eachOpening(func(o *Opening, p *Position) (wrong, mend string, who words.Trade) {
		if !o.Outcome.Lost() || o.Patch != nil || r.position(o.NewPosition) != nil {
			return "", "", ""
		}
		return "the hole at " + p.Name + " ended " + o.Outcome.String() + " and nothing makes it good",
			"Owe it a patch, or put a new position on the schedule", p.trade()
	})
}

// firstHole matters only where a room has two holes or more. A hole that found
// nothing proves nothing, and so the next one is again a first.
func firstHole(r *Record, _ time.Time) []Obstacle {
	o := Obstacle{About: About{Kind: KindFirstHole, Name: "first hole"}, Trade: words.Foreman}
	early := 0
	for _, hole := range r.Openings {
		if !hole.Outcome.Lost() && (r.FirstProved.IsZero() || hole.At.Before(r.FirstProved)) {
			early++
		}
	}
	first := r.firstToOpen()
	switch {
	case early >= 2:
		o.Wrong = fmt.Sprintf("%d holes were opened before one had proved the set-out", early)
		o.Mend = "Look at where their tails were before you open more"
	case first == nil || !r.FirstProved.IsZero():
		return nil
	case early == 1:
		o.Trade, o.Surface = first.trade(), first.Surface
		o.Wrong, o.Mend = "the first hole has not proved the set-out yet",
			"Write down where its tail was before you open the rest"
	default:
		o.Trade, o.Surface = first.trade(), first.Surface
		o.Wrong, o.Mend = "no hole has proved the set-out yet",
			"Open "+first.Name+" first and write down where its tail was before you open the rest"
	}
	return []Obstacle{o}
}

// firstToOpen is the position to open first: the set-out's choice, else the
// first on the schedule; nil where the room has fewer than two holes to open.
func (r *Record) firstToOpen() (first *Position) {
	n := 0
	for i := range r.Positions {
		p := &r.Positions[i]
		if p.Omitted() || p.Held {
			continue
		}
		n++
		if first == nil || p.ID == r.FirstHole {
			first = p
		}
	}
	if n < 2 {
		return nil
	}
	return first
}

func notDry(r *Record, now time.Time) []Obstacle {
	if !now.Before(r.EarliestDry) {
		return nil
	}
	return []Obstacle{{About: About{Kind: KindPlaster, Name: "plaster"}, Trade: words.Foreman,
		Wrong: "the plaster cannot be dry before " + words.Day(r.EarliestDry), Mend: "Wait for that day"}}
}

func patchOpen(r *Record, now time.Time) []Obstacle {
	return r.eachOpening(func(o *Opening, p *Position) (wrong, mend string, who words.Trade) {
		switch {
		case o.Patch == nil:
			return "", "", ""
		case o.Patch.FilledAt.IsZero():
			return "the patch at " + p.Name + " is not filled", "Fill it", words.Decorator
		case o.Patch.DryAt.IsZero():
			return "the patch at " + p.Name + " is filled and nobody has said that it is dry",
				"Look at it and write down that it is dry", words.Decorator
		case o.Patch.DryAt.After(now):
			return "the patch at " + p.Name + " is not dry before " + words.Day(o.Patch.DryAt), "Wait for it to dry", words.Decorator
		}
		return "", "", ""
	})
}

func snagOpen(r *Record, _ time.Time) []Obstacle {
	var out []Obstacle
	for _, s := range r.Snags {
		if !s.Closed.IsZero() {
			continue
		}
		who := s.Trade
		if who == "" {
			who = words.Foreman
		}
		out = append(out, Obstacle{About: About{KindSnag, string(s.ID), s.Text}, Trade: who,
			Wrong: "a snag is open: " + words.NoStop(s.Text), Mend: "Put it right and close it"})
	}
	return out
}
