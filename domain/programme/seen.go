package programme

import (
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/words"
)

// seenBy is the one place that says what of a programme is for whose eyes. A view has the
// person's own jobs already; what is of the whole firm is cut down here.
//
//	owner, foreman   everything
//	trade            the visits, promises and absences of the own crews in the own jobs
//	client           the days of the own jobs, what was promised to them, what they owe
func seenBy(by firm.Person, v View) View {
	switch by.Role {
	case firm.Owner, firm.Foreman:
		return v
	case firm.Trade:
		v.Own = crewsOf(by, v.Given.Crews)
		return v.forCrews(by.Trade, by.EveryJob)
	}
	return v.forClient()
}

// crewsOf returns the crews for which a trade speaks: the own, or, where nobody says which
// that is, those of the trade that are nobody's.
func crewsOf(by firm.Person, all []Crew) (out []Crew) {
	for _, c := range all {
		if c.Member == by.ID {
			out = append(out, c)
		}
	}
	if out != nil {
		return out
	}
	for _, c := range all {
		if c.Member.IsZero() && c.Trade == by.Trade {
			out = append(out, c)
		}
	}
	return out
}

// speaksFor returns the fault of a person who may not say when a crew comes, or that of a
// crew that is not there. Without a crew it is the whole firm.
func speaksFor(by firm.Person, given *Given, crew id.Crew) error {
	runs := firm.MayRunJobs(by)
	if crew.IsZero() {
		return runs
	}
	is := func(c Crew) bool { return c.ID == crew }
	if runs == nil && slices.ContainsFunc(given.Crews, is) ||
		runs != nil && slices.ContainsFunc(crewsOf(by, given.Crews), is) {
		return nil
	}
	return &fault.Error{Kind: fault.NotFound, Msg: "There is no such crew."}
}

// forCrews leaves what concerns the crews in v.Own, of a trade. Sentences about others'
// work name jobs: who does not see them all does not read them.
func (v View) forCrews(trade words.Trade, everyJob bool) View {
	own := func(crew id.Crew, of words.Trade) bool {
		return crew.IsZero() && of == trade && len(v.Own) == 0 ||
			slices.ContainsFunc(v.Own, func(c Crew) bool { return c.ID == crew })
	}
	given := Given{Week: v.Given.Week, Region: v.Given.Region, Crews: v.Own}
	given.Away = kept(v.Given.Away, func(a Away) bool { return a.Crew.IsZero() || own(a.Crew, "") })
	given.Coming = kept(v.Given.Coming, func(c Coming) bool { return own(c.Crew, "") })
	given.Promises = kept(v.Given.Promises, func(p Promise) bool { return p.To == trade })
	v.Given = given
	p := v.Programme
	if p == nil {
		return v
	}
	out := &Programme{Made: p.Made, Today: p.Today, Revision: p.Revision, Off: p.Off, mark: p.mark}
	mine := func(n Visit) bool { return v.sees(n.Job) && own(n.Crew, n.Trade) }
	out.Visits, out.Gone = kept(p.Visits, mine), kept(p.Gone, mine)
	out.Promises = kept(p.Promises, func(k Kept) bool { return v.sees(k.Job) && k.To == trade })
	for i := range out.Promises {
		out.Promises[i].Ways = nil
	}
	if everyJob {
		out.Moved = kept(p.Moved, func(m Moved) bool { return m.Trade == trade })
	}
	v.Programme = out
	return v
}

// forClient leaves the days of the own jobs, without why, what was promised to the client,
// and what the client owes.
func (v View) forClient() View {
	v.Given = Given{Week: v.Given.Week, Region: v.Given.Region,
		Promises: kept(v.Given.Promises, func(p Promise) bool { return p.To == words.Client }),
		Owed:     kept(v.Given.Owed, func(o Owed) bool { return o.By == words.Client })}
	p := v.Programme
	if p == nil {
		return v
	}
	out := &Programme{Made: p.Made, Today: p.Today, Revision: p.Revision, Off: p.Off, mark: p.mark}
	out.Jobs = kept(p.Jobs, func(j Job) bool { return v.sees(j.ID) })
	out.Rooms = kept(p.Rooms, func(r Room) bool { return v.sees(r.Job) })
	for i := range out.Rooms {
		for s := range out.Rooms[i].Stages {
			out.Rooms[i].Stages[s].Waits = ""
		}
	}
	out.Promises = kept(p.Promises, func(k Kept) bool { return v.sees(k.Job) && k.To == words.Client })
	for i := range out.Promises {
		out.Promises[i].Ways, out.Promises[i].Odds = nil, 0
	}
	out.Decide = kept(p.Decide, func(d Decide) bool { return v.sees(d.Job) && d.By == words.Client })
	v.Programme = out
	return v
}

// sees reports whether a job is one that the person may see.
func (v *View) sees(of id.Job) bool {
	return slices.ContainsFunc(v.Jobs, func(j job.Job) bool { return j.ID == of })
}

// kept returns the items that are wanted, in a list of their own.
func kept[T any](all []T, want func(T) bool) (out []T) {
	for _, one := range all {
		if want(one) {
			out = append(out, one)
		}
	}
	return out
}
