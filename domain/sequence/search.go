package sequence

import (
	"cmp"
	"context"
	"math"
	"slices"
)

// farthest is how many places in the order a piece is moved at most, so that a move
// costs the same among many.
const farthest = 60

// search is one run of the genetic search. Its members are orders of the work; a child
// is built backwards, then forwards, and takes a parent's place.
type search struct {
	ctx         context.Context
	n           *network
	b           *builder
	rng         chance
	tried, most int   // schedules made; to be made at most
	bound       score // nothing can be better
	best        schedule
	pool        []*member
	late        schedule // the critical path's backward pass
	back        schedule // the last one built backwards
	keys        []float64
	seen        []uint32 // marks of this round
	round       uint32
}

// member is an order, and the schedule that it led to.
type member struct {
	order []int32 // the pieces by the ends of s
	s     schedule
}

func newSearch(ctx context.Context, p *Project) *search {
	n := newNetwork(p)
	q := &search{ctx: ctx, n: n, b: newBuilder(n), rng: chance(p.Seed), most: p.Schedules, best: newSchedule(n),
		back: newSchedule(n), keys: make([]float64, len(n.pieces)), seen: make([]uint32, len(n.pieces))}
	if q.most == 0 {
		q.most = Usual(p)
	}
	early := n.earliest()
	q.late = n.latest(early.score.days, true)
	q.bound = n.bound(&early)
	q.best.score = score{math.MaxInt64, math.MaxInt32}
	return q
}

// run fills the pool and breeds until the schedules are used up or nothing can be
// better. The pool is smaller for few schedules of much work; a child has about one
// piece of work in twelve moved to another place, and three more. Both by trying: on
// the published instances, and on a firm with 60 rooms.
func (q *search) run() {
	n := len(q.n.pieces)
	size := 4 + int(6*math.Sqrt(float64(q.most)/float64(n+1)))
	for len(q.pool) < size && !q.isOver() {
		m := q.newMember()
		q.sample(m.order, len(q.pool) == 0)
		q.build(m)
		q.pool = append(q.pool, m)
	}
	child := q.newMember()
	for !q.isOver() {
		a, b := q.pick(), q.pick()
		q.cross(q.pool[a].order, q.pool[b].order, child.order)
		for q.rng.below(4+n/12) > 0 {
			q.move(child.order)
		}
		q.build(child)
		child = q.enter(child, a, b)
	}
}

// isOver reports whether another schedule is not worth making, or not allowed. What is
// counted besides schedules are days looked at, which only a project made to be slow has
// too many of.
func (q *search) isOver() bool {
	return q.tried >= q.most || q.b.p.looked > mostLooks || !q.bound.less(q.best.score) || q.ctx.Err() != nil
}

// build makes a member's schedule from its order: backwards, and forwards in the order
// that comes of it. The order becomes that of its ends. The first of all, and the last
// where one schedule is left, are built forwards alone.
func (q *search) build(m *member) {
	if q.tried > 0 && q.most-q.tried > 1 {
		q.b.backward(m.order, q.best.score.days, &q.back)
		q.b.byDay(q.back.start, m.order)
		q.tried++
	}
	q.b.forward(m.order, &m.s)
	q.tried++
	if m.s.score.less(q.best.score) {
		copy(q.best.start, m.s.start)
		copy(q.best.end, m.s.end)
		q.best.score = m.s.score
	}
	q.b.byDay(m.s.end, m.order)
}

// enter puts a child into the place of the worse of its parents if it is no worse, and
// like nobody there. It returns the member that is free now.
func (q *search) enter(child *member, a, b int) *member {
	if q.pool[a].s.score.less(q.pool[b].s.score) {
		a = b
	}
	if q.pool[a].s.score.less(child.s.score) {
		return child
	}
	for _, m := range q.pool {
		if m.s.score == child.s.score && slices.Equal(m.s.start, child.s.start) {
			return child
		}
	}
	child, q.pool[a] = q.pool[a], child
	return child
}

func (q *search) newMember() *member {
	return &member{make([]int32, len(q.n.pieces)), newSchedule(q.n)}
}

// pick returns the better of two members.
func (q *search) pick() int {
	a, b := q.rng.below(len(q.pool)), q.rng.below(len(q.pool))
	if q.pool[b].s.score.less(q.pool[a].s.score) {
		return b
	}
	return a
}

// sample makes an order by latest starts, each strayed from by up to some days
// that are drawn anew for each order, up to twice the whole; plain strays from none.
func (q *search) sample(order []int32, plain bool) {
	stray := 0.0
	if !plain {
		stray = q.rng.unit() * 2 * float64(q.bound.days-q.n.zero)
	}
	for i := range q.keys {
		q.keys[i] = float64(q.late.start[i]) + stray*q.rng.unit()
	}
	by := slices.Clone(q.n.order)
	slices.SortStableFunc(by, func(a, b int32) int { return cmp.Compare(q.keys[a], q.keys[b]) })
	q.round++
	order = order[:0]
	for _, i := range by {
		order = q.place(i, order)
	}
}

// place appends a piece to an order, and before it what it comes after.
func (q *search) place(i int32, order []int32) []int32 {
	if q.seen[i] == q.round {
		return order
	}
	q.seen[i] = q.round
	for _, l := range q.n.pieces[i].before {
		order = q.place(l.other, order)
	}
	return append(order, i)
}

// cross makes a child of the beginning and the end of its mother's order, and of its
// father's order between them: two-point crossover, which leaves each piece behind
// what it comes after.
func (q *search) cross(mother, father, child []int32) {
	a, b := q.rng.below(len(child)+1), q.rng.below(len(child)+1)
	a, b = min(a, b), max(a, b)
	q.round++
	copy(child, mother[:a])
	for _, i := range mother[:a] {
		q.seen[i] = q.round
	}
	k := a
	for _, list := range [2][]int32{father, mother} {
		for _, i := range list {
			if k >= b {
				break
			}
			if q.seen[i] != q.round {
				q.seen[i] = q.round
				child[k] = i
				k++
			}
		}
		b = len(child)
	}
}

// move puts a random piece anywhere between what it comes after and what waits for it.
func (q *search) move(order []int32) {
	k := q.rng.below(len(order))
	i := order[k]
	q.round++
	for _, l := range q.n.pieces[i].before {
		q.seen[l.other] = q.round
	}
	for _, l := range q.n.pieces[i].after {
		q.seen[l.other] = q.round
	}
	low, high := k, k
	for low > max(0, k-farthest) && q.seen[order[low-1]] != q.round {
		low--
	}
	for high+1 < min(len(order), k+farthest) && q.seen[order[high+1]] != q.round {
		high++
	}
	to := low + q.rng.below(high-low+1)
	if to < k {
		copy(order[to+1:k+1], order[to:k])
	} else {
		copy(order[k:to], order[k+1:to+1])
	}
	order[to] = i
}
