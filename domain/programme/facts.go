package programme

import (
	"slices"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// DayWorked says that somebody worked on a stage of a room on a day.
type DayWorked struct {
	Room   id.Room
	Stage  words.Stage
	Trade  words.Trade
	Member id.Member
	On     time.Time
}

// isWork are the acts of the diary that tell of a trade's work on site. Drawing, planning,
// looking and signing off are not among them.
var isWork = []string{"measure", "put_on", "finish", "open", "offer"}

// spell is a trade's work on a stage of a room from its first day to its last.
type spell struct {
	amount
	first, last time.Time
	expected    float64 // slots of one pair of hands by the common practice
	slots       float64
}

// Facts returns what the stages that are signed off took, in slots of one pair of hands. A
// trade's work on a stage lasts from its first record to its last, the offer included; a
// working day of a crew counts SlotsADay for each of its people, shared among all that the
// trade had in hand on that day as the common practice would share it. Where all was
// written down on one day, the work is taken to have begun after the sign-off before, but
// not so early that it would have taken longer than practice knows.
func Facts(given *Given, holidays []Holiday, rooms []*standing.Standing, worked []DayWorked) (out []Fact) {
	d := newDays(given, holidays)
	all := spells(d, rooms, worked)
	for _, c := range given.Crews {
		c.People = max(c.People, 1)
		shareOut(d, &c, all)
	}
	for _, t := range words.Trades {
		if !slices.ContainsFunc(given.Crews, func(c Crew) bool { return c.Trade == t }) {
			shareOut(d, &Crew{Trade: t, People: 1}, all)
		}
	}
	for _, s := range all {
		if s.slots > 0 {
			out = append(out, Fact{s.Trade, s.Stage, s.units, s.slots})
		}
	}
	return out
}

func spells(d days, rooms []*standing.Standing, worked []DayWorked) (out []*spell) {
	for _, j := range rooms {
		for _, s := range words.Stages {
			if j.Record.Gates[s].State != words.SignedOff {
				continue
			}
			for _, a := range amountsOf(j, s, true) {
				if sp := spellOf(d, j, a, worked); sp != nil {
					out = append(out, sp)
				}
			}
		}
	}
	return out
}

// spellOf is nil where nobody of the trade wrote anything down.
func spellOf(d days, j *standing.Standing, a amount, worked []DayWorked) *spell {
	out := &spell{amount: a, expected: a.units * assumedRate(a.Trade, a.Stage).Likely}
	for _, w := range worked {
		if w.Room != a.Room || w.Stage != a.Stage || w.Trade != a.Trade {
			continue
		}
		if out.first.IsZero() || w.On.Before(out.first) {
			out.first = w.On
		}
		if w.On.After(out.last) {
			out.last = w.On
		}
	}
	if out.first.IsZero() {
		return nil
	}
	if before, has := a.Stage.Before(); has && out.first.Equal(out.last) {
		signed := j.Record.Zone.Day(j.Record.Gates[before].SignedAt)
		left := a.units * assumedRate(a.Trade, a.Stage).Most / SlotsADay
		for day := out.last; left > 1 && day.After(signed.AddDate(0, 0, 1)); {
			if day = day.AddDate(0, 0, -1); d.works(&Crew{Trade: a.Trade}, day) {
				out.first = day
				left--
			}
		}
	}
	return out
}

// shareOut adds a crew's working days to the spells of its trade. Several crews of a trade
// each add theirs, as if they had shared the rooms.
func shareOut(d days, c *Crew, all []*spell) {
	mine := slices.DeleteFunc(slices.Clone(all), func(s *spell) bool { return s.Trade != c.Trade })
	if len(mine) == 0 {
		return
	}
	first, last := mine[0].first, mine[0].last
	for _, s := range mine {
		if s.first.Before(first) {
			first = s.first
		}
		if s.last.After(last) {
			last = s.last
		}
	}
	for day := first; !day.After(last); day = day.AddDate(0, 0, 1) {
		if !d.works(c, day) {
			continue
		}
		sum := 0.0
		in := slices.DeleteFunc(slices.Clone(mine), func(s *spell) bool { return day.Before(s.first) || day.After(s.last) })
		for _, s := range in {
			sum += s.expected
		}
		for _, s := range in {
			s.slots += float64(SlotsADay*c.People) * s.expected / sum
		}
	}
}
