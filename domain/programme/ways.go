package programme

import (
	"fmt"
	"slices"
	"time"

	"lathmark/domain/words"
)

// What trying ways costs: draws for each, promises that it is done for, and ways shown.
const wayDraws, waysFor, mostWays = 200, 3, 4

// enough is how much likelier a way has to make a promise, to be named.
const enough = 0.05

// sure is how likely a promise is kept that needs no ways.
const sure = 0.8

// ways returns what would keep a promise, the cheapest first: an answer now, another visit
// moved, a day off worked, a second pair of hands. Each was tried.
func (p *plan) ways(k *Kept) (out []string) {
	base := p.kept(&k.Promise, p.draw(wayDraws)).Odds
	try := func(q *plan, says string) {
		if q == nil || len(out) >= mostWays {
			return
		}
		if odds := q.kept(&k.Promise, q.draw(wayDraws)).Odds; odds >= base+enough {
			out = append(out, says+": kept in "+inHundred(odds)+".")
		}
	}
	chain := p.chainTo(&k.Promise)
	out = p.answersFor(k)
	for _, link := range chain {
		if before := p.likely.by[link]; p.likely.crew[link] && before >= 0 {
			if q, ok := p.first(link, int(before)); ok {
				try(q, p.moveSays(q, link, int(before)))
			}
		}
	}
	for _, c := range p.crewsOf(chain) {
		if day, ok := p.dayOff(c, k); ok {
			try(p.onDay(c, day), fmt.Sprintf("%s works on %s", words.Capital(p.crews[c].Name), words.Day(day)))
		}
	}
	for _, c := range p.crewsOf(chain) {
		try(p.withHands(c), "One more pair of hands with "+p.crews[c].Name)
	}
	return out
}

// inHundred says odds: "85 of 100".
func inHundred(odds float64) string { return fmt.Sprintf("%.0f of 100", odds*100) }

// answersFor are what has to be answered for a promise, each with the last day that does
// no harm to it; where the promise is as good as lost an answer alone keeps nothing.
func (p *plan) answersFor(k *Kept) (out []string) {
	for _, o := range p.owing() {
		if o.Job != k.Job || !k.Room.IsZero() && o.Room != k.Room {
			continue
		}
		d := p.decideBy(&o)
		by := d.Latest
		if by.IsZero() {
			by = p.today
		}
		q := p.answered(&o, gap(p.today, by))
		if odds := q.kept(&k.Promise, q.draw(wayDraws)).Odds; odds >= enough {
			out = append(out, fmt.Sprintf("%s by %s: kept in %s.", o.about(), words.Day(by), inHundred(odds)))
		}
	}
	return out
}

// chainTo returns the pieces that what was promised waits for in the likely run, the last
// first.
func (p *plan) chainTo(o *Promise) (out []int) {
	last := int32(-1)
	for _, i := range p.promisedPieces(o) {
		if last < 0 || p.likely.end[i] > p.likely.end[last] {
			last = int32(i)
		}
	}
	for ; last >= 0; last = p.likely.by[last] {
		out = append(out, int(last))
	}
	return out
}

// crewsOf are the crews of a chain, those with most of its work first.
func (p *plan) crewsOf(chain []int) (out []int) {
	work := map[int]int{}
	for _, i := range chain {
		c := p.pieces[i].crew
		if work[c] += p.pieces[i].likely; !slices.Contains(out, c) {
			out = append(out, c)
		}
	}
	slices.SortStableFunc(out, func(a, b int) int { return work[b] - work[a] })
	return out[:min(len(out), mostLinks)]
}

// moveSays says that a crew comes for a piece before another, and what that does to the
// other's job.
func (p *plan) moveSays(q *plan, piece, before int) string {
	a, b := &p.pieces[piece], &p.pieces[before]
	says := fmt.Sprintf("%s does %s before %s", words.Capital(p.crews[a.crew].Name), p.inRoom(a), p.inRoom(b))
	if b.job == a.job {
		return says
	}
	says += " at " + p.jobs[b.job].Name
	if n := q.later(p, b.job); n > 0 {
		return says + ", which is done " + words.Count(n, "day") + " later"
	}
	return says + ", which is done no later"
}

// dayOff returns the first Saturday before a promise's day on which the crew would not come though it is not away.
func (p *plan) dayOff(crew int, k *Kept) (day time.Time, ok bool) {
	c := &p.crews[crew]
	for day = p.today; !day.After(k.On); day = day.AddDate(0, 0, 1) {
		if day.Weekday() == time.Saturday && !p.days.works(c, day) && p.days.away(c, day) == nil && !p.days.holidays[day] {
			return day, true
		}
	}
	return day, false
}
