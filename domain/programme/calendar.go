package programme

import (
	"cmp"
	"slices"
	"time"
)

// calendar numbers the days on which anybody works, from today on. A slot is a number on
// it: the working day's times SlotsADay, and which quarter of it from 0. An end is the slot
// after the last that is worked.
type calendar struct {
	today time.Time
	days  []time.Time // on which somebody works
	// off is how far each of them is from today, in days of the calendar, and on the first
	// of them on or after each day of the calendar.
	off, on []int
	// first is where today's work begins: what is past of the day is gone.
	first int
}

// firmWeek is what is assumed where a firm has said nothing.
var firmWeek = [7]bool{time.Monday: true, time.Tuesday: true, time.Wednesday: true, time.Thursday: true,
	time.Friday: true}

// days tells who works when, of what a firm has given and its region's bank holidays.
type days struct {
	*Given
	holidays map[time.Time]bool
	extra    []extra
}

// extra is a day on which a crew comes that would not: a way that is tried.
type extra struct {
	crew *Crew
	on   time.Time
}

func newDays(g *Given, holidays []Holiday) days {
	out := days{Given: g, holidays: map[time.Time]bool{}}
	for _, h := range holidays {
		out.holidays[h.On] = true
	}
	return out
}

// week returns the days of the week on which a crew works.
func (d days) week(c *Crew) [7]bool {
	none := [7]bool{}
	return cmp.Or(c.Week, d.Week, firmWeek, none)
}

// works reports whether a crew works on a day.
func (d days) works(c *Crew, on time.Time) bool {
	for _, e := range d.extra {
		if e.on.Equal(on) && e.crew.ID == c.ID && e.crew.Trade == c.Trade {
			return true
		}
	}
	return d.week(c)[on.Weekday()] && !d.holidays[on] && d.away(c, on) == nil
}

// away returns why a crew does not come on a day on which it would, nil where it does.
func (d days) away(c *Crew, on time.Time) *Away {
	for i := range d.Away {
		a := &d.Away[i]
		if (a.Crew.IsZero() || a.Crew == c.ID) && !on.Before(a.From) && !on.After(a.To) {
			return a
		}
	}
	return nil
}

// newCalendar returns the calendar of the next so many days for crews; with none of them
// it is the firm's week.
func newCalendar(d days, crews []Crew, now, today time.Time, length int) *calendar {
	if len(crews) == 0 {
		crews = []Crew{{}}
	}
	c := &calendar{today: today}
	for i := range length {
		day := today.AddDate(0, 0, i)
		c.on = append(c.on, len(c.days))
		if slices.ContainsFunc(crews, func(crew Crew) bool { return d.works(&crew, day) }) {
			c.days, c.off = append(c.days, day), append(c.off, i)
		}
	}
	if len(c.days) > 0 && c.days[0].Equal(today) {
		c.first = begun(now)
	}
	return c
}

// begun returns how many slots of a day are gone at a time by the clock: work begins in the
// morning or after noon, and nobody begins after four.
func begun(now time.Time) int {
	switch h := now.Hour(); {
	case h < 12:
		return 0
	case h < 16:
		return SlotsADay / 2
	}
	return SlotsADay
}

// day returns the day of a slot.
func (c *calendar) day(slot int) time.Time { return c.today.AddDate(0, 0, c.offset(slot)) }

// offset returns how many days of the calendar a slot is from today. Days past the
// calendar's end follow without a gap.
func (c *calendar) offset(slot int) int {
	i := max(slot, 0) / SlotsADay
	if n := len(c.days); i >= n {
		return len(c.on) + i - n
	}
	return c.off[i]
}

// last returns the day on which something ends whose end is a slot.
func (c *calendar) last(end int) time.Time { return c.day(max(end-1, 0)) }

// slot returns the first slot on or after a day on which somebody works.
func (c *calendar) slot(day time.Time) int { return c.slotAt(gap(c.today, day)) }

// slotAt is slot for a day that is so far from today.
func (c *calendar) slotAt(offset int) int {
	switch n := len(c.on); {
	case offset <= 0:
		return c.first
	case offset >= n:
		return (len(c.days) + offset - n) * SlotsADay
	}
	return max(c.on[offset]*SlotsADay, c.first)
}

// gap returns how many days of the calendar b is after a.
func gap(a, b time.Time) int { return int(b.Sub(a) / (24 * time.Hour)) }

// dried returns the first slot on which something can start that dries for days of the
// calendar after an end: at the same hour, or as work begins after that.
func (c *calendar) dried(end, dry int) int {
	at := dry * SlotsADay
	if end > 0 {
		at += c.offset(end-1)*SlotsADay + (end-1)%SlotsADay + 1
	}
	slot := c.slotAt(at / SlotsADay)
	if c.offset(slot) == at/SlotsADay {
		return max(slot, slot-slot%SlotsADay+at%SlotsADay)
	}
	return slot
}
