package programme

import (
	"cmp"
	"context"
	"strconv"

	"lathmark/domain/sequence"
)

// project is the plan as domain/sequence takes it: its days are slots, its calendar the
// slots of all days, each crew one that is whole at a piece of work.
func (p *plan) project(schedules int) *sequence.Project {
	out := &sequence.Project{Schedules: schedules, Seed: p.Seed}
	for i := range len(p.cal.days) * SlotsADay {
		out.Calendar = append(out.Calendar, p.cal.off[i/SlotsADay]*SlotsADay+i%SlotsADay)
	}
	for c := range p.crews {
		out.Crews = append(out.Crews, sequence.Crew{ID: strconv.Itoa(c), Size: 1, Away: p.free[c].gone()})
	}
	l := p.likelyLasts()
	for i := range p.pieces {
		w := &p.pieces[i]
		to := sequence.Work{ID: strconv.Itoa(i), Days: w.likely, NotBefore: int(p.notBefore(w, l.dries[i])),
			Needs: []sequence.Need{{Crew: strconv.Itoa(w.crew), Count: 1}}}
		for _, a := range w.after {
			to.After = append(to.After, sequence.After{Work: strconv.Itoa(a.on), Lag: a.lag, Dry: a.usual * SlotsADay})
		}
		if w.pin >= 0 {
			to.Pinned = &w.pin
		}
		if w.weight > 0 {
			to.Due = &sequence.Due{Day: w.due, Weight: w.weight}
		}
		out.Work = append(out.Work, to)
	}
	return out
}

// gone returns the spans of slots in which a crew does not work though others do.
func (c *crewDays) gone() (out []sequence.Away) {
	for slot := range c.rank {
		if c.count(int32(slot)+1) > c.rank[slot] {
			continue
		}
		if n := len(out); n > 0 && out[n-1].To == slot {
			out[n-1].To++
		} else {
			out = append(out, sequence.Away{From: slot, To: slot + 1})
		}
	}
	return out
}

// sequenced orders the pieces as domain/sequence finds that they are all done soonest.
func (p *plan) sequenced(schedules int) error {
	a, err := sequence.Plan(context.Background(), p.project(schedules))
	if err != nil {
		return err
	}
	p.orderBy(func(x, y int32) int {
		return cmp.Or(cmp.Compare(a.Work[x].Start, a.Work[y].Start), cmp.Compare(a.Work[x].End, a.Work[y].End))
	})
	return nil
}
