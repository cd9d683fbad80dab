package sequence

import (
	"fmt"
	"strings"

	"lathmark/domain/fault"
)

// Limits of a project, so that working it out costs no more than it is worth.
const (
	MostWork      = 10_000    // pieces of work
	MostCrews     = 200       // crews
	MostLinks     = 200_000   // needs, and things waited for, each, of all work together
	MostDays      = 200_000   // days of everything done one after the other, waits included
	MostCount     = 1_000_000 // of a crew's size or a promise's weight
	MostSchedules = 1_000_000 // schedules tried
	mostEffort    = 1 << 31   // schedules times the crews' days in each
	mostCalendar  = 2_000_000 // days of the calendar from the first to the last
	mostLooks     = 1 << 29   // days looked at in one search
	mostAway      = 10_000    // spans of a crew
	fewNames      = 100       // of a circle that are named
)

const cannot = "This programme cannot be worked out."

// Check returns a fault of kind BadInput that names everything that is wrong with the
// project by its path, as in a document: a circle with all its members, an id that is
// unknown, missing or there twice, a need that is more than the crew, a negative
// figure, a figure over its limit. Everything else in this package takes projects
// that it has let pass.
func Check(p *Project) error {
	c := checker{p: p, crews: map[string]int{}, work: map[string]int{}}
	c.sizes()
	if len(c.Fields) == 0 {
		c.crewsAlone()
		c.calendar()
		c.workAlone()
		c.links()
		c.horizon()
	}
	if len(c.Fields) == 0 {
		c.circle()
	}
	return c.Err(cannot)
}

type checker struct {
	fault.Fields
	p           *Project
	crews, work map[string]int
}

// sizes judges how much there is.
func (c *checker) sizes() {
	most := func(n, most int, path, what string) {
		c.If(n > most, path, fmt.Sprintf("there are %d %s, and at most %d can be planned together", n, what, most),
			"Plan fewer together")
	}
	most(len(c.p.Crews), MostCrews, "$.crews", "crews")
	most(len(c.p.Work), MostWork, "$.work", "pieces of work")
	needs, after := 0, 0
	for i := range c.p.Work {
		needs += len(c.p.Work[i].Needs)
		after += len(c.p.Work[i].After)
	}
	most(needs, MostLinks, "$.work", "needs")
	most(after, MostLinks, "$.work", "things to come after")
	c.figure(c.p.Schedules, MostSchedules, "$.schedules", "the number of schedules")
}

// figure judges a whole number that may be 0.
func (c *checker) figure(n, most int, path, what string) {
	c.If(n < 0, path, fmt.Sprintf("%s is %d", what, n), "Give 0 or more")
	c.If(n > most, path, fmt.Sprintf("%s is %d", what, n), fmt.Sprintf("Give at most %d", most))
}

// id judges a name and enters it.
func (c *checker) id(id, path, noun string, in map[string]int, i int) {
	_, twice := in[id]
	c.If(id == "", path+".id", "this "+noun+" has no id", "Give it one")
	c.If(twice && id != "", path+".id", fmt.Sprintf("another %s is called %s, too", noun, quoted(id)),
		"Give each an id of its own")
	if !twice {
		in[id] = i
	}
}

func (c *checker) crewsAlone() {
	for i, crew := range c.p.Crews {
		at := fmt.Sprintf("$.crews[%d]", i)
		c.id(crew.ID, at, "crew", c.crews, i)
		c.figure(crew.Size, MostCount, at+".size", "the size of "+quoted(crew.ID))
		c.If(len(crew.Away) > mostAway, at+".away", fmt.Sprintf("%s is away %d times", quoted(crew.ID), len(crew.Away)),
			fmt.Sprintf("Give at most %d spans", mostAway))
		for k, a := range crew.Away {
			c.If(a.From < 0 || a.To < a.From || a.To > MostDays || a.Left < 0, fmt.Sprintf("%s.away[%d]", at, k),
				fmt.Sprintf("%s is away from day %d to day %d with %d left", quoted(crew.ID), a.From, a.To, a.Left),
				fmt.Sprintf("Give days from 0 to %d, the later one last", MostDays))
		}
	}
}

func (c *checker) calendar() {
	for i, day := range c.p.Calendar {
		if i > 0 && day <= c.p.Calendar[i-1] || i == MostDays || day-c.p.Calendar[0] > mostCalendar {
			c.If(true, fmt.Sprintf("$.calendar[%d]", i), fmt.Sprintf("day %d of the calendar does not follow", day),
				fmt.Sprintf("Give rising days, at most %d, within %d of the first", MostDays, mostCalendar))
			return
		}
	}
}

// workAlone judges each piece of work by itself.
func (c *checker) workAlone() {
	for i := range c.p.Work {
		w, at := &c.p.Work[i], fmt.Sprintf("$.work[%d]", i)
		name := quoted(w.ID)
		c.id(w.ID, at, "piece of work", c.work, i)
		c.figure(w.Days, MostDays, at+".days", "the days of "+name)
		c.figure(w.NotBefore, MostDays, at+".not_before", "the first day of "+name)
		if w.Pinned != nil {
			c.figure(*w.Pinned, MostDays, at+".pinned", "the pinned day of "+name)
		}
		if w.Due != nil {
			c.figure(w.Due.Day, MostDays, at+".due.day", "the promised day of "+name)
			c.figure(w.Due.Weight, MostCount, at+".due.weight", "the weight of the promise of "+name)
		}
	}
}

// links judges what work needs and comes after.
func (c *checker) links() {
	for i := range c.p.Work {
		w, at := &c.p.Work[i], fmt.Sprintf("$.work[%d]", i)
		seen := map[string]bool{}
		for _, n := range w.Needs {
			path := at + ".needs" + step(n.Crew)
			k, known := c.crews[n.Crew]
			c.If(seen[n.Crew], path, quoted(w.ID)+" needs "+quoted(n.Crew)+" twice", "Give one figure for both")
			c.figure(n.Count, MostCount, path, "what "+quoted(w.ID)+" needs of "+quoted(n.Crew))
			c.If(!known, path, quoted(w.ID)+" needs "+quoted(n.Crew)+", and there is no such crew",
				"Add it to the crews or correct the id")
			c.If(known && n.Count > c.p.Crews[k].Size, path, fmt.Sprintf("%s needs %d of %s, whose size is %d", quoted(w.ID),
				n.Count, quoted(n.Crew), c.p.Crews[k].Size), "Let it need fewer, or make the crew larger")
			seen[n.Crew] = true
		}
		for k, a := range w.After {
			path := fmt.Sprintf("%s.after[%d]", at, k)
			_, known := c.work[a.Work]
			c.If(!known, path+".id", quoted(w.ID)+" comes after "+quoted(a.Work)+", and there is no such piece of work",
				"Add it to the work or correct the id")
			c.figure(a.Lag, MostDays, path+".lag", "the lag of "+quoted(w.ID)+" after "+quoted(a.Work))
			c.figure(a.Dry, MostDays, path+".dry", "the drying between "+quoted(a.Work)+" and "+quoted(w.ID))
		}
	}
}

// horizon judges the days and the effort of all together.
func (c *checker) horizon() {
	if len(c.Fields) > 0 {
		return
	}
	days := horizon(c.p)
	c.If(days > MostDays, "$.work", fmt.Sprintf("one after the other all this takes up to %d days", days),
		fmt.Sprintf("Plan at most %d days together", MostDays))
	effort := effort(c.p)
	most := mostEffort / effort
	c.If(c.p.Schedules > most, "$.schedules", fmt.Sprintf("%d schedules of this much work take too long", c.p.Schedules),
		fmt.Sprintf("Give at most %d", most))
}

// effort returns what one schedule costs: each piece of work, and its crews' days.
func effort(p *Project) int {
	sum := 1
	for i := range p.Work {
		sum += 1 + len(p.Work[i].After) + p.Work[i].Days*len(p.Work[i].Needs)
	}
	return sum
}

// horizon returns a day by which every schedule of this package has ended: all work
// one after the other, with every wait, after the last day on which somebody is away
// or something is not to start before.
func horizon(p *Project) int {
	sum, last := 0, 0
	for _, crew := range p.Crews {
		for _, a := range crew.Away {
			last = max(last, a.To)
		}
	}
	for i := range p.Work {
		w := &p.Work[i]
		wait := 0
		for _, a := range w.After {
			wait = max(wait, a.Lag, a.Dry)
		}
		sum += w.Days + wait
		last = max(last, w.NotBefore)
		if w.Pinned != nil {
			last = max(last, *w.Pinned)
		}
	}
	return last + sum
}

// circle looks for work that waits for itself.
func (c *checker) circle() {
	loop := circle(c.p, c.work)
	if loop == nil {
		return
	}
	var names []string
	for _, i := range loop[:min(len(loop), fewNames)] {
		names = append(names, quoted(c.p.Work[i].ID))
	}
	if more := len(loop) - len(names); more > 0 {
		names = append(names, fmt.Sprintf("%d more", more))
	}
	wrong := names[0] + " comes after itself"
	if len(loop) > 1 {
		wrong = "each of these comes after the next, and the last after the first: " + strings.Join(names, ", ")
	}
	c.If(true, fmt.Sprintf("$.work[%d].after", loop[0]), wrong, "Take one of these links out")
}

// circle returns pieces of work each of which comes after the next, and the last
// after the first; nil if there are none.
func circle(p *Project, index map[string]int) []int {
	const fresh, open, done = 0, 1, 2
	state := make([]int, len(p.Work))
	next := make([]int, len(p.Work)) // of what it comes after, the one to look at
	for root := range p.Work {
		if state[root] != fresh {
			continue
		}
		path := []int{root}
		state[root] = open
		for len(path) > 0 {
			i := path[len(path)-1]
			if next[i] == len(p.Work[i].After) {
				state[i] = done
				path = path[:len(path)-1]
				continue
			}
			j := index[p.Work[i].After[next[i]].Work]
			next[i]++
			switch state[j] {
			case open:
				for path[0] != j {
					path = path[1:]
				}
				return path
			case fresh:
				state[j] = open
				path = append(path, j)
			}
		}
	}
	return nil
}

// quoted returns an id as a sentence has it: as it is where it is plain, else in
// quotes, and shortened if it is long.
func quoted(id string) string {
	const longest = 64
	plain := id != "" && len(id) <= longest
	for _, r := range id {
		plain = plain && (r == '_' || r == '-' || r == '.' || r >= '0' && r <= '9' || r >= 'A' && r <= 'Z' || r >= 'a' &&
			r <= 'z')
	}
	if plain {
		return id
	}
	if r := []rune(id[:min(len(id), 4*longest)]); len(r) > longest || len(id) > 4*longest {
		id = string(r[:min(len(r), longest)]) + "..."
	}
	return fmt.Sprintf("%q", id)
}

// step returns the step of a path into an object, as in RFC 9535.
func step(name string) string {
	if q := quoted(name); q == name && !strings.ContainsAny(name, "-.") && (name[0] < '0' || name[0] > '9') {
		return "." + name
	} else if q != name {
		return "['" + strings.ReplaceAll(strings.ReplaceAll(q[1:len(q)-1], `\"`, `"`), "'", `\'`) + "']"
	}
	return "['" + name + "']"
}
