package programme

import (
	"fmt"
	"slices"

	"lathmark/domain/id"
	"lathmark/domain/words"
)

// owed is something that pieces wait for until somebody answers.
type owed struct {
	Decide
	says   string
	lead   int
	pieces []int
	job    int
}

// owing are what is owed before something of the plan: positions that are held, and what
// was neither ordered nor decided yet.
func (p *plan) owing() (out []owed) {
	for room, j := range p.Rooms {
		r := j.Record
		for _, at := range held(r) {
			o := owed{Decide: Decide{Job: r.Job, Room: r.ID, What: at.Name, By: words.Client, Position: at.ID},
				says: "the answer about " + at.Name, pieces: p.stages[room][words.SecondFix], job: p.jobOf[room]}
			if len(o.pieces) > 0 {
				out = append(out, o)
			}
		}
		for _, w := range p.Owed {
			if w.Room != r.ID || !w.Came.IsZero() || !w.Since.IsZero() || w.For < words.FirstFix ||
				len(p.stages[room][w.For]) == 0 {
				continue
			}
			out = append(out, owed{Decide: Decide{Job: r.Job, Room: r.ID, What: w.What, By: w.By}, says: w.What, lead: w.Lead,
				pieces: p.stages[room][w.For], job: p.jobOf[room]})
		}
	}
	return out
}

// longestWait is how far an answer is put off at most, to see what it costs.
const longestWait = 180

// decide returns what is owed, by the last day on which the answer costs nothing. What
// each costs is tried: the work is put in order again with the answer on a later day.
func (p *plan) decide() (out []Decide) {
	for _, o := range p.owing() {
		out = append(out, p.decideBy(&o))
	}
	slices.SortStableFunc(out, func(a, b Decide) int { return a.Latest.Compare(b.Latest) })
	return out
}

func (p *plan) decideBy(o *owed) Decide {
	d, latest := o.Decide, 0
	if p.delays(p.answered(o, -1)) {
		latest = -1
	} else {
		free, costs := 0, longestWait // it costs nothing on free, and something on costs
		for costs-free > 1 {
			if mid := (free + costs) / 2; p.answered(o, mid).delays(p) {
				costs = mid
			} else {
				free = mid
			}
		}
		latest = free
		d.Latest = p.today.AddDate(0, 0, latest)
	}
	week := p.answered(o, max(latest, 0)+7)
	d.Days = max(week.later(p, o.job), 0)
	d.Cost = p.costs(week, o.job, d.Days)
	return d
}

// costs says what a plan costs against this one: a job's days, and others'.
func (p *plan) costs(than *plan, job, days int) string {
	name := p.jobs[job].Name
	if days > 0 {
		end, _ := than.jobEnd(&than.likely, job)
		return fmt.Sprintf("A week later, %s is done on %s, %s later.", name, words.Day(than.ended(end)),
			words.Count(days, "day"))
	}
	for other := range p.jobs {
		if n := than.later(p, other); n > 0 {
			return fmt.Sprintf("A week later, %s is done no later, but %s %s later.", name, p.jobs[other].Name,
				words.Count(n, "day"))
		}
	}
	return "A week later costs no day yet."
}

// about says what is to be done about something that is owed.
func (o *owed) about() string {
	if o.Position != (id.Position{}) || o.By == words.Client {
		return "Decide about " + o.What
	}
	return "Order " + o.What
}
