package gate

import (
	"fmt"
	"slices"
	"time"

	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// DifferLimit is how many standard deviations as built may lie from planned
// before boarding asks about it: the 3 sigma of the gates table.
const DifferLimit = 3

// stageBefore is the first line of every later gate. For boarding a position
// put on the schedule after the first-fix sign-off counts as first fix open.
func stageBefore(s words.Stage) func(*Judged) []Obstacle {
	before, _ := s.Before()
	return func(j *Judged) []Obstacle {
		about := About{Kind: KindGate, ID: before.Code(), Name: before.String()}
		if j.Gates[before].State != words.SignedOff {
			return []Obstacle{{About: about, Trade: words.Foreman, Wrong: before.String() + " is not signed off",
				Mend: "Sign off " + before.String() + " first"}}
		}
		if s == words.Boarding {
			return j.eachPosition(func(p *room.Position, _ *geometry.PositionAnswer) (wrong, mend string) {
				if !p.AddedAt.After(j.Gates[before].SignedAt) {
					return "", ""
				}
				return p.Name + " was put on the schedule after first fix was signed off", "Reopen first fix and measure it"
			})
		}
		return nil
	}
}

func tailNotSeen(j *Judged) []Obstacle {
	return j.eachPosition(func(p *room.Position, _ *geometry.PositionAnswer) (wrong, mend string) {
		if j.SeenOf(p.ID) != nil {
			return "", ""
		}
		return "nobody has checked that the tail of " + p.Name + " is free",
			"Check that it hangs free of timber and insulation, before the boards go up"
	})
}

func notAsBuilt(s words.Stage) func(*Judged) []Obstacle {
	return func(j *Judged) []Obstacle {
		return j.eachLayer(s, func(d *room.Datum, l *room.Layer) (wrong, mend string) {
			wrong = "the " + l.Name + " on " + words.InWords(d.Name) + " has no as-built thickness"
			if b := j.BuiltOf(l.ID); b != nil {
				if b.Thickness > 0 || j.Told(l) {
					return "", ""
				}
				wrong = "the " + l.Name + " on " + words.InWords(d.Name) +
					" is recorded as on, but no reading that counts says how thick it is"
			}
			return wrong, "Measure its thickness, or a span across the room"
		})
	}
}

func asBuiltDiffers(j *Judged) []Obstacle {
	return j.eachLayer(words.Boarding, func(d *room.Datum, l *room.Layer) (wrong, mend string) {
		built, sigmas := j.says.Built(l.ID)
		if j.BuiltOf(l.ID) == nil || sigmas <= DifferLimit && sigmas >= -DifferLimit {
			return "", ""
		}
		return fmt.Sprintf("the %s on %s is %.0f mm as built, %.0f mm as planned", l.Name, words.InWords(d.Name), built,
				l.Thickness),
			"Measure it again"
	})
}

// noPhoto asks for a photo of every surface that hides a tail.
func noPhoto(j *Judged) []Obstacle {
	var out []Obstacle
	photos := j.PhotosWhileOpen()
	for i := range j.Surfaces {
		s := &j.Surfaces[i]
		hides := func(p room.Position) bool { return p.Surface == s.ID && p.OmittedAt.IsZero() }
		if photos[s.ID] > 0 || !slices.ContainsFunc(j.Positions, hides) {
			continue
		}
		out = append(out, Obstacle{About: about(KindSurface, s.ID, s.Name), Surface: s.ID, Trade: words.Foreman,
			Wrong: "there is no photo of " + words.InWords(s.Name) + " before boarding",
			Mend:  "Take one before the boards go up"})
	}
	return out
}

func noFinishDate(j *Judged) []Obstacle {
	o := Obstacle{About: About{Kind: KindPlaster, Name: "plaster"}, Trade: words.Plasterer}
	switch {
	case j.PlasterFinished.IsZero():
		o.Wrong, o.Mend = "the day the plaster was finished is not recorded", "Record the day"
	case j.PlasterFinished.After(j.Zone.Day(j.Now)):
		o.Wrong, o.Mend = "the day the plaster was finished is still to come", "Record the day once it is done"
	default:
		return nil
	}
	return []Obstacle{o}
}

// CutIt says what to do about a position that may be cut.
const CutIt = "Cut it and record what was behind it, or have the client leave it out"

func notOpened(j *Judged) []Obstacle {
	opened, said := map[id.Position]bool{}, map[id.Position]bool{}
	for _, o := range j.Openings {
		opened[o.Position] = true
		said[o.Position] = said[o.Position] || o.Outcome != ""
	}
	return j.eachPosition(func(p *room.Position, _ *geometry.PositionAnswer) (wrong, mend string) {
		switch {
		case said[p.ID], p.Held: // a held one has a line of its own
			return "", ""
		case opened[p.ID]:
			return p.Name + " is cut and nobody has said what was behind it", "Record what was behind it"
		}
		if h := j.says.Hole(p.ID); h != nil && h.Barred != "" {
			return p.Name + " is not cut yet", words.NoStop(h.Barred)
		}
		return p.Name + " is not cut yet", CutIt
	})
}

func held(j *Judged) []Obstacle {
	out := j.eachPosition(func(p *room.Position, _ *geometry.PositionAnswer) (wrong, mend string) {
		if !p.Held {
			return "", ""
		}
		wrong = p.Name + " is held"
		if p.HeldWhy != "" {
			wrong += ": " + words.NoStop(p.HeldWhy)
		}
		return wrong, "Have it decided, then release it or have the client leave it out"
	})
	for i := range out {
		out[i].Trade = words.Client
	}
	return out
}

func lostHole(j *Judged) []Obstacle {
	return j.eachOpening(func(o *room.Opening, p *room.Position) (wrong, mend string, who words.Trade) {
		if _, err := j.Position(o.NewPosition); !o.Outcome.Lost() || err == nil || j.PatchOf(o.ID) != nil {
			return "", "", ""
		}
		wrong = "the tail of " + p.Name + " was not found, and its hole has no patch"
		if o.Outcome == words.OnTimber {
			wrong = "the hole at " + p.Name + " hit timber and has no patch"
		}
		return wrong, "Record a patch for it, or add a new position to the schedule", TradeOf(p)
	})
}

// firstHole goes by trade, for each has a proof of its own. It matters only where a
// trade has two holes or more. A hole that found nothing proves nothing, and so the
// next one is again a first.
func firstHole(j *Judged) (out []Obstacle) {
	for _, t := range words.Trades {
		if o := j.firstOf(t); o.Wrong != "" {
			out = append(out, o)
		}
	}
	return out
}

func (j *Judged) firstOf(t words.Trade) Obstacle {
	o := Obstacle{About: About{Kind: KindFirstHole, ID: string(t), Name: "first hole"}, Trade: words.Foreman}
	proved, early, holes := Proved(j.Record, t), 0, 0
	var first *room.Position
	for i := range j.Positions {
		p := &j.Positions[i]
		if TradeOf(p) != t || !p.OmittedAt.IsZero() || p.Held {
			continue
		}
		holes++
		if h := j.says.Hole(p.ID); h != nil && h.First {
			first = p
		}
	}
	for _, hole := range j.Openings {
		p, err := j.Position(hole.Position)
		if err == nil && TradeOf(p) == t && !hole.Outcome.Lost() && (proved.IsZero() || hole.At.Before(proved)) {
			early++
		}
	}
	switch {
	case early >= 2:
		o.Wrong = fmt.Sprintf("%d holes were cut before one had proved the set-out", early)
		o.Mend = "Look at where their tails were before you cut more"
	case holes < 2 || !proved.IsZero():
	case early == 1:
		o.Trade = t
		o.Wrong, o.Mend = "the first hole has not proved the set-out yet",
			"Record where its tail was before you cut the rest"
	case first == nil:
		o.Trade = t
		o.Wrong, o.Mend = "no hole has proved the set-out yet",
			"Have one that may be cut, cut it first and record where its tail was before you cut the rest"
	default:
		o.Trade, o.Surface = t, first.Surface
		o.Wrong, o.Mend = "no hole has proved the set-out yet",
			"Cut "+first.Name+" first and record where its tail was before you cut the rest"
	}
	return o
}

// Proved returns when a tail of a trade was first found and written down where it
// was, so that the trade's other holes could take its lesson; zero before that.
func Proved(r *room.Record, t words.Trade) (first time.Time) {
	for _, o := range r.Openings {
		p, err := r.Position(o.Position)
		if at := o.RecordedAt; err == nil && TradeOf(p) == t && !o.Outcome.Lost() && !at.IsZero() &&
			(first.IsZero() || at.Before(first)) {
			first = at
		}
	}
	return first
}

func notDry(j *Judged) []Obstacle {
	if !j.Zone.Day(j.Now).Before(j.EarliestDry) {
		return nil
	}
	return []Obstacle{{About: About{Kind: KindPlaster, Name: "plaster"}, Trade: words.Foreman,
		Wrong: "the plaster cannot be dry before " + words.Day(j.EarliestDry), Mend: "Wait for that day"}}
}

func patchOpen(j *Judged) []Obstacle {
	return j.eachOpening(func(o *room.Opening, p *room.Position) (wrong, mend string, who words.Trade) {
		patch := j.PatchOf(o.ID)
		switch {
		case patch == nil:
			return "", "", ""
		case patch.FilledAt.IsZero():
			return "the patch at " + p.Name + " is not filled", "Fill it", words.Decorator
		case patch.DryAt.IsZero():
			return "the patch at " + p.Name + " is filled and nobody has said that it is dry",
				"Look at it and record that it is dry", words.Decorator
		case patch.DryAt.After(j.Now):
			return "the patch at " + p.Name + " is not dry before " + words.Day(j.Zone.In(patch.DryAt)), "Wait for it to dry",
				words.Decorator
		}
		return "", "", ""
	})
}

func snagOpen(j *Judged) []Obstacle {
	var out []Obstacle
	for _, s := range j.Snags {
		if !s.ClosedAt.IsZero() {
			continue
		}
		o := Obstacle{About: about(KindSnag, s.ID, words.NoStop(s.Says)), Trade: s.Trade,
			Wrong: "a snag is open: " + words.NoStop(s.Says), Mend: "Put it right; the foreman looks at it and closes it"}
		switch {
		case !s.DoneAt.IsZero():
			o.Trade = words.Foreman
			o.Wrong = "a snag is put right and nobody has looked at it: " + words.NoStop(s.Says)
			o.Mend = "Look at it and close it, or open it again"
		case !s.DueOn.IsZero():
			o.Mend = "Put it right by " + words.Day(s.DueOn) + "; the foreman looks at it and closes it"
		}
		if o.Trade == "" {
			o.Trade = words.Foreman
		}
		out = append(out, o)
	}
	return out
}
