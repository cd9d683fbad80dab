package sequence

// schedule is a start and an end for each piece of work.
type schedule struct {
	start, end []int32
	score      score
}

// score says how good a schedule is; smaller is better.
type score struct {
	broken int64 // what pins and promises that are not kept cost
	days   int32 // the end of the whole
}

// aSlip is what each day costs that a pinned piece of work starts late: more than any
// promise that weighs less than a thousand.
const aSlip = 1000

func (s score) less(o score) bool {
	return s.broken < o.broken || s.broken == o.broken && s.days < o.days
}

// builder makes schedules, one pass over all pieces of work at a time.
type builder struct {
	n      *network
	p      *profile
	pins   schedule // where pinned work goes if nothing that it waits for is late
	bucket []int32  // room for sorting
}

func newBuilder(n *network) *builder {
	b := &builder{n: n, p: newProfile(n), pins: newSchedule(n), bucket: make([]int32, n.horizon+2)}
	b.p.reset()
	for _, i := range n.pinned {
		w := &n.pieces[i]
		b.pins.start[i], b.pins.end[i] = b.p.first(w, max(w.pin, w.notBefore))
		b.p.take(w, b.pins.start[i], b.pins.end[i], 1)
	}
	return b
}

func newSchedule(n *network) schedule {
	days := make([]int32, 2*len(n.pieces))
	return schedule{start: days[:len(n.pieces)], end: days[len(n.pieces):]}
}

// forward places each piece of work, in the given order, as early as what it waits
// for and those placed before it leave room: serial schedule generation. In the order
// nothing stands before what it comes after.
func (b *builder) forward(order []int32, s *schedule) {
	b.takePins()
	for _, i := range order {
		w, ready := &b.n.pieces[i], b.n.pieces[i].notBefore
		for _, l := range w.before {
			ready = max(ready, b.n.free(s.end[l.other], l))
		}
		if w.pin >= 0 {
			if s.start[i], s.end[i] = b.pins.start[i], b.pins.end[i]; ready <= s.start[i] {
				continue
			}
			b.p.take(w, s.start[i], s.end[i], -1)
		}
		s.start[i], s.end[i] = b.p.first(w, ready)
		b.p.take(w, s.start[i], s.end[i], 1)
	}
	s.score = b.n.score(s)
}

// backward places each piece of work, from the end of the order to its beginning, as
// late as what waits for it, its promise and the end of the whole leave room. Where
// that begins does not matter: what counts is the order that it makes.
func (b *builder) backward(order []int32, until int32, s *schedule) {
	b.takePins()
	for k := len(order) - 1; k >= 0; k-- {
		i := order[k]
		w, by := &b.n.pieces[i], until
		if w.weight > 0 {
			by = min(by, w.due)
		}
		for _, l := range w.after {
			by = min(by, b.n.by(s.start[l.other], l))
		}
		if w.pin >= 0 {
			if s.start[i], s.end[i] = b.pins.start[i], b.pins.end[i]; by >= s.end[i] {
				continue
			}
			b.p.take(w, s.start[i], s.end[i], -1)
		}
		s.start[i], s.end[i] = b.p.latest(w, by)
		b.p.take(w, s.start[i], s.end[i], 1)
	}
}

// takePins leaves only those taken who are away, or wanted for pinned work.
func (b *builder) takePins() {
	b.p.reset()
	for _, i := range b.n.pinned {
		b.p.take(&b.n.pieces[i], b.pins.start[i], b.pins.end[i], 1)
	}
}

// byDay puts all pieces of work into order by a day of each; those of one day stand
// as in the network's order, each behind what it comes after.
func (b *builder) byDay(day, order []int32) {
	low, high := day[0], day[0]
	for _, d := range day {
		low, high = min(low, d), max(high, d)
	}
	next := b.bucket[:high-low+2]
	clear(next)
	for _, d := range day {
		next[d-low+1]++
	}
	for d := range high - low {
		next[d+1] += next[d]
	}
	for _, i := range b.n.order {
		at := &next[day[i]-low]
		order[*at] = i
		*at++
	}
}

// score judges a schedule.
func (n *network) score(s *schedule) score {
	out := score{days: n.zero}
	for i := range n.pieces {
		w := &n.pieces[i]
		out.days = max(out.days, s.end[i])
		if w.weight > 0 && s.end[i] > w.due {
			out.broken += int64(w.weight) * int64(s.end[i]-w.due)
		}
		if w.pin >= 0 && s.start[i] > w.pin {
			out.broken += aSlip * int64(s.start[i]-w.pin)
		}
	}
	return out
}
