package programme

import (
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// wholeJob is what a form calls a promise about no single room.
const wholeJob = "job"

// Promises is the days that were given on a job, and the form that gives one.
func (p *Pages) Promises() kit.Pair {
	return kit.Filled[web.PromisesView]{May: firm.MayRunJobs, Page: web.Promises, View: p.promisesView,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			one := programme.Promise{ID: kit.NewID[id.Promise](f, 0), To: words.Trade(f.Get("to")), On: day(f, "on")}
			if one.Job, err = id.Parse[id.Job](c.Param("job")); err != nil {
				return "", "", err
			}
			one.Room, one.Stage = about(f)
			if err = f.Err(); err == nil {
				_, err = p.Programme.Give(c.Request().Context(), kit.Who(c), one)
			}
			return kit.PlaceOf(c).Promises(), "promise", err
		}}.Pair()
}

// about reads what is promised: a stage of a room, or the whole job, whose end is that of
// the last stage.
func about(f *kit.Form) (of id.Room, s words.Stage) {
	if f.Get("room") == wholeJob && f.Get("stage") == "" {
		return of, words.Decoration
	}
	s = stage(f, "stage")
	if f.Get("room") == wholeJob {
		return of, s
	}
	return roomOf(f, "room"), s
}

func stage(f *kit.Form, name string) words.Stage {
	s, err := words.ParseStage(f.Get(name))
	if err != nil {
		f.Bad(name, "no stage is chosen", "Choose one of the five")
	}
	return s
}

func roomOf(f *kit.Form, name string) id.Room {
	of, err := id.Parse[id.Room](f.Get(name))
	if err != nil {
		f.Bad(name, "no room is chosen", "Choose one of the list")
	}
	return of
}

// jobSheet reads the job that the address names with the sheet of a page of it, its rooms to
// choose from, and what the programme says.
func (p *Pages) jobSheet(c echo.Context, title string) (s web.Sheet, rooms []web.Option, got programme.View,
	err error) {
	j, err := p.JobOf(c)
	if err != nil {
		return s, nil, got, err
	}
	s = p.Sheet(c, title)
	s.Job, s.Seq, s.Closed = j.Name, j.Seq, j.ClosedAt
	heads, err := p.Book.Heads(c.Request().Context(), kit.Who(c), room.Scope{Job: j.ID})
	for _, h := range heads {
		rooms = append(rooms, web.Option{Value: h.Room.String(), Label: h.Name})
	}
	if err == nil {
		got, err = p.Programme.Read(c.Request().Context(), kit.Who(c))
	}
	return s, rooms, got, err
}

func (p *Pages) promisesView(c echo.Context, typed web.Typed) (v web.PromisesView, err error) {
	v = web.PromisesView{Typed: typed, Tos: []web.Option{{Value: string(words.Client), Label: "The client"}},
		Steps: web.StageOptions()}
	var got programme.View
	if v.Sheet, v.Rooms, got, err = p.jobSheet(c, "Promises"); err != nil {
		return v, err
	}
	for _, t := range words.Trades {
		if t != words.Foreman && t != words.Client {
			v.Tos = append(v.Tos, web.Option{Value: string(t), Label: words.Capital(t.String())})
		}
	}
	names := map[string]string{"": "the whole job"}
	for _, r := range v.Rooms {
		names[r.Value] = words.InWords(r.Label)
	}
	v.Rooms = append([]web.Option{{Value: wholeJob, Label: "The whole job"}}, v.Rooms...)
	for _, one := range got.Given.Promises {
		switch {
		case one.Job.String() != v.At.Job:
		case one.Instead.IsZero():
			v.Stand = append(v.Stand, kept(got, one, names[one.Room.String()]))
		default:
			v.Old = append(v.Old, replaced(got, one, names[one.Room.String()]))
		}
	}
	v.Next = web.Next{Sentence: "Promise only what the programme keeps 8 times in 10."}
	return v, nil
}

// kept is a promise as the programme has it, or, until that is worked out again, without its odds.
func kept(got programme.View, one programme.Promise, where string) programme.Kept {
	if got.Programme != nil {
		for _, k := range got.Programme.Promises {
			if k.ID == one.ID {
				return k
			}
		}
	}
	return programme.Kept{Promise: one, Says: programme.PromiseSays(&one, " in "+where)}
}

func replaced(got programme.View, one programme.Promise, where string) web.OldPromise {
	out := web.OldPromise{Promise: one, About: one.Stage.String() + " in " + where}
	if i := slices.IndexFunc(got.Given.Promises, func(o programme.Promise) bool { return o.ID == one.Instead }); i >= 0 {
		out.Now, out.Why = got.Given.Promises[i].On, words.NoStop(got.Given.Promises[i].Why)
	}
	return out
}

// GiveInstead gives another day in a promise's place.
func (p *Pages) GiveInstead() kit.Pair {
	return kit.Filled[web.AnotherDayView]{May: firm.MayRunJobs, Page: web.AnotherDay, View: p.insteadView,
		Take: func(c echo.Context, f *kit.Form) (to, said string, err error) {
			old, err := id.Parse[id.Promise](c.Param("promise"))
			if err != nil {
				return "", "", err
			}
			one := programme.Promise{ID: kit.NewID[id.Promise](f, 0), On: day(f, "on"), Why: f.Get("why")}
			if err = f.Err(); err == nil {
				_, err = p.Programme.GiveInstead(c.Request().Context(), kit.Who(c), old, one)
			}
			return kit.PlaceOf(c).Promises(), "promise", err
		}}.Pair()
}

func (p *Pages) insteadView(c echo.Context, typed web.Typed) (v web.AnotherDayView, err error) {
	v = web.AnotherDayView{Typed: typed}
	all, err := p.promisesView(c, web.Typed{})
	if err != nil {
		return v, err
	}
	v.Sheet = all.Sheet
	v.Title = "Another day"
	v.Next = web.Next{Sentence: "See first whether the day can be kept. If not, give another, and say why."}
	at := slices.IndexFunc(all.Stand, func(k programme.Kept) bool { return k.ID.String() == c.Param("promise") })
	if at < 0 {
		return v, &fault.Error{Kind: fault.NotFound, Msg: "This promise does not stand any more."}
	}
	v.Kept = all.Stand[at]
	return v, nil
}
