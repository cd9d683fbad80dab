package programme

import (
	"cmp"
	"slices"
	"time"

	"lathmark/domain/words"
)

// moved returns the stages that begin or end on other days than in the programme before,
// the longest move first, each with its reason. What has work for the first time, or none
// any more, did not move.
func (p *plan) moved(now *Programme) (out []Moved) {
	if p.Before == nil {
		return nil
	}
	p.old = p.placed()
	for i := range p.pieces {
		was, had := p.old[p.pieces[i].Piece]
		if !had {
			continue
		}
		if m, moved := p.move(i, was); moved {
			out = append(out, m)
		}
	}
	far := func(m *Moved) int { return max(gap(m.Before, m.Now), gap(m.Now, m.Before)) }
	slices.SortStableFunc(out, func(a, b Moved) int { return cmp.Compare(far(&b), far(&a)) })
	return out
}

// was is a piece as it stood in the programme before.
type was struct {
	Placed
	pinned bool
}

func (p *plan) placed() map[Piece]was {
	out := map[Piece]was{}
	for i := range p.Before.Visits {
		for _, w := range p.Before.Visits[i].Pieces {
			out[w.Piece] = was{w, p.Before.Visits[i].Pinned}
		}
	}
	return out
}

// move says how a piece moved, and why.
func (p *plan) move(i int, old was) (Moved, bool) {
	w := &p.pieces[i]
	m := Moved{Piece: w.Piece, Job: p.jobs[w.job].ID, Before: old.From, Now: p.cal.day(int(p.likely.start[i])),
		BeforePinned: old.pinned}
	head := words.Capital(p.inRoom(w)) + " "
	if !m.Before.Equal(m.Now) {
		t := teller{map[time.Time]bool{m.Now: true}, m.Now}
		m.Says = head + fromTo(m.Before, m.Now) + ": " + p.why(i, &m, &t) + "."
		return m, true
	}
	m.Before, m.Now = old.To, p.ended(p.likely.end[i])
	if m.Before.Equal(m.Now) {
		return m, false
	}
	m.Says = head + "is done on " + words.Day(m.Now) + ", not " + words.Day(m.Before) + ": " + p.longer(i, &old) + "."
	return m, true
}

// most reasons that a sentence names, and how far it follows a chain.
const mostReasons, mostLinks = 2, 3

// why says why a piece begins on another day.
func (p *plan) why(i int, m *Moved, t *teller) string {
	if m.Now.Before(m.Before) {
		return p.sooner(i)
	}
	var out []string
	for _, b := range p.bounds(i) {
		if len(out) < mostReasons && p.cal.day(int(b.at)).After(m.Before) {
			out = append(out, p.chain(&b, t, mostLinks))
		}
	}
	switch {
	case len(out) > 0:
		return joined(out)
	case m.Before.Before(p.cal.day(p.cal.first)):
		return "nothing of it is on record yet"
	}
	return p.crews[p.pieces[i].crew].Name + " does not work before"
}

// chain says a reason, and why that is so where it moved itself.
func (p *plan) chain(b *bound, t *teller, links int) string {
	says := b.what + " " + t.day(b.until)
	if b.on < 0 || links == 1 {
		return says
	}
	old, had := p.old[p.pieces[b.on].Piece]
	if !had || !p.ended(p.likely.end[b.on]).After(old.To) {
		return says
	}
	for _, next := range p.bounds(b.on) {
		if p.cal.day(int(next.at)).After(old.From) && !t.said[next.until] {
			return says + ", as " + p.chain(&next, t, links-1)
		}
	}
	return says
}

// sooner says why a piece can begin earlier than before.
func (p *plan) sooner(i int) string {
	all := p.bounds(i)
	if len(all) == 0 || all[0].at <= int32(p.cal.first) {
		return "nothing holds it any longer"
	}
	return "from then on nothing holds it: " + all[0].what + " " + words.Day(all[0].until)
}

// longer says why a piece that begins as before ends on another day.
func (p *plan) longer(i int, old *was) string {
	w := &p.pieces[i]
	c := &p.crews[w.crew]
	for day := p.cal.day(int(p.likely.start[i])); !day.After(p.ended(p.likely.end[i])); day = day.AddDate(0, 0, 1) {
		if p.days.week(c)[day.Weekday()] && p.days.away(c, day) != nil {
			return c.Name + " is away on " + words.Day(day)
		}
	}
	switch {
	case w.says != old.Amount:
		return w.says + " to do, " + old.Amount + " before"
	case w.likely != old.Slots:
		return "it takes " + words.Count(w.likely*2, "hour") + " by the rates, " + words.Count(old.Slots*2, "hour") +
			" before"
	}
	return c.Name + " begins at another time of the day"
}
