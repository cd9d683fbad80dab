package sequence

import "math/bits"

// profile says how many of each crew are taken on each day.
type profile struct {
	n        *network
	taken    []int32  // crew by crew, of each day up to the horizon
	full     []uint64 // the same as bits: nothing that needs this crew can be done
	words    int      // of full, for each crew
	gone     []uint64 // full from day zero on, where only those are taken who are away
	looked   int      // days looked at in vain
	from, to int      // nothing is taken on a day outside of these
}

func newProfile(n *network) *profile {
	words := n.horizon/64 + 1
	p := &profile{n: n, taken: make([]int32, n.crews*n.horizon), full: make([]uint64, n.crews*words), words: words}
	p.gone = make([]uint64, n.crews*((n.away+63)/64))
	for k, gone := range n.base {
		if c := k / n.away; n.size[c]-gone < n.least[c] {
			p.gone[c*len(p.gone)/n.crews+k%n.away/64] |= 1 << (k % n.away % 64)
		}
	}
	return p
}

// reset leaves only those taken who are away.
func (p *profile) reset() {
	for c := range p.n.crews {
		taken, full := p.taken[c*p.n.horizon:], p.full[c*p.words:]
		if p.from < p.to {
			clear(taken[p.from:p.to])
			clear(full[p.from/64 : (p.to+63)/64])
		}
		if len(p.n.p.Crews[c].Away) == 0 {
			continue
		}
		copy(taken[p.n.zero:], p.n.base[c*p.n.away:(c+1)*p.n.away])
		copy(full[p.n.zero/64:], p.gone[c*len(p.gone)/p.n.crews:(c+1)*len(p.gone)/p.n.crews])
	}
	p.from, p.to = int(p.n.zero), int(p.n.zero)+p.n.away
}

// take books a piece of work, or with -1 gives its days back.
func (p *profile) take(w *piece, start, end, sign int32) {
	p.from, p.to = min(p.from, int(start)), max(p.to, int(end))
	for _, x := range w.needs {
		taken := p.taken[int(x.crew)*p.n.horizon:]
		full := p.full[int(x.crew)*p.words:]
		room, count := p.n.size[x.crew]-p.n.least[x.crew], x.count*sign
		for day := start; day < end; day++ {
			if p.n.isRest(w, day) {
				continue
			}
			taken[day] += count
			if bit := uint64(1) << (day % 64); taken[day] > room {
				full[day/64] |= bit
			} else {
				full[day/64] &^= bit
			}
		}
	}
}

// fits reports whether all that the work needs is free on a day.
func (p *profile) fits(w *piece, day int32) bool {
	for _, x := range w.needs {
		if p.taken[int(x.crew)*p.n.horizon+int(day)]+x.count > p.n.size[x.crew] {
			return false
		}
	}
	return true
}

// first returns the earliest start, on or after from, at which the work finds its
// crews free on all its days, and its end.
func (p *profile) first(w *piece, from int32) (start, end int32) {
	if w.days == 0 {
		return from, from
	}
	for {
		start = p.open(w, from)
		left := w.days
		for end = start; left > 0; end++ {
			if p.fits(w, end) {
				left--
			} else if end == start || !p.n.isRest(w, end) {
				break
			}
		}
		if left == 0 {
			return start, end
		}
		p.looked += int(end-start) + 1
		from = end + 1
	}
}

// open returns the first day, on or after from, on which no crew of the work is full.
func (p *profile) open(w *piece, from int32) int32 {
	for k := int(from) / 64; k < p.words; k++ {
		var full uint64
		for _, x := range w.needs {
			full |= p.full[int(x.crew)*p.words+k]
		}
		if k == int(from)/64 {
			full |= 1<<(from%64) - 1
		}
		if full != ^uint64(0) {
			return int32(k*64 + bits.TrailingZeros64(^full))
		}
	}
	return int32(p.n.horizon)
}

// latest returns the latest end, on or before by, with which the work finds its crews
// free on all its days, and its start. There must be one.
func (p *profile) latest(w *piece, by int32) (start, end int32) {
	if w.days == 0 {
		return by, by
	}
	for {
		end = p.close(w, by)
		left := w.days
		for start = end; left > 0 && start > 0; start-- {
			if p.fits(w, start-1) {
				left--
			} else if start == end || !p.n.isRest(w, start-1) {
				break
			}
		}
		if left == 0 {
			return start, end
		}
		p.looked += int(end-start) + 1
		by = start - 1
	}
}

// close returns the day after the last, before by, on which no crew of the work is full.
func (p *profile) close(w *piece, by int32) int32 {
	for k := int(by-1) / 64; k >= 0; k-- {
		var full uint64
		for _, x := range w.needs {
			full |= p.full[int(x.crew)*p.words+k]
		}
		if k == int(by-1)/64 {
			full |= ^uint64(0) << ((by - 1) % 64) << 1
		}
		if full != ^uint64(0) {
			return int32(k*64 + 64 - bits.LeadingZeros64(^full))
		}
	}
	return 0
}
