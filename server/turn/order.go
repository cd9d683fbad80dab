package turn

import (
	"slices"
	"time"

	"lathmark/domain/recent"
)

// party is somebody who takes turns: a firm among the firms, a person among those of
// their firm.
type party struct {
	used    time.Duration // of the time that everybody had who was busy all along
	running int
	in      int // how much it has in line or running
	people  parties
}

// credit is by how much somebody who had little lately is ahead of those who had much: for
// so long their work is done at once.
const credit = 2 * time.Second

// parties remembers those who had something to do lately.
type parties struct {
	by    recent.Cache[string, *party]
	floor time.Duration // what was used by who had the last turn
}

func (p *parties) come(name string) *party {
	p.by.Most = 1000
	one := p.by.Own(name, 1, func() *party { return &party{} })
	if one.in == 0 {
		one.used = max(one.used, p.floor-credit)
	}
	one.in++
	return one
}

// next has those begin, or go on, whose turn it is.
func (t *Turns) next() {
	for t.running < t.Slots {
		w := t.pick()
		if w == nil {
			return
		}
		t.line = slices.DeleteFunc(t.line, func(one *Turn) bool { return one == w })
		if !w.begun {
			w.begun = true
			t.held += w.Bytes
			for _, one := range t.line {
				if !one.begun && t.held-w.Bytes+one.Bytes > t.Room {
					one.passed++
				}
			}
		}
		w.start()
		w.run <- struct{}{}
	}
}

// pick returns whose turn it is of those in line whose firm leaves a slot to others and
// who fit into the memory. Who was passed too often is not passed again.
func (t *Turns) pick() (best *Turn) {
	late := func(w *Turn) bool { return w.passed >= mostPassed }
	barred := slices.ContainsFunc(t.line, late)
	for _, w := range t.line {
		fits := w.begun || t.held+w.Bytes <= t.Room && (!barred || late(w))
		if fits && w.firm.running < max(1, t.Slots-1) && (best == nil || w.before(best)) {
			best = w
		}
	}
	return best
}

// before reports whether it is the turn of one before that of another: their firm had
// less. Within a firm what has begun ends first, so that a firm holds little.
func (w *Turn) before(other *Turn) bool {
	switch {
	case w.firm != other.firm:
		return w.firm.used < other.firm.used
	case w.begun != other.begun:
		return w.begun
	}
	return w.who.used < other.who.used
}

// start and stop count what a turn costs.
func (w *Turn) start() {
	t := w.turns
	t.running++
	w.firm.running++
	w.runs, w.since = true, t.Now()
	t.firms.floor = max(t.firms.floor, w.firm.used)
	w.firm.people.floor = max(w.firm.people.floor, w.who.used)
}

func (w *Turn) stop() {
	t := w.turns
	t.running--
	w.firm.running--
	took := t.Now().Sub(w.since)
	w.runs = false
	w.ran, w.firm.used, w.who.used = w.ran+took, w.firm.used+took, w.who.used+took
}
