package programme

import (
	"cmp"
	"slices"
	"time"

	"lathmark/domain/words"
)

// answerPromises says of each promise that stands how likely it is kept and what would keep
// it, and marks what it is about where that ends too late.
func (p *plan) answerPromises(out *Programme) {
	for i := range p.Promises {
		o := &p.Promises[i]
		if !o.Instead.IsZero() {
			continue
		}
		k := p.kept(o, p.odds)
		out.Promises = append(out.Promises, k)
		if k.Odds < sure {
			out.behind(o)
		}
	}
	slices.SortStableFunc(out.Promises, func(a, b Kept) int {
		return cmp.Or(cmp.Compare(a.Odds, b.Odds), a.On.Compare(b.On))
	})
	for i := range out.Promises {
		if k := &out.Promises[i]; i < waysFor && k.Odds < sure {
			k.Ways = p.ways(k)
		}
	}
}

// behind marks the job and the stages that a promise is about.
func (out *Programme) behind(o *Promise) {
	for j := range out.Jobs {
		out.Jobs[j].BehindPromise = out.Jobs[j].BehindPromise || out.Jobs[j].ID == o.Job && o.Room.IsZero()
	}
	for i := range out.Rooms {
		if r := &out.Rooms[i]; r.Job == o.Job && (o.Room.IsZero() || r.ID == o.Room) && r.Stages[o.Stage].In80.After(o.On) {
			r.Stages[o.Stage].BehindPromise = true
		}
	}
}

// kept says how likely a promise is kept by draws, and on which day what was promised is
// likely. What is done already, or has no work left, is kept.
func (p *plan) kept(o *Promise, odds *odds) Kept {
	k := Kept{Promise: *o, Says: p.promiseSays(o), Likely: p.today}
	missed := make([]bool, odds.draws)
	late := func(slots []int32, day func(int32) time.Time) {
		for n, slot := range slots {
			missed[n] = missed[n] || day(slot).After(o.On)
		}
	}
	see := func(day time.Time) {
		if day.After(k.Likely) {
			k.Likely = day
		}
	}
	for i, j := range p.Rooms {
		if j.Record.Job != o.Job || !o.Room.IsZero() && j.Record.ID != o.Room {
			continue
		}
		if o.To == words.Client && j.Record.Gates[o.Stage].State != words.SignedOff {
			late(odds.stages[i][o.Stage], p.ended)
			see(p.ended(p.ends(&p.likely, i, int(o.Stage))))
		}
	}
	if o.To != words.Client {
		for _, m := range p.promisedPieces(o) {
			late(odds.starts[m], func(slot int32) time.Time { return p.cal.day(int(slot)) })
			see(p.cal.day(int(p.likely.start[m])))
		}
	}
	n := 0
	for _, m := range missed {
		if !m {
			n++
		}
	}
	k.Odds = odds.share(n)
	return k
}

// promiseSays says what was promised to whom.
func (p *plan) promiseSays(o *Promise) string {
	where := ""
	for i, j := range p.Rooms {
		if j.Record.Job == o.Job && where == "" {
			where = " at " + p.jobs[p.jobOf[i]].Name
		}
		if j.Record.ID == o.Room {
			where = " in " + words.InWords(j.Record.Name) + where
			break
		}
	}
	return PromiseSays(o, where)
}

// PromiseSays says what was promised to whom; where is as " in the kitchen".
func PromiseSays(o *Promise, where string) string {
	if o.To == words.Client {
		return words.Capital(o.Stage.String()) + where + " is promised to the client for " + words.Day(o.On) + "."
	}
	return "The " + o.To.String() + " is promised to begin " + o.Stage.String() + where + " on " + words.Day(o.On) + "."
}
