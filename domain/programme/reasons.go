package programme

import (
	"slices"
	"strings"
	"time"

	"lathmark/domain/words"
)

// bound is one thing that keeps a piece from starting before a slot.
type bound struct {
	at int32
	on int // the piece that it waits for; -1: none
	// until is the last day on which it holds, and what says it without the day: "the patch
	// at D6 dries until".
	until time.Time
	what  string
}

// bounds returns what keeps a piece from starting earlier in the likely run, the latest
// first; of what ends with the same slot the holds come first and the crew last.
func (p *plan) bounds(i int) (out []bound) {
	w, r := &p.pieces[i], &p.likely
	for k := range w.holds {
		h := &w.holds[k]
		b := bound{p.from(h, 1), -1, p.today.AddDate(0, 0, h.usual-1), h.says + " dries until"}
		if h.kind == ordered {
			b.until, b.what = p.today.AddDate(0, 0, h.usual), h.says+" comes on"
		}
		out = append(out, b)
	}
	for k := range w.after {
		out = append(out, p.boundOf(w, &w.after[k], r))
	}
	if before := p.sameCrewBefore(i); before >= 0 {
		b := &p.pieces[before]
		where := "in " + words.InWords(p.Rooms[b.room].Record.Name)
		if b.job != w.job {
			where = "at " + p.jobs[b.job].Name
		}
		out = append(out, bound{r.end[before], before, p.ended(r.end[before]), p.crews[w.crew].Name + " is " + where +
			" until"})
	}
	if w.pin >= 0 {
		out = append(out, bound{int32(w.pin), -1, p.cal.day(w.pin), "it is put on"})
	}
	slices.SortStableFunc(out, func(a, b bound) int { return int(b.at - a.at) })
	return p.addAway(i, out)
}

// boundOf is what a piece waits for that comes after another.
func (p *plan) boundOf(w *piece, a *wait, r *run) bound {
	on := &p.pieces[a.on]
	b := bound{r.end[a.on] + int32(a.lag), a.on, p.ended(r.end[a.on]), ""}
	there := on.Stage.String()
	if on.room != w.room {
		there += " in " + words.InWords(p.Rooms[on.room].Record.Name)
	}
	switch {
	case a.kind == drying:
		b.at = max(b.at, int32(p.cal.dried(int(r.end[a.on]), a.usual)))
		b.until = p.cal.day(int(b.at)).AddDate(0, 0, -1)
		b.what = "what was put on at " + there + " dries until"
		if on.Stage == words.Plaster {
			b.what = "the plaster dries until"
		}
	case a.kind == through:
		b.what = "the boards for " + words.InWords(p.Rooms[on.room].Record.Name) + " go through it until"
	case on.Stage == w.Stage:
		b.what = "the " + on.Trade.String() + " is there until"
	default:
		b.what = there + " is not done before"
	}
	return b
}

// sameCrewBefore is the piece that a crew does before another, -1 where there is none.
func (p *plan) sameCrewBefore(i int) int {
	before := -1
	for _, k := range p.order {
		if int(k) == i {
			return before
		}
		if p.pieces[k].crew == p.pieces[i].crew {
			before = int(k)
		}
	}
	return before
}

// addAway puts in front that the crew is away when all else would let it begin.
func (p *plan) addAway(i int, out []bound) []bound {
	from := int32(p.cal.first)
	if len(out) > 0 {
		from = max(from, out[0].at)
	}
	c, start := &p.crews[p.pieces[i].crew], p.likely.start[i]
	for day := p.cal.day(int(from)); day.Before(p.cal.day(int(start))); day = day.AddDate(0, 0, 1) {
		if a := p.days.away(c, day); a != nil && p.days.week(c)[day.Weekday()] {
			who := c.Name
			if a.Crew.IsZero() {
				who = "everybody"
			}
			return append([]bound{{start, -1, a.To, who + " is away until"}}, out...)
		}
	}
	return out
}

// waits says in a sentence what a piece waits for last.
func (p *plan) waits(i int) string {
	all := p.bounds(i)
	if len(all) == 0 || all[0].at <= int32(p.cal.first) {
		return "It can begin."
	}
	return words.Capital(all[0].what) + " " + words.Day(all[0].until) + "."
}

// teller says days in one sentence: each once in full, then as "then", and those of the
// week before one that was said by the day of the week alone.
type teller struct {
	said map[time.Time]bool
	near time.Time
}

func (t *teller) day(of time.Time) string {
	defer func() { t.said[of] = true }()
	ahead := gap(of, t.near)
	switch {
	case t.said[of]:
		return "then"
	case ahead >= 0 && ahead < 7:
		return of.Format("Monday")
	}
	return words.Day(of)
}

// fromTo says two days: "from Tuesday 8 to Thursday 10 December".
func fromTo(a, b time.Time) string {
	if a.Month() == b.Month() && a.Year() == b.Year() {
		return "from " + a.Format("Monday 2") + " to " + words.Day(b)
	}
	return "from " + words.Day(a) + " to " + words.Day(b)
}

// inRoom says a stage of a room: "second fix in the kitchen".
func (p *plan) inRoom(w *piece) string {
	return w.Stage.String() + " in " + words.InWords(p.Rooms[w.room].Record.Name)
}

// joined joins reasons as a sentence does.
func joined(reasons []string) string { return strings.Join(reasons, ", and ") }
