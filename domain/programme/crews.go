package programme

import (
	"slices"

	"lathmark/domain/words"
)

// staff lists the crews that have work: those given, and for a trade without one a crew
// of one that is assumed.
func (p *plan) staff(all []amount, rooms []int) {
	for _, c := range p.Crews {
		if slices.ContainsFunc(all, func(a amount) bool { return a.Trade == c.Trade }) {
			c.People = max(c.People, 1)
			p.crews = append(p.crews, c)
		}
	}
	for _, a := range all {
		if !slices.ContainsFunc(p.crews, func(c Crew) bool { return c.Trade == a.Trade }) {
			p.crews = append(p.crews, Crew{Trade: a.Trade, Name: "the " + a.Trade.String(), People: 1})
		}
	}
}

// assign gives each amount a crew of its trade. One crew does a trade's work of a job, as
// in the programme before where it can; only where there are more crews than jobs are the
// rooms of a job shared out. Whoever has least so far comes next, the largest work first.
func (p *plan) assign(all []amount, rooms []int) []int {
	out := make([]int, len(all))
	for _, t := range words.Trades {
		var crews []int
		for c := range p.crews {
			if p.crews[c].Trade == t {
				crews = append(crews, c)
			}
		}
		if len(crews) > 0 {
			p.share(crews, p.lots(all, rooms, t, len(crews)), all, out)
		}
	}
	return out
}

// lot is work that one crew does: of a job, or of a room.
type lot struct {
	job, room int
	size      float64
	which     []int
}

func (p *plan) lots(all []amount, rooms []int, t words.Trade, crews int) (out []lot) {
	by := func(byRoom bool) (out []lot) {
		for i, a := range all {
			if a.Trade != t {
				continue
			}
			of := lot{job: p.jobOf[rooms[i]]}
			if byRoom {
				of.room = rooms[i]
			}
			k := slices.IndexFunc(out, func(l lot) bool { return l.job == of.job && l.room == of.room })
			if k < 0 {
				k, out = len(out), append(out, of)
			}
			out[k].size += a.units * p.rate(t, a.Stage).Likely
			out[k].which = append(out[k].which, i)
		}
		return out
	}
	if out = by(false); len(out) < crews {
		out = by(true)
	}
	return out
}

func (p *plan) share(crews []int, lots []lot, all []amount, out []int) {
	load := make([]float64, len(p.crews))
	slices.SortStableFunc(lots, func(a, b lot) int {
		if a.size == b.size {
			return 0
		} else if a.size > b.size {
			return -1
		}
		return 1
	})
	for _, l := range lots {
		c, had := p.had(all[l.which[0]].Piece)
		if !had {
			c = slices.MinFunc(crews, func(a, b int) int {
				x := load[a] + l.size/float64(p.crews[a].People)
				if y := load[b] + l.size/float64(p.crews[b].People); x != y {
					return map[bool]int{true: -1, false: 1}[x < y]
				}
				return a - b
			})
		}
		load[c] += l.size / float64(p.crews[c].People)
		for _, i := range l.which {
			out[i] = c
		}
	}
}

// had returns who was to do a piece in the programme before.
func (p *plan) had(of Piece) (crew int, ok bool) {
	if p.Before == nil {
		return 0, false
	}
	for _, v := range p.Before.Visits {
		if !slices.ContainsFunc(v.Pieces, func(w Placed) bool { return w.Piece == of }) {
			continue
		}
		crew = slices.IndexFunc(p.crews, func(c Crew) bool { return c.ID == v.Crew && c.Trade == v.Trade })
		return crew, crew >= 0
	}
	return 0, false
}

// crewDays is a crew's own count of the slots in which it works.
type crewDays struct {
	nth  []int32 // the slots in which it works, in order
	rank []int32 // of each slot, how many it works before it
}

func newCrewDays(d days, cal *calendar, c *Crew) (out crewDays) {
	for i, day := range cal.days {
		works := d.works(c, day)
		for q := range SlotsADay {
			slot := int32(i*SlotsADay + q)
			out.rank = append(out.rank, int32(len(out.nth)))
			if works && int(slot) >= cal.first {
				out.nth = append(out.nth, slot)
			}
		}
	}
	return out
}

// do returns when a crew starts that may from a slot, and when it ends after so many slots
// of its own. Past the calendar it works every day.
func (c *crewDays) do(from, slots int32) (start, end int32) {
	if int(from) >= len(c.rank) {
		return from, from + slots
	}
	k := c.rank[from]
	if n := int32(len(c.nth)); k+slots > n {
		past := int32(len(c.rank))
		if k >= n {
			return past, past + slots
		}
		return c.nth[k], past + slots - (n - k)
	}
	return c.nth[k], c.nth[k+slots-1] + 1
}

// count returns how many slots a crew works before one.
func (c *crewDays) count(slot int32) int32 {
	if n := int32(len(c.rank)); slot >= n { // past the calendar it works every day
		return int32(len(c.nth)) + slot - n
	}
	return c.rank[slot]
}
