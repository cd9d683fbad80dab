package sequence

import "sort"

// network is a project with ids turned into indices, fit to be scheduled many times.
// Its days begin long before the project's, so that a schedule may be built backwards
// from its end without knowing where that leads.
type network struct {
	p       *Project
	pieces  []piece
	order   []int32 // the pieces, each behind what it comes after, else as in the project
	zero    int32   // the number in here of the day from which work may start
	horizon int     // every schedule ends by this day
	crews   int
	size    []int32 // of each crew
	least   []int32 // of each crew, the smallest need: a day with less left is full
	base    []int32 // crew by crew, of each day from zero to the last on which somebody is away, how many are
	away    int     // how many days that is
	pinned  []int32 // pieces that a person has pinned
	// calendar is the day of the calendar of each working day, and working the first
	// working day on or after each day of the calendar; nil where they are the same.
	calendar, working []int32
}

// piece is one piece of work.
type piece struct {
	days, notBefore, pin int32 // pin: -1 for none
	due, weight          int32
	needs                []need
	before, after        []link // what it comes after; what comes after it
	rests                []bool // by day, up to the network's away; nil for never
}

type need struct{ crew, count int32 }

// link is one end of a wait.
type link struct{ other, lag, dry int32 }

// newNetwork returns the network of a project that Check has let pass.
func newNetwork(p *Project) *network {
	n := &network{p: p, pieces: make([]piece, len(p.Work)), crews: len(p.Crews)}
	n.zero = int32(horizon(p)+64) &^ 63
	n.horizon = 2 * int(n.zero)
	crews, work := map[string]int32{}, map[string]int32{}
	for i := range p.Crews {
		crews[p.Crews[i].ID] = int32(i)
		n.size = append(n.size, int32(p.Crews[i].Size))
		n.least = append(n.least, int32(p.Crews[i].Size))
	}
	for i := range p.Work {
		work[p.Work[i].ID] = int32(i)
	}
	for i := range p.Work {
		n.piece(i, crews, work)
	}
	n.setAway()
	n.setCalendar()
	n.sort()
	n.pack()
	return n
}

// pack lays the links side by side in the order in which they are read.
func (n *network) pack() {
	links := 0
	for i := range n.pieces {
		links += 2 * len(n.pieces[i].before)
	}
	all := make([]link, 0, links)
	for _, i := range n.order {
		w := &n.pieces[i]
		from := len(all)
		all = append(append(all, w.before...), w.after...)
		middle := from + len(w.before)
		w.before, w.after = all[from:middle:middle], all[middle:len(all):len(all)]
	}
}

// piece turns one piece of work into indices.
func (n *network) piece(i int, crews, work map[string]int32) {
	from, w := &n.p.Work[i], &n.pieces[i]
	w.days, w.notBefore, w.pin = int32(from.Days), n.zero+int32(from.NotBefore), -1
	if from.Pinned != nil {
		w.pin = n.zero + int32(*from.Pinned)
		n.pinned = append(n.pinned, int32(i))
	}
	if from.Due != nil {
		w.due, w.weight = n.zero+int32(from.Due.Day), int32(from.Due.Weight)
	}
	for _, x := range from.Needs {
		if c := crews[x.Crew]; x.Count > 0 && from.Days > 0 {
			w.needs = append(w.needs, need{c, int32(x.Count)})
			n.least[c] = min(n.least[c], int32(x.Count))
		}
	}
	for _, a := range from.After {
		j := work[a.Work]
		w.before = append(w.before, link{j, int32(a.Lag), int32(a.Dry)})
		n.pieces[j].after = append(n.pieces[j].after, link{int32(i), int32(a.Lag), int32(a.Dry)})
	}
}

// setAway works out who is away on which day, and on which days work rests.
func (n *network) setAway() {
	for _, crew := range n.p.Crews {
		for _, a := range crew.Away {
			n.away = max(n.away, a.To)
		}
	}
	n.base = make([]int32, n.crews*n.away)
	for c, crew := range n.p.Crews {
		for _, a := range crew.Away {
			for day := a.From; day < a.To; day++ {
				n.base[c*n.away+day] = max(n.base[c*n.away+day], int32(crew.Size-a.Left))
			}
		}
	}
	same := map[need][]bool{} // most work has one need, and shares its days of rest
	for i := range n.pieces {
		w := &n.pieces[i]
		for _, x := range w.needs {
			if len(n.p.Crews[x.crew].Away) == 0 {
				continue
			}
			if same[x] == nil {
				same[x] = n.rests(x)
			}
			w.rests = either(w.rests, same[x])
		}
	}
}

// rests returns the days on which a crew has not what is needed of it.
func (n *network) rests(x need) []bool {
	out := make([]bool, n.away)
	for day := range out {
		out[day] = n.size[x.crew]-n.base[int(x.crew)*n.away+day] < x.count
	}
	return out
}

// either returns the days that are in a or in b, which it leaves as they are.
func either(a, b []bool) []bool {
	if a == nil {
		return b
	}
	out := make([]bool, len(b))
	for i := range out {
		out[i] = a[i] || b[i]
	}
	return out
}

// setCalendar works out both directions between working days and the calendar.
func (n *network) setCalendar() {
	given := n.p.Calendar
	if len(given) == 0 {
		return
	}
	n.calendar = make([]int32, n.horizon+1)
	for day := range n.calendar {
		if k := day - int(n.zero); k < 0 {
			n.calendar[day] = int32(day)
		} else if k < len(given) {
			n.calendar[day] = n.zero + int32(given[k]-given[0])
		} else {
			n.calendar[day] = n.calendar[day-1] + 1
		}
	}
	n.working = make([]int32, n.calendar[n.horizon]+1)
	for day := range n.working {
		n.working[day] = int32(sort.Search(n.horizon, func(k int) bool { return int(n.calendar[k]) >= day }))
	}
}

// isRest reports whether a piece of work rests on a day because too many are away.
func (n *network) isRest(w *piece, day int32) bool {
	k := int(day - n.zero)
	return k >= 0 && k < len(w.rests) && w.rests[k]
}

// free returns the first day on which something can start that waits for an end.
func (n *network) free(end int32, l link) int32 {
	start := end + l.lag
	if l.dry == 0 {
		return start
	}
	if n.calendar == nil {
		return max(start, end+l.dry)
	}
	evening := int32(0) // the day of the calendar from which drying counts
	if end > 0 {
		evening = n.calendar[end-1] + 1
	}
	if dry := int(evening + l.dry); dry < len(n.working) {
		return max(start, n.working[dry])
	}
	return max(start, int32(n.horizon))
}

// by returns the last day by which something has to end so that what waits for it
// can start: the largest end for which free is at most start.
func (n *network) by(start int32, l link) int32 {
	end := start - l.lag
	if l.dry == 0 {
		return end
	}
	if n.calendar == nil {
		return min(end, start-l.dry)
	}
	if evening := n.calendar[start] - l.dry; evening >= 0 {
		return min(end, n.working[evening])
	}
	return -1
}

// sort puts each piece behind what it comes after, else in the project's order.
func (n *network) sort() {
	waits := make([]int, len(n.pieces))
	n.order = make([]int32, 0, len(n.pieces))
	for i := range n.pieces {
		if waits[i] = len(n.pieces[i].before); waits[i] == 0 {
			n.order = append(n.order, int32(i))
		}
	}
	for k := 0; k < len(n.order); k++ {
		for _, l := range n.pieces[n.order[k]].after {
			if waits[l.other]--; waits[l.other] == 0 {
				n.order = append(n.order, l.other)
			}
		}
	}
}
