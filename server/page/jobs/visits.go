package jobs

import (
	"slices"

	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Visits is the rooms that the person may come to, and what of them is on the
// phone.
func (p *Pages) Visits(c echo.Context) error { return list(c, p, web.Visits, Visits) }

// Visits draws it.
func Visits(by kit.Viewer, a Across) web.VisitsView {
	rooms, jobs := standing.Visits(a.Rooms, by.By), a.Jobs
	v := web.VisitsView{Sheet: by.Sheet("My visits")}
	v.Seqs = a.Seqs
	v.Next = web.Next{Sentence: "No visits today. A room appears here as soon as it is ready for you."}
	for _, r := range rooms {
		v.Rooms = append(v.Rooms, visitRoom(r))
	}
	idle := slices.IndexFunc(rooms, func(r standing.RoomTasks) bool { return len(r.Tasks) == 0 })
	if idle < 0 {
		idle = len(rooms)
	}
	if idle > 0 {
		v.Next = firstTask(rooms[:idle], jobs)
	}
	return v
}

// mostSaid is how many things to do are said of one room; the others are counted.
const mostSaid = 3

// visitRoom is one room of a visit.
func visitRoom(r standing.RoomTasks) web.VisitRoom {
	out := web.VisitRoom{At: kit.PlaceOfTasks(r), Job: r.JobName, Name: r.Name}
	for _, t := range r.Tasks {
		if b := brings(t); b != "" && !slices.Contains(out.Needs, b) {
			out.Needs = append(out.Needs, b)
		}
	}
	for _, g := range r.Groups {
		if len(out.Does) == mostSaid {
			out.More = len(r.Groups) - mostSaid
			break
		}
		does := g.Says
		if g.Where != "" {
			does = g.Where + ": " + words.Lower(does)
		}
		out.Does = append(out.Does, does)
	}
	out.Says, out.Closing = words.Capital(r.InHand.String()), r.Closing
	if len(r.Tasks) == 0 {
		out.Says = words.Capital(r.InHand.String()) + ": nothing to do; open to look or measure"
		return out
	}
	if r.Next.Task != nil {
		out.Act, out.Href = kit.Doing(out.At, *r.Next.Task)
	}
	return out
}
