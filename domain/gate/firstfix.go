package gate

import (
	"fmt"
	"lathmark/domain/words"
	"math"
	"time"
)

// HitLimit is the chance of cutting a timber above which first fix asks for a
// move: the 1 % of the gates table.
const HitLimit = 0.01

func noRecord(r *Record, _ time.Time) []Obstacle {
	return r.eachPosition(func(p *Position) (wrong, mend string) {
		if p.Determinate {
			return "", ""
		}
		offsets, distances, unrecorded := r.countMeasurements(p.ID)
		switch {
		case unrecorded:
			return "a measurement of " + p.Name + " does not count: its datum is not written down",
				"Write that down, or measure " + p.Name + " again"
		case p.Ambiguous:
			return "two places fit the measurements of " + p.Name, "Measure it from one more wall"
		case offsets+distances == 0:
			return p.Name + " has no record", "Measure it from two walls before it is covered"
		case offsets == 1 && distances == 0:
			return p.Name + " has one offset only", "Measure it from a second wall"
		case offsets == 0:
			return p.Name + " is measured from other positions only", "Measure it from two walls"
		}
		return "the measurements of " + p.Name + " do not fix where it is",
			"Measure it from a wall that runs across the first"
	})
}

// countMeasurements returns the offsets and the distances of a position, and
// whether one of them has an unrecorded datum and so takes no part.
func (r *Record) countMeasurements(id PositionID) (offsets, distances int, unrecorded bool) {
	for i := range r.Measurements {
		switch m := &r.Measurements[i]; {
		case m.Kind == words.Offset && m.Position == id:
			offsets++
			wrong, _ := r.missing(m)
			unrecorded = unrecorded || wrong != ""
		case m.Kind == words.Distance && (m.Position == id || m.To == id):
			distances++
		}
	}
	return offsets, distances, unrecorded
}

// unrecordedDatum looks at every measurement that stands, also those of
// positions the client gave up: their readings teach the walls of the others.
func unrecordedDatum(r *Record, _ time.Time) []Obstacle {
	return r.eachMeasurement(r.missing)
}

// missing says what a measurement does not say about its datums.
func (r *Record) missing(m *Measurement) (wrong, mend string) {
	nowhere := m.Kind != words.Distance && len(m.Ends) == 0
	for _, e := range m.Ends {
		d := r.datum(e.Datum)
		if d == nil {
			nowhere = true
		} else if d.Covered() && e.State == "" {
			return r.nameOf(m) + " does not say whether " + words.InWords(d.Name) + " was bare or covered",
				"Write down the state it was measured in, or take it again"
		}
	}
	if nowhere {
		return r.nameOf(m) + " does not say what it was taken from", "Write down what it was measured from, or take it again"
	}
	return "", ""
}

func noBuildUp(r *Record, _ time.Time) []Obstacle {
	var out []Obstacle
	for _, d := range r.usedFaces() {
		if len(d.Layers) == 0 && !d.StaysBare {
			out = append(out, Obstacle{About: d.about(), Surface: d.Surface, Trade: words.Foreman,
				Wrong: words.InWords(d.Name) + " is measured from and nobody has said what goes on it",
				Mend:  "Plan its build-up, or say that it stays bare"})
		}
	}
	return out
}

// noOutcome leaves out the holes opened since first fix was signed off: while
// it is, they are second fix's business.
func noOutcome(r *Record, _ time.Time) []Obstacle {
	first := r.Gates[words.FirstFix]
	return r.eachOpening(func(o *Opening, p *Position) (wrong, mend string, who words.Trade) {
		if o.Outcome != "" || first.State == words.SignedOff && o.At.After(first.SignedAt) {
			return "", "", ""
		}
		return "the hole at " + p.Name + " was opened and nobody has said what it showed",
			"Write down its outcome", p.trade()
	})
}

func notChecked(r *Record, _ time.Time) []Obstacle {
	return r.eachPosition(func(p *Position) (wrong, mend string) {
		if !p.Determinate || p.Checked {
			return "", ""
		}
		return p.Name + " is not checked: a misread tape would not show",
			"Measure it a second time each way, from another wall if you can"
	})
}

func suspect(r *Record, _ time.Time) []Obstacle {
	return r.eachMeasurement(func(m *Measurement) (wrong, mend string) {
		switch {
		case !m.Suspect:
			return "", ""
		case m.ReadsAs == words.Bare:
			return r.nameOf(m) + " does not fit the others",
				"It would fit if nothing was on the wall. Take it again, or put the state right"
		case m.ReadsAs != "":
			return r.nameOf(m) + " does not fit the others", "It would fit if the " + m.ReadsAs +
				" was on. Take it again, or put the state right"
		}
		return r.nameOf(m) + " does not fit the others", "Take it again"
	})
}

func timberHit(r *Record, _ time.Time) []Obstacle {
	return r.eachPosition(func(p *Position) (wrong, mend string) {
		if !p.Determinate || p.Hit <= HitLimit {
			return "", ""
		}
		timber := p.HitTimber
		if timber == "" {
			timber = "a timber"
		}
		mend = "Move the tail off the timber"
		if p.Move > 0 {
			mend = fmt.Sprintf("Move it by %.0f mm or more", math.Ceil(p.Move))
		}
		return "the hole for " + p.Name + " may cut " + timber + ", " + words.Odds(p.Hit), mend
	})
}

func allCovered(r *Record, _ time.Time) []Obstacle {
	return r.eachPosition(func(p *Position) (wrong, mend string) {
		any := false
		for i := range r.Measurements {
			m := &r.Measurements[i]
			if m.Kind != words.Offset || m.Position != p.ID {
				continue
			}
			for _, e := range m.Ends {
				d := r.datum(e.Datum)
				if d == nil {
					continue
				}
				if !d.Covered() {
					return "", ""
				}
				any = true
			}
		}
		if !any {
			return "", ""
		}
		return "everything that " + p.Name + " is measured from will be covered",
			"Measure it from something that stays: a steel, a reveal, a stack"
	})
}
