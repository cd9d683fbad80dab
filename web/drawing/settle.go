package drawing

import (
	"cmp"
	"math"
	"slices"
)

// stroke is a drawn line that labels keep off if they can.
type stroke struct {
	a, b   spotXY
	weight float64
}

// Weights of what a label is better kept off.
const (
	overFace   = 18.0
	overDim    = 5.0
	overLead   = 3.0
	overTimber = 1.5
	overSymbol = 45.0
	astray     = 14.0 // nearer to another position than to its own
)

// settle finds the labels their places: one after the other, each where it does not
// lie on one before it and costs least; then a few rounds in which each may
// move, and one that found no place may send one that can stand elsewhere away.
// The same labels always settle alike.
func (s *sheet) settle() {
	for _, l := range s.labels {
		l.set = s.best(l, nil)
	}
	for range 2 {
		moved := false
		for _, l := range s.labels {
			old := l.set
			if l.set = s.best(l, nil); l.set == nil || l.set.number {
				s.makeWay(l)
			}
			moved = moved || old == nil && l.set != nil || old != nil && l.set != nil && l.set != old
		}
		if !moved {
			return
		}
	}
}

// seat is a place for a wording of a label, with what it takes up and what speaks
// against it whatever the other labels do.
type seat struct {
	wording
	place
	box    box
	cost   float64
	judged bool // cost has what lies under the box
}

// seats returns the places of a label by what speaks against them, those of its best
// wording first.
func (l *label) seats() []seat {
	if l.found != nil {
		return l.found
	}
	for _, w := range l.say {
		width := w.reserve(l.class)
		for _, p := range l.at(width) {
			if w.number {
				p = ringed(p)
			}
			l.found = append(l.found, seat{wording: w, place: p, box: p.boxAt(width), cost: w.cost + p.cost})
		}
	}
	slices.SortStableFunc(l.found, func(a, b seat) int { return cmp.Compare(a.cost, b.cost) })
	return l.found
}

// best returns where a label stands best; nil where there is no place. Another
// label may be overlooked.
func (s *sheet) best(l, overlook *label) *seat {
	var found *seat
	least := math.Inf(1)
	all := l.seats()
	for i := range all {
		c := &all[i]
		if !c.judged && c.cost >= least {
			break // those that follow cost more
		}
		if c.cost >= least || !s.free(l, c.box, overlook) {
			continue
		}
		if !c.judged {
			c.cost, c.judged = c.cost+s.under(l, c), true
		}
		cost := c.cost
		if c.leader && cost < least {
			cost += s.tangle(l, c.box)
		}
		if cost < least-1e-9 {
			found, least = c, cost
		}
	}
	return found
}

// ringed returns the place with its anchor in the middle of what a number of the
// key takes up, which has a ring round it.
func ringed(p place) place {
	b := p.boxAt(2 * keyRing)
	p.x, p.anchor, p.up = (b.x0+b.x1)/2, "middle", false
	return p
}

// apartBy is how far labels keep from each other, in units.
const apartBy = 3.0

// free reports whether a box lies on the sheet and on no label.
func (s *sheet) free(own *label, b box, overlook *label) bool {
	if b.x0 < 2 || b.y0 < 2 || b.x1 > sheetWide-2 || b.y1 > s.height-2 {
		return false
	}
	for _, o := range s.labels {
		if o != own && o != overlook && o.set != nil && b.near(o.set.box) {
			return false
		}
	}
	return true
}

func (a box) near(b box) bool {
	return a.x0 < b.x1+apartBy && b.x0 < a.x1+apartBy && a.y0 < b.y1+apartBy && b.y0 < a.y1+apartBy
}

// under returns what speaks against a place: symbols and lines under the text, and
// other positions that are nearer than its own.
func (s *sheet) under(l *label, c *seat) float64 {
	cost := 0.0
	for _, line := range s.strokes {
		if c.box.crossed(line.a, line.b) {
			cost += line.weight
		}
	}
	far, _ := c.box.from(l.tip)
	for i := range s.spots {
		q := s.at(s.spots[i].at)
		if q == l.tip {
			continue
		}
		if c.box.over(box{q.x - symbolHalf, q.y - symbolHalf, q.x + symbolHalf, q.y + symbolHalf}) > 0 {
			cost += overSymbol
		}
		if d, _ := c.box.from(q); l.class == "label" && !c.leader && d < far {
			cost += astray
		}
	}
	return cost
}

// tangle returns what speaks against a leader: the labels and leaders that it crosses.
func (s *sheet) tangle(l *label, b box) float64 {
	cost := 0.0
	_, end := b.from(l.tip)
	for _, o := range s.labels {
		if o == l || o.set == nil {
			continue
		}
		if o.set.box.crossed(l.tip, end) {
			cost += 30
		}
		if o.set.leader {
			if _, e := o.set.box.from(o.tip); cross(l.tip, end, o.tip, e) {
				cost += 20
			}
		}
	}
	return cost
}

// cross reports whether the line from a to b crosses that from c to d.
func cross(a, b, c, d spotXY) bool {
	side := func(p, q, r spotXY) float64 { return (q.x-p.x)*(r.y-p.y) - (q.y-p.y)*(r.x-p.x) }
	return side(a, b, c)*side(a, b, d) < 0 && side(c, d, a)*side(c, d, b) < 0
}

// makeWay moves a label near l to where it can stand without a number, if that frees
// a place for l.
func (s *sheet) makeWay(l *label) {
	now, tries := math.Inf(1), 6
	if l.set != nil {
		now = l.set.cost
	}
	for _, o := range s.labels {
		if o == l || o.fixed || o.set == nil || o.set.number || dist(o.tip, l.tip) > 6*lineTall {
			continue
		}
		if tries--; tries < 0 {
			return
		}
		to := s.best(l, o)
		if to == nil || to.number || to.cost >= now || !to.box.near(o.set.box) {
			continue
		}
		mine, theirs := l.set, o.set
		l.set, o.set = to, nil
		if o.set = s.best(o, nil); o.set != nil && !o.set.number {
			return
		}
		l.set, o.set = mine, theirs
	}
}
