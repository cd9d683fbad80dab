package programme

import (
	"math"
	"slices"
	"time"
)

// whatIf returns a plan in which something can be changed, to see what that does; what was
// worked out of the first stays as it is.
func (p *plan) whatIf() *plan {
	q := *p
	q.pieces, q.crews, q.order = slices.Clone(p.pieces), slices.Clone(p.crews), slices.Clone(p.order)
	q.free = slices.Clone(p.free)
	q.likely, q.early = newRun(len(p.pieces)), newRun(len(p.pieces))
	return &q
}

// settle takes the better of the order as it is and of whoever can begin first, and works
// the likely run out.
func (p *plan) settle() {
	l := p.likelyLasts()
	p.run(&p.likely, l, withCrews, p.order)
	cost := p.cost(&p.likely, p.order)
	if other := p.dispatch(l); len(other) > 1 {
		r := newRun(len(p.pieces))
		if p.run(&r, l, withCrews, other); p.cost(&r, other) < cost {
			p.order, p.likely = other, r
		}
	}
}

// dispatch orders the pieces so that no crew waits while there is something that it could
// begin; between those that can begin at once the plan's order decides.
func (p *plan) dispatch(l lasts) []int32 {
	place := make([]int, len(p.pieces))
	left := make([]int, len(p.pieces))
	var ready, out []int32
	for k, i := range p.order {
		place[i], left[i] = k, len(p.pieces[i].after)
		if left[i] == 0 {
			ready = append(ready, i)
		}
	}
	r := newRun(len(p.pieces))
	next := make([]int32, len(p.crews))
	for len(ready) > 0 {
		best, at := 0, int32(math.MaxInt32)
		for k, i := range ready {
			from, _ := p.ready(&r, int(i), l.dries[i])
			if from = max(from, next[p.pieces[i].crew]); from < at || from == at && place[i] < place[ready[best]] {
				best, at = k, from
			}
		}
		i := ready[best]
		ready = slices.Delete(ready, best, best+1)
		out = append(out, i)
		c := p.pieces[i].crew
		r.start[i], r.end[i] = p.free[c].do(at, l.slots[i])
		next[c] = r.end[i]
		for _, k := range p.then[i] {
			if left[k]--; left[k] == 0 {
				ready = append(ready, k)
			}
		}
	}
	return out
}

// answered puts the answer to something that is owed on a day so far from today: its
// pieces are held until it has come; never is what they would be had it come already.
func (p *plan) answered(o *owed, days int) *plan {
	q := p.whatIf()
	for _, i := range o.pieces {
		w := &q.pieces[i]
		w.holds = slices.DeleteFunc(slices.Clone(w.holds), func(h hold) bool { return h.kind == ordered && h.says == o.says })
		if days >= 0 {
			w.holds = append(w.holds, hold{days + o.lead, days + o.lead, ordered, o.says})
		}
	}
	if q.run(&q.likely, q.likelyLasts(), withCrews, q.order); q.delays(p) {
		q.settle()
	}
	return q
}

// later returns how many days of the calendar a job is done later than in another plan.
func (p *plan) later(than *plan, job int) int {
	a, _ := p.jobEnd(&p.likely, job)
	b, _ := than.jobEnd(&than.likely, job)
	return gap(than.ended(b), p.ended(a))
}

// delays reports whether any job is done later than in another plan.
func (p *plan) delays(than *plan) bool {
	for job := range p.jobs {
		if p.later(than, job) > 0 {
			return true
		}
	}
	return false
}

// onDay works a day off: a crew that would not come on it does.
func (p *plan) onDay(crew int, day time.Time) *plan {
	q := p.whatIf()
	q.days.extra = append(slices.Clone(p.days.extra), extra{&p.crews[crew], day})
	q.free = nil
	q.setCalendar()
	q.fix()
	q.settle()
	return q
}

// withHands has one more in a crew.
func (p *plan) withHands(crew int) *plan {
	q := p.whatIf()
	q.crews[crew].People++
	for i := range q.pieces {
		if w := &q.pieces[i]; w.crew == crew {
			w.least, w.likely = slots(w.units, w.rate.Least, q.crews[crew].People), slots(w.units, w.rate.Likely,
				q.crews[crew].People)
		}
	}
	q.settle()
	return q
}

// first has a crew do a piece before another that it would do earlier; false where that
// cannot be.
func (p *plan) first(piece, before int) (*plan, bool) {
	q := p.whatIf()
	from, to := slices.Index(q.order, int32(piece)), slices.Index(q.order, int32(before))
	if to >= from || q.follows(q.order[from], q.order[to]) || !q.shift(q.order, to, from) ||
		slices.Index(q.order, int32(piece)) > slices.Index(q.order, int32(before)) {
		return nil, false
	}
	q.run(&q.likely, q.likelyLasts(), withCrews, q.order)
	return q, true
}
