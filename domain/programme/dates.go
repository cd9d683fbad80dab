package programme

import (
	"time"

	"lathmark/domain/room"
	"lathmark/domain/words"
)

// answer puts dates on what was worked out.
func (p *plan) answer() *Programme {
	out := &Programme{Made: p.Now, Today: p.today, Revision: p.Revision, Visits: p.visits()}
	for j := range p.jobs {
		job := p.jobs[j]
		job.Days = p.jobDays(j)
		out.Jobs = append(out.Jobs, job)
	}
	last := p.today
	for i, j := range p.Rooms {
		r := Room{ID: j.Record.ID, Job: j.Record.Job, Name: j.Record.Name}
		for _, s := range words.Stages {
			r.Stages[s] = p.stage(i, s)
			for _, day := range []time.Time{r.Stages[s].In95, r.Stages[s].Likely} {
				if day.After(last) {
					last = day
				}
			}
		}
		out.Rooms = append(out.Rooms, r)
	}
	p.answerPromises(out)
	out.Decide = p.decide()
	out.Moved = p.moved(out)
	out.Off = p.off(last)
	return out
}

// off are the days from today on, up to the end and a week, on which nobody works.
func (p *plan) off(last time.Time) (out []time.Time) {
	for i := 0; i <= gap(p.today, last)+7 && i < len(p.cal.on); i++ {
		if k := p.cal.on[i]; k >= len(p.cal.off) || p.cal.off[k] != i {
			out = append(out, p.today.AddDate(0, 0, i))
		}
	}
	return out
}

// jobDays are when a job is done: all its stages.
func (p *plan) jobDays(job int) Days {
	end, _ := p.jobEnd(&p.likely, job)
	early, _ := p.jobEnd(&p.early, job)
	out := p.days3(early, end, p.odds.jobs[job])
	out.SignedOff, out.Critical = true, 1
	for i, j := range p.Rooms {
		if p.jobOf[i] != job {
			continue
		}
		if _, open := j.Record.InHand(); open {
			out.SignedOff = false
		}
		for _, s := range words.Stages {
			p.rests(&out, i, s)
		}
	}
	return out
}

// days3 are the dates of what ends at a slot with the least durations, at another with the
// likeliest, and at those that were drawn.
func (p *plan) days3(early, likely int32, drawn []int32) Days {
	in := p.cal.percentiles(drawn)
	return Days{Earliest: p.ended(early), Likely: p.ended(likely),
		In50: p.ended(int32(in[0])), In80: p.ended(int32(in[1])), In95: p.ended(int32(in[2]))}
}

// ended is the day on which what ends at a slot is done; what has ended before any work is
// done on the first day of it.
func (p *plan) ended(end int32) time.Time {
	return p.cal.last(max(int(end), p.cal.first+1))
}

// rests notes what the dates rest on that a stage of a room needs: rates that are assumed,
// and answers that are owed.
func (p *plan) rests(d *Days, room int, s words.Stage) {
	r := p.Rooms[room].Record
	if r.Gates[s].State == words.SignedOff {
		return
	}
	for _, i := range p.stages[room][s] {
		d.AssumedRates = d.AssumedRates || p.pieces[i].rate.assumed
	}
	if s == words.SecondFix {
		d.WaitsForHeld = d.WaitsForHeld || len(held(r)) > 0
	}
	for i := range p.Owed {
		o := &p.Owed[i]
		d.WaitsForOwed = d.WaitsForOwed || o.Room == r.ID && o.For == s && o.Came.IsZero()
	}
}

// held are a room's positions that wait for an answer.
func held(r *room.Record) (out []*room.Position) {
	for i := range r.Positions {
		if p := &r.Positions[i]; p.Held && p.OmittedAt.IsZero() {
			out = append(out, p)
		}
	}
	return out
}

// stage has the dates of a room's stage, and what it waits for.
func (p *plan) stage(i int, s words.Stage) Stage {
	g := p.Rooms[i].Record.Gates[s]
	if g.State == words.SignedOff {
		day := p.Zone.Day(g.SignedAt)
		return Stage{Days: Days{Earliest: day, Likely: day, In50: day, In80: day, In95: day, SignedOff: true}}
	}
	out := Stage{Days: p.days3(p.ends(&p.early, i, int(s)), p.ends(&p.likely, i, int(s)), p.odds.stages[i][s])}
	for before := words.FirstFix; before <= s; before++ {
		p.rests(&out.Days, i, before)
	}
	out.Critical = p.odds.share(p.odds.stage[i][s])
	first := -1
	for _, m := range p.stages[i][s] {
		if first < 0 || p.likely.start[m] < p.likely.start[first] {
			first = m
		}
	}
	if first >= 0 {
		out.Begins = p.cal.day(int(p.likely.start[first]))
		out.Waits = p.waits(first)
	} else {
		out.Waits = waitsForSignOff(p.Rooms[i].Record, s)
	}
	out.Dries = p.dries(i, s, &out)
	return out
}

// waitsForSignOff says what a stage waits for that has no work left.
func waitsForSignOff(r *room.Record, s words.Stage) string {
	switch r.Gates[s].State {
	case words.Offered:
		return words.Capital(s.String()) + " is offered: it waits for the foreman to sign it off."
	case words.InHand:
		return "Nothing is left to do: it waits to be offered and signed off."
	}
	before, _ := s.Before()
	return "It waits for " + before.String() + " to be signed off."
}

// dries returns the first day on which what a stage puts on can be dry, zero where nothing
// dries.
func (p *plan) dries(i int, s words.Stage, of *Stage) time.Time {
	r := p.Rooms[i].Record
	if s != words.Plaster {
		return time.Time{}
	}
	on := of.Likely
	if f := r.FinishedOf(words.Plaster); f != nil && len(p.stages[i][s]) == 0 {
		on = f.On
	}
	least, _, ok := plasterDays(r)
	if day := on.AddDate(0, 0, least); ok && day.After(p.today) {
		return day
	}
	return time.Time{}
}
