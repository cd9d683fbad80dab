package sequence

import (
	"fmt"
	"testing"
)

// broken checks an answer against the project alone, day by day and without anything
// of the package's own, and returns what it breaks.
func broken(p *Project, a Answer) []string {
	var out []string
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if len(a.Work) != len(p.Work) {
		return []string{fmt.Sprintf("%d pieces of work, not %d", len(a.Work), len(p.Work))}
	}
	placed, days := map[string]Placed{}, 0
	for i, w := range a.Work {
		placed[w.ID] = w
		days = max(days, w.End)
		if w.ID != p.Work[i].ID {
			say("%s stands where %s is due", w.ID, p.Work[i].ID)
		}
	}
	if days != a.Days {
		say("the last ends on %d, not %d", days, a.Days)
	}
	taken := map[string]map[int]int{}
	for _, c := range p.Crews {
		taken[c.ID] = map[int]int{}
	}
	for i := range p.Work {
		w := &p.Work[i]
		at := placed[w.ID]
		if at.Start < w.NotBefore {
			say("%s starts on %d, before %d", w.ID, at.Start, w.NotBefore)
		}
		for _, x := range w.After {
			if end := placed[x.Work].End; at.Start < end+x.Lag || calendarDay(p, at.Start) < dryFrom(p, end)+x.Dry {
				say("%s starts on %d, too soon after %s, which ends on %d", w.ID, at.Start, x.Work, end)
			}
		}
		worked := 0
		for day := at.Start; day < at.End; day++ {
			if rests(p, w, day) {
				if day == at.Start || day == at.End-1 {
					say("%s starts or ends on a day of rest", w.ID)
				}
				continue
			}
			worked++
			for _, n := range w.Needs {
				taken[n.Crew][day] += n.Count
			}
		}
		if worked != w.Days {
			say("%s works %d days, not %d", w.ID, worked, w.Days)
		}
	}
	for _, c := range p.Crews {
		for day, n := range taken[c.ID] {
			if n > left(c, day) {
				say("%d of %s at work on %d, of %d", n, c.ID, day, left(c, day))
			}
		}
	}
	return out
}

// left is how many of a crew are there on a day.
func left(c Crew, day int) int {
	out := c.Size
	for _, a := range c.Away {
		if a.From <= day && day < a.To {
			out = min(out, a.Left)
		}
	}
	return out
}

func rests(p *Project, w *Work, day int) bool {
	for _, n := range w.Needs {
		for _, c := range p.Crews {
			if c.ID == n.Crew && left(c, day) < n.Count {
				return true
			}
		}
	}
	return false
}

// calendarDay is the day of the calendar of a working day.
func calendarDay(p *Project, day int) int {
	if len(p.Calendar) == 0 {
		return day
	}
	if beyond := day - len(p.Calendar) + 1; beyond > 0 {
		return p.Calendar[len(p.Calendar)-1] + beyond
	}
	return p.Calendar[day]
}

// dryFrom is the day of the calendar from which something dries that has ended.
func dryFrom(p *Project, end int) int {
	if end == 0 {
		return calendarDay(p, 0)
	}
	return calendarDay(p, end-1) + 1
}

// keeps fails the test where an answer breaks something.
func keeps(t testing.TB, p *Project, a Answer) {
	t.Helper()
	for _, wrong := range broken(p, a) {
		t.Error(wrong)
	}
}
