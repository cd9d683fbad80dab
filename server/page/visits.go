package page

import (
	"net/http"
	"slices"

	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Visits is the rooms that the person may come to, and what of them is on the
// phone.
func (p *Pages) Visits(c echo.Context) error {
	by, ctx := who(c), c.Request().Context()
	seqs, err := p.seqs(c)
	if err != nil {
		return err
	}
	rooms, err := p.Book.Visits(ctx, by)
	if err != nil {
		return err
	}
	jobs, err := p.Job.Jobs(ctx, by)
	if err != nil {
		return err
	}
	v := web.VisitsView{Sheet: p.Sheet(c, "My visits")}
	v.Seqs = seqs
	v.Next = web.Next{Sentence: "Nothing to go to today. A room comes here as soon as it is ready for you."}
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
	return Draw(c, http.StatusOK, web.Visits, v)
}

// visitRoom is one room of a visit.
func visitRoom(r standing.RoomTasks) web.VisitRoom {
	out := web.VisitRoom{At: placeOfTasks(r), Job: r.JobName, Name: r.Name}
	for _, t := range r.Tasks {
		if out.Says == "" {
			out.Says = words.Capital(t.Stage.String()) + ", " + words.Count(len(r.Tasks), "thing") + " to do"
		}
		if b := brings(t); b != "" && !slices.Contains(out.Needs, b) {
			out.Needs = append(out.Needs, b)
		}
	}
	if len(r.Tasks) == 0 {
		out.Says = words.Capital(r.InHand.String()) + ", nothing of yours: to look and to measure"
		return out
	}
	if r.Next.Task != nil {
		out.Act, out.Href = doing(out.At, *r.Next.Task)
	}
	return out
}
