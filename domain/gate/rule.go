package gate

import (
	"time"

	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// Rule is one line of the gates table.
type Rule struct {
	Stage words.Stage
	Hard  bool
	Code  string
	// Says is the line as the trade says it; it names what is wrong.
	Says string
	// Check returns an obstacle per record that does not meet the rule. It
	// fills in About, Wrong, Mend, Trade and Surface only.
	Check func(j *Judged) []Obstacle
}

const (
	hard = true
	soft = false
)

// Answers are what the geometry says of what is in a record.
type Answers interface {
	// Position returns where a position is, and what it was worked out from.
	Position(of id.Position) (*geometry.PositionAnswer, *roomsheet.Solved)
	// Measurement returns how a measurement that stands fits.
	Measurement(of id.Measurement) *geometry.MeasurementAnswer
	// ReadsAs names the state under which a suspect measurement would fit; empty
	// where there is none.
	ReadsAs(m *room.Measurement) string
	// Built returns the thickness of a layer of a face as put on, mm, and how far
	// that lies from the plan, in standard deviations of that difference.
	Built(of id.Layer) (thickness, sigmas float64)
}

// Judged is a room's record with all that the rules say of it at one moment,
// worked out once. It is shared: nobody changes it.
type Judged struct {
	*room.Record
	Now time.Time
	// PlasterFinished is the day the plaster was finished, zero before that.
	PlasterFinished time.Time
	// EarliestDry is the first day on which it can be dry; zero where nothing has
	// to dry.
	EarliestDry time.Time
	// FirstProved is when a tail was first found and written down where it was, so
	// that the other holes could take its lesson.
	FirstProved time.Time

	says      Answers // to the rules only: nil once they were asked
	apart     []Disagreement
	obstacles [5][]Obstacle
	tasks     map[words.Trade][]Task
	next      map[words.Trade]Next
}

// Judge asks every rule of every stage, and works out from the answers what
// everybody has to do.
func Judge(r *room.Record, says Answers, now time.Time) *Judged {
	j := &Judged{Record: r, Now: now, says: says, tasks: map[words.Trade][]Task{}, next: map[words.Trade]Next{}}
	if f := r.FinishedOf(words.Plaster); f != nil {
		j.PlasterFinished = f.On
		if d, ok := r.Drying(f.On); ok {
			j.EarliestDry = d.Earliest
		}
	}
	for _, o := range r.Openings {
		if at := o.RecordedAt; !o.Outcome.Lost() && !at.IsZero() && (j.FirstProved.IsZero() || at.Before(j.FirstProved)) {
			j.FirstProved = at
		}
	}
	j.apart = j.disagreements()
	for _, h := range []bool{hard, soft} {
		for _, rule := range Rules {
			if rule.Hard != h {
				continue
			}
			for _, o := range rule.Check(j) {
				o.Code, o.Stage, o.Hard = rule.Code, rule.Stage, h
				j.obstacles[rule.Stage] = append(j.obstacles[rule.Stage], o)
			}
		}
	}
	for _, t := range words.Trades {
		j.tasks[t] = j.tasksOf(t)
	}
	for _, t := range words.Trades {
		j.next[t] = j.nextFor(t)
	}
	j.says = nil
	return j
}

// Obstacles returns every rule of stage s that the record does not meet, hard
// ones first, each kind in the order of the table and of the record. It does
// not matter what state the gate is in.
func (j *Judged) Obstacles(s words.Stage) []Obstacle { return j.obstacles[s] }

// Tasks returns what a trade has to do in the room now, what must be done first.
// It is empty where there is nothing; Next then says why.
func (j *Judged) Tasks(t words.Trade) []Task { return j.tasks[t] }

// Next returns the one thing next for a trade, the foreman or the client.
func (j *Judged) Next(t words.Trade) Next { return j.next[t] }

// Until is the first moment after Now at which a rule may say something else
// though nothing was written: when something is dry. Zero where there is none.
func (j *Judged) Until() (until time.Time) {
	earliest := func(at time.Time) {
		if at.After(j.Now) && (until.IsZero() || at.Before(until)) {
			until = at
		}
	}
	earliest(j.Zone.Begins(j.EarliestDry))
	earliest(j.Zone.Begins(j.PlasterFinished))
	for _, p := range j.Patches {
		earliest(p.DryAt)
	}
	return until
}

// Hard counts the hard obstacles among those given.
func Hard(obstacles []Obstacle) int {
	n := 0
	for _, o := range obstacles {
		if o.Hard {
			n++
		}
	}
	return n
}
