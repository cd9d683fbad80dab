package verdict

import (
	"math"
	"strconv"

	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// question asks about a reading that is an obvious slip or lies far from what
// the rest says; empty where neither. Far is what the room sheet calls suspect:
// |w| over geometry.SuspectW, which one honest reading in a thousand passes.
// Where nothing else bears on the reading its redundancy is 0, and nothing can
// be asked.
func question(j *standing.Standing, m *room.Measurement) string {
	a := j.Measurement(m.ID)
	if a == nil {
		return ""
	}
	if says := outside(j, m); says != "" {
		return says
	}
	d, apart := j.Gate.Disagreeing(m)
	if apart = apart && d.Odd.ID == m.ID; apart && (!a.Suspect || others(j, m) < 2) {
		return d.Says(j.Record, "") + ". " + d.Mend() + "."
	}
	if !a.Suspect {
		return ""
	}
	if w := worse(j, m); w != nil && !apart {
		return subject(j.Record, m) + " does not fit the others, but the earlier " + subject(j.Record, w) +
			" fits even worse: check that one first."
	}
	says := ""
	if apart {
		says = d.Says(j.Record, "") + ". "
	}
	says += subject(j.Record, m) + " would be " + words.MM(LeftOut(a)) + " mm from "
	if n := others(j, m); n > 0 {
		says += "where " + count(n) + " it"
	} else {
		says += "where the other readings put it"
	}
	if as := j.ReadsAs(m); as != "" {
		says += "; the state could be " + words.StateOf(as) + " instead of " + words.StateOf(m.State)
	}
	return says + "."
}

// LeftOut is how far a reading lies from what all the others say with this one
// left out, in mm, whichever way. (With r the redundancy, leaving one equation
// out of a linear adjustment makes its residual 1/r times as large.) The
// redundancy must be above 0.
func LeftOut(a *geometry.MeasurementAnswer) float64 { return math.Abs(a.Residual) / a.Redundancy }

// subject is a reading as the subject of a question: "900 from the west wall".
func subject(r *room.Record, m *room.Measurement) string {
	if to, err := r.Position(m.ToPosition); err == nil {
		return words.MM(m.Value) + " to " + to.Name
	}
	from, err := r.Datum(m.From)
	if err != nil {
		return words.MM(m.Value)
	}
	if m.Kind == words.Thickness {
		return words.MM(m.Value) + " on " + words.InWords(from.Called())
	}
	length, side := r.Said(m.From, m.Value)
	says := words.MM(length) + " from " + words.InWords(from.Called())
	if to, err := r.Datum(m.To); err == nil {
		says += " to " + words.InWords(to.Called())
	} else if side != "" {
		says += " " + side
	}
	return says
}

// others counts the other readings of a reading's positions that take part.
func others(j *standing.Standing, m *room.Measurement) int {
	n := 0
	for i := range j.Record.Measurements {
		if o := &j.Record.Measurements[i]; o.ID != m.ID && shares(o, m) && takesPart(j, o) {
			n++
		}
	}
	return n
}

// shares reports whether two readings are of one position.
func shares(a, b *room.Measurement) bool {
	for _, p := range []id.Position{a.Of, a.ToPosition} {
		if !p.IsZero() && (p == b.Of || p == b.ToPosition) {
			return true
		}
	}
	return false
}

func takesPart(j *standing.Standing, m *room.Measurement) bool {
	a := j.Measurement(m.ID)
	return a != nil && !a.Unused && !a.Unrecorded
}

// worse is the earlier reading of the same position that fits least, where one
// fits clearly less than this; one bad reading pulls the others with it, and
// two that only disagree with each other fit equally badly.
func worse(j *standing.Standing, m *room.Measurement) *room.Measurement {
	const clearly = 1.05 // our own: rounding and the sigmas' small differences are less
	var worst *room.Measurement
	most := clearly * math.Abs(j.Measurement(m.ID).W)
	for i := range j.Record.Measurements {
		o := &j.Record.Measurements[i]
		if o.ID == m.ID || !shares(o, m) || !takesPart(j, o) {
			continue
		}
		if w := math.Abs(j.Measurement(o.ID).W); w > most {
			worst, most = o, w
		}
	}
	return worst
}

// count says who puts the position elsewhere: "the other reading puts", "the
// other two put".
func count(n int) string {
	numbers := []string{2: "two", "three", "four", "five", "six", "seven", "eight", "nine"}
	switch {
	case n == 1:
		return "the other reading puts"
	case n < len(numbers):
		return "the other " + numbers[n] + " put"
	}
	return "the other " + strconv.Itoa(n) + " put"
}
