package gate

import (
	"fmt"
	"math"

	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// noRecord goes by the geometry's answer after the whole adjustment, which alone
// knows whether the directions of a straight distance still cross: a slip in a
// span can turn them by any angle, so no margin before it would do. The database
// asks the very same (fixed_on), adjustment and all; neither allows what the other
// does not.
func noRecord(j *Judged) []Obstacle {
	return j.eachPosition(func(p *room.Position, a *geometry.PositionAnswer) (wrong, mend string) {
		if a.Determinate {
			return "", ""
		}
		offsets, distances, unrecorded := j.countMeasurements(p.ID)
		switch {
		case unrecorded:
			return "a reading of " + p.Name + " does not count: it does not say what it was measured from",
				"Say what it was measured from, or measure " + p.Name + " again"
		case len(a.Ambiguous) > 0:
			return "two places fit the readings of " + p.Name, "Measure it from one more wall"
		case offsets+distances == 0:
			return p.Name + " has no record", "Measure it from two walls before it is covered"
		case offsets == 1 && distances == 0:
			return p.Name + " has one offset only", "Measure it from a second wall"
		case offsets == 0:
			return p.Name + " is measured from other positions only", "Measure it from two walls"
		}
		return "the readings of " + p.Name + " do not fix where it is",
			"Measure it from a wall that runs across the first"
	})
}

// countMeasurements returns the offsets and the distances of a position, and
// whether one of them has an unrecorded datum and so takes no part.
func (j *Judged) countMeasurements(of id.Position) (offsets, distances int, unrecorded bool) {
	for i := range j.Measurements {
		switch m := &j.Measurements[i]; {
		case !m.Stands():
		case m.Kind == words.Offset && m.Of == of:
			offsets++
			wrong, _ := j.missing(m)
			unrecorded = unrecorded || wrong != ""
		case m.Kind == words.Distance && (m.Of == of || m.ToPosition == of):
			distances++
		}
	}
	return offsets, distances, unrecorded
}

// unrecordedDatum looks at every measurement that stands, also those of
// positions the client gave up: their readings teach the walls of the others.
func unrecordedDatum(j *Judged) []Obstacle { return j.eachMeasurement(j.missing) }

// missing says what a measurement does not say about its datums.
func (j *Judged) missing(m *room.Measurement) (wrong, mend string) {
	for _, end := range []struct {
		of    id.Datum
		state string
	}{{m.From, m.State}, {m.To, m.ToState}} {
		if d, err := j.Datum(end.of); err == nil && end.state == "" && j.covered(d) {
			return j.nameOf(m) + " does not say whether " + words.InWords(d.Name) + " was bare or covered",
				"Say which state it was measured in, or take it again"
		}
	}
	if _, err := j.Datum(m.From); err != nil && m.Kind != words.Distance {
		return j.nameOf(m) + " does not say what it was taken from", "Say what it was measured from, or take it again"
	}
	return "", ""
}

func noBuildUp(j *Judged) []Obstacle {
	var out []Obstacle
	for _, d := range j.usedFaces() {
		if !j.covered(d) && !d.StaysBare {
			out = append(out, Obstacle{About: about(KindDatum, d.ID, d.Name), Surface: d.Surface, Trade: words.Foreman,
				Wrong: words.InWords(d.Name) + " is measured from, but its build-up has not been planned",
				Mend:  "Plan its build-up, or say that it stays bare"})
		}
	}
	return out
}

// noOutcome leaves out the holes opened since first fix was signed off: while
// it is, they are second fix's business.
func noOutcome(j *Judged) []Obstacle {
	first := j.Gates[words.FirstFix]
	return j.eachOpening(func(o *room.Opening, p *room.Position) (wrong, mend string, who words.Trade) {
		if o.Outcome != "" || first.State == words.SignedOff && o.At.After(first.SignedAt) {
			return "", "", ""
		}
		return "the hole at " + p.Name + " is cut and nobody has said what was behind it",
			"Record what was behind it", tradeOf(p)
	})
}

func notChecked(j *Judged) []Obstacle {
	return j.eachPosition(func(p *room.Position, a *geometry.PositionAnswer) (wrong, mend string) {
		if !a.Determinate || a.Checked {
			return "", ""
		}
		return p.Name + " is not checked: a misread tape would not show",
			"Measure it a second time each way, from another wall if you can"
	})
}

func suspect(j *Judged) []Obstacle {
	return j.eachMeasurement(func(m *room.Measurement) (wrong, mend string) {
		as := j.says.ReadsAs(m)
		_, apart := j.Disagreeing(m)
		switch {
		case apart || !j.says.Measurement(m.ID).Suspect:
			return "", ""
		case as == words.Bare:
			return j.nameOf(m) + " does not fit the others",
				"It would fit if nothing was on the wall. Take it again, or correct the state"
		case as != "":
			return j.nameOf(m) + " does not fit the others", "It would fit if the " + as +
				" was on. Take it again, or correct the state"
		}
		return j.nameOf(m) + " does not fit the others", "Take it again"
	})
}

func timberHit(j *Judged) []Obstacle {
	return j.eachPosition(func(p *room.Position, a *geometry.PositionAnswer) (wrong, mend string) {
		worst := -1
		for k, t := range a.Timbers {
			if t.Hit > geometry.HitLimit && (worst < 0 || t.Hit > a.Timbers[worst].Hit) {
				worst = k
			}
		}
		if worst < 0 {
			return "", ""
		}
		mend = "Move the tail off the timber"
		if move := math.Hypot(a.Move.U, a.Move.V); a.Clears && move > 0 {
			mend = fmt.Sprintf("Move it by %.0f mm or more", math.Ceil(move))
		}
		_, on := j.says.Position(p.ID)
		return "the hole for " + p.Name + " may cut " + on.Surface.Timbers[worst].ID + ", " +
			words.Odds(a.Timbers[worst].Hit), mend
	})
}

func allCovered(j *Judged) []Obstacle {
	return j.eachPosition(func(p *room.Position, _ *geometry.PositionAnswer) (wrong, mend string) {
		used := false
		for i := range j.Measurements {
			m := &j.Measurements[i]
			if m.Kind != words.Offset || m.Of != p.ID || !m.Stands() {
				continue
			}
			d, err := j.Datum(m.From)
			if err == nil && !j.covered(d) {
				return "", ""
			}
			used = used || err == nil
		}
		if !used {
			return "", ""
		}
		return "everything that " + p.Name + " is measured from will be covered",
			"Measure it from something fixed: a steel, a reveal, a stack"
	})
}
