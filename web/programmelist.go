package web

import (
	"math"
	"strconv"
	"time"

	"lathmark/domain/programme"
	"lathmark/domain/words"
)

// ProgrammeDay is a day with who comes.
type ProgrammeDay struct {
	On     time.Time
	Visits []DayVisit
}

// DayVisit is a visit with what of it is on a day.
type DayVisit struct {
	programme.Visit
	Pieces []programme.Placed
}

// mostDays are the days of work that are listed one by one.
const mostDays = 10

// Coming are the next days on which somebody comes.
func (v ProgrammeView) Coming() []ProgrammeDay { return daysOf(v.Visits, v.Today, mostDays) }

// daysOf are the visits of the next days on which somebody comes.
func daysOf(visits []programme.Visit, from time.Time, most int) (out []ProgrammeDay) {
	last := from
	for _, v := range visits {
		if v.To.After(last) {
			last = v.To
		}
	}
	for on := from; !on.After(last) && len(out) < most; on = on.AddDate(0, 0, 1) {
		day := ProgrammeDay{On: on}
		for _, v := range visits {
			var here []programme.Placed
			for _, p := range v.Pieces {
				if !p.From.After(on) && !p.To.Before(on) {
					here = append(here, p)
				}
			}
			if len(here) > 0 {
				day.Visits = append(day.Visits, DayVisit{v, here})
			}
		}
		if len(day.Visits) > 0 {
			out = append(out, day)
		}
	}
	return out
}

// KeptSays says how likely a promise is kept.
func KeptSays(p programme.Kept) string {
	tens := math.Round(10 * p.Odds)
	switch {
	case p.Likely.IsZero():
		return "No day is worked out for it yet."
	case tens <= 0:
		return "It will not be kept as things are: likely " + words.ShortDay(p.Likely) + "."
	case tens >= 10:
		return "It is kept as things are."
	}
	return "Kept " + strconv.Itoa(int(tens)) + " times in 10; likely " + words.ShortDay(p.Likely) + "."
}

// Danger are the promises in danger, the most endangered first.
func (v ProgrammeView) Danger() []programme.Kept { return v.which(true) }

// Safe are the other promises that stand.
func (v ProgrammeView) Safe() []programme.Kept { return v.which(false) }

func (v ProgrammeView) which(danger bool) (out []programme.Kept) {
	for _, p := range v.Promises {
		if inDanger(p) == danger {
			out = append(out, p)
		}
	}
	return out
}

// AnyAssumed reports whether a day rests on a rate that is neither set nor learned.
func (v ProgrammeView) AnyAssumed() bool {
	for _, r := range v.Rooms {
		for _, s := range r.Stages {
			if s.AssumedRates && !s.SignedOff {
				return true
			}
		}
	}
	return false
}

// Trades are those that come, in their own order, for the chart's key.
func (v ProgrammeView) Trades() (out []words.Trade) {
	come := map[words.Trade]bool{}
	for _, one := range v.Visits {
		come[one.Trade] = true
	}
	for _, t := range words.Trades {
		if come[t] {
			out = append(out, t)
		}
	}
	return out
}

// Comes names who comes: "Electrician, Ola Brandt"; a crew that is assumed has no other
// name than its trade.
func Comes(v programme.Visit) string {
	if v.Name == "the "+v.Trade.String() {
		return words.Capital(v.Trade.String())
	}
	return words.Capital(v.Trade.String()) + ", " + v.Name
}
