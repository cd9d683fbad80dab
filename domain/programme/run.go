package programme

// run is when each piece is done, by its place in the plan, in slots.
type run struct {
	start, end []int32
	// by is the piece that each waited for last, -1 where it was none but the calendar, a
	// hold or a pin; crew reports whether that is because the same crew did it.
	by   []int32
	crew []bool
}

func newRun(n int) run {
	return run{make([]int32, n), make([]int32, n), make([]int32, n), make([]bool, n)}
}

// lasts are the durations of one run: slots of each piece, and how far along from the least
// to what is usual everything dries, 0 to 1, by piece; beyond 1 it takes longer still.
type lasts struct {
	slots []int32
	dries []float64
}

// mode is what a run heeds.
type mode int

const (
	withCrews mode = iota // each crew does one piece after the other, in the plan's order
	noCrews               // nobody is waited for
)

// days returns the days of the calendar for which something dries.
func (w *wait) days(far float64) int { return w.dry + int(float64(w.usual-w.dry)*far+0.5) }

// from returns the first slot that a hold allows.
func (p *plan) from(h *hold, far float64) int32 {
	return int32(p.cal.slotAt(h.least + int(float64(h.usual-h.least)*far+0.5)))
}

// run works out when each piece is done if it is begun as soon as it can be, in the plan's
// order.
func (p *plan) run(out *run, l lasts, m mode, order []int32) {
	var idle [64]int32
	next, last := idle[:0], make([]int32, len(p.crews))
	for range p.crews {
		next = append(next, int32(p.cal.first))
	}
	for c := range last {
		last[c] = -1
	}
	for _, i := range order {
		w := &p.pieces[i]
		from, by := p.ready(out, int(i), l.dries[i])
		crew := m == withCrews && next[w.crew] > from
		if crew {
			from, by = next[w.crew], last[w.crew]
		}
		out.start[i], out.end[i] = p.free[w.crew].do(from, l.slots[i])
		out.by[i], out.crew[i] = by, crew
		next[w.crew], last[w.crew] = out.end[i], i
	}
}

// ready returns the first slot on which a piece may start but for its crew, and the piece
// that it waits for last, -1 where it is the calendar, its pin or a hold.
func (p *plan) ready(out *run, i int, far float64) (from, by int32) {
	w := &p.pieces[i]
	from, by = max(p.notBefore(w, far), int32(w.pin)), -1
	for k := range w.after {
		a := &w.after[k]
		at := out.end[a.on] + int32(a.lag)
		if a.usual > 0 {
			at = max(at, int32(p.cal.dried(int(out.end[a.on]), a.days(far))))
		}
		if at > from || by < 0 && at == from {
			from, by = at, int32(a.on)
		}
	}
	return from, by
}

// notBefore returns the first slot that the calendar and a piece's holds allow.
func (p *plan) notBefore(w *piece, far float64) int32 {
	from := int32(p.cal.first)
	for k := range w.holds {
		from = max(from, p.from(&w.holds[k], far))
	}
	return from
}

// likelyLasts are the likeliest durations with usual drying, leastLasts the least.
func (p *plan) likelyLasts() lasts {
	l := lasts{make([]int32, len(p.pieces)), make([]float64, len(p.pieces))}
	for i := range p.pieces {
		l.slots[i], l.dries[i] = int32(p.pieces[i].likely), 1
	}
	return l
}

func (p *plan) leastLasts() lasts {
	l := lasts{make([]int32, len(p.pieces)), make([]float64, len(p.pieces))}
	for i := range p.pieces {
		l.slots[i] = int32(p.pieces[i].least)
	}
	return l
}

// ends returns the slot by which a stage of a room is done in a run: its last piece, or
// where it has none left the stage before; the first slot of all where nothing is left.
func (p *plan) ends(r *run, room, stage int) int32 {
	for s := stage; s >= 0; s-- {
		last := int32(-1)
		for _, i := range p.stages[room][s] {
			last = max(last, r.end[i])
		}
		if last >= 0 {
			return last
		}
	}
	return int32(p.cal.first)
}

// jobEnd returns the slot by which a job is done in a run.
func (p *plan) jobEnd(r *run, job int) (end int32, last int) {
	last = -1
	for i := range p.pieces {
		if p.pieces[i].job == job && r.end[i] > end {
			end, last = r.end[i], i
		}
	}
	return max(end, int32(p.cal.first)), last
}
