package programme

import (
	"math/rand/v2"
	"slices"
)

// What a run costs, in slots of one job's end: a job's end counts by the slot, each visit a
// working day, since no trade comes for half an hour, a promise that is missed promised for
// each slot, and all else a little, so that nothing lies about.
const (
	visitCost = SlotsADay
	promised  = 20     // a promise's slot
	pinned    = 10_000 // a slot that a piece begins after the day that somebody put it on: no promise outweighs it
)

// shifts are how many single moves are tried for each schedule: they cost that much less.
const shifts = 4

// arrange finds an order in which the work is done, by trying so many schedules: that by
// which all is done soonest, or the longest chain first where that costs less, and from
// there by single moves. Faults: BadInput where it is too much to be planned together.
func (p *plan) arrange(schedules int) error {
	if schedules == 0 {
		schedules = UsualSchedules
	}
	p.likely, p.early = newRun(len(p.pieces)), newRun(len(p.pieces))
	if len(p.pieces) > 0 {
		p.byRule()
		l, rule := p.likelyLasts(), slices.Clone(p.order)
		p.run(&p.likely, l, withCrews, rule)
		cost := p.cost(&p.likely, rule)
		if err := p.sequenced(schedules); err != nil {
			return err
		}
		if p.run(&p.likely, l, withCrews, p.order); p.cost(&p.likely, p.order) > cost {
			p.order = rule
		}
		p.improve(shifts * schedules)
	}
	p.run(&p.likely, p.likelyLasts(), withCrews, p.order)
	p.run(&p.early, p.leastLasts(), noCrews, p.order)
	return nil
}

// byRule orders the pieces by how much work hangs on each, the longest chain first, pinned
// ones by their day.
func (p *plan) byRule() {
	tail := make([]int, len(p.pieces))
	for _, i := range slices.Backward(p.order) {
		tail[i] += p.pieces[i].likely
		for _, a := range p.pieces[i].after {
			tail[a.on] = max(tail[a.on], tail[i]+a.lag+a.usual*SlotsADay*5/7)
		}
	}
	r := newRun(len(p.pieces))
	p.run(&r, p.likelyLasts(), noCrews, p.order)
	key := func(i int32) int32 {
		w := &p.pieces[i]
		if w.pin >= 0 {
			return int32(w.pin)
		}
		k := r.start[i]
		if w.weight > 0 {
			k = min(k, int32(w.due-w.likely))
		}
		return k
	}
	p.orderBy(func(a, b int32) int {
		if d := key(a) - key(b); d != 0 {
			return int(d)
		}
		return tail[b] - tail[a]
	})
}

// orderBy sorts the order by a rule as far as what waits for what allows.
func (p *plan) orderBy(rule func(a, b int32) int) {
	slices.SortStableFunc(p.order, rule)
	out := make([]int32, 0, len(p.order))
	done := make([]bool, len(p.pieces))
	var put func(i int32)
	put = func(i int32) {
		if done[i] {
			return
		}
		done[i] = true
		for _, a := range p.pieces[i].after {
			put(int32(a.on))
		}
		out = append(out, i)
	}
	for _, i := range p.order {
		put(i)
	}
	p.order = out
}

// improve moves single pieces about in the order and keeps what costs no more.
func (p *plan) improve(tries int) {
	n := len(p.order)
	if n < 2 {
		return
	}
	chance := rand.New(rand.NewPCG(p.Seed, 1))
	l, r := p.likelyLasts(), newRun(n)
	p.run(&r, l, withCrews, p.order)
	best := p.cost(&r, p.order)
	trial := make([]int32, n)
	for range tries {
		copy(trial, p.order)
		if !p.shift(trial, chance.IntN(n), chance.IntN(n)) {
			continue
		}
		p.run(&r, l, withCrews, trial)
		if c := p.cost(&r, trial); c <= best {
			best = c
			copy(p.order, trial)
		}
	}
	p.keepPins(trial, r)
}

// keepPins puts a piece that starts after the day on which it is pinned before the one that
// its crew is still busy with then, as often as that costs less: chance need not find it.
func (p *plan) keepPins(trial []int32, r run) {
	l := p.likelyLasts()
	for range p.pieces {
		p.run(&r, l, withCrews, p.order)
		best := p.cost(&r, p.order)
		late := slices.IndexFunc(p.order, func(i int32) bool {
			return p.pieces[i].pin >= 0 && int(r.start[i]) > p.pieces[i].pin && r.crew[i]
		})
		if late < 0 {
			return
		}
		copy(trial, p.order)
		if !p.shift(trial, late, slices.Index(trial, r.by[p.order[late]])) {
			return
		}
		p.run(&r, l, withCrews, trial)
		if p.cost(&r, trial) >= best {
			return
		}
		copy(p.order, trial)
	}
}

// shift takes the piece at a place of an order to another, as far as what it waits for and
// what waits for it let it; false where it stays.
func (p *plan) shift(order []int32, from, to int) bool {
	i, at := order[from], from
	for at > to && !p.follows(i, order[at-1]) {
		order[at] = order[at-1]
		at--
	}
	for at < to && !p.follows(order[at+1], i) {
		order[at] = order[at+1]
		at++
	}
	order[at] = i
	return at != from
}

// follows reports whether piece b waits for a.
func (p *plan) follows(b, a int32) bool {
	return slices.ContainsFunc(p.pieces[b].after, func(w wait) bool { return w.on == int(a) })
}

// cost is what a run in an order costs.
func (p *plan) cost(r *run, order []int32) float64 {
	var few [64]int32
	jobs, last := make([]int32, len(p.jobs)), append(few[:0], make([]int32, len(p.crews))...)
	sum := 0.0
	for _, i := range order {
		w := &p.pieces[i]
		jobs[w.job] = max(jobs[w.job], r.end[i])
		sum += 0.01 * float64(r.end[i])
		if w.weight > 0 && int(r.end[i]) > w.due {
			sum += float64(w.weight * (int(r.end[i]) - w.due))
		}
		if w.pin >= 0 {
			sum += float64(pinned * (int(r.start[i]) - w.pin))
		}
		if before := last[w.crew] - 1; before < 0 || !p.sameVisit(r, before, i) {
			sum += visitCost
		}
		last[w.crew] = i + 1
	}
	for _, end := range jobs {
		sum += float64(end)
	}
	return sum
}

// sameVisit reports whether a crew stays for b, its next piece after a: it is on the same
// job, and less than a day of the crew's own lies between.
func (p *plan) sameVisit(r *run, a, b int32) bool {
	w := &p.pieces[a]
	f := &p.free[w.crew]
	return w.job == p.pieces[b].job && f.count(r.start[b])-f.count(r.end[a]) < SlotsADay
}
