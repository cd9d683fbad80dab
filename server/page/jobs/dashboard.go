package jobs

import (
	"net/http"

	"lathmark/domain/gate"
	"lathmark/domain/job"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Dashboard is every job with its rooms against the stages. A trade's first
// page is its tasks.
func (p *Pages) Dashboard(c echo.Context) error {
	if kit.TradeOf(kit.Who(c)) != words.Foreman {
		return c.Redirect(http.StatusSeeOther, web.TasksPath)
	}
	return list(c, p, web.Dashboard, Dashboard)
}

// Dashboard draws it.
func Dashboard(by kit.Viewer, a Across) web.DashboardView {
	v := web.DashboardView{Sheet: by.Sheet("Jobs and rooms")}
	v.Seqs = a.Seqs
	v.Next = web.Next{Sentence: "Open the first job.", Action: "Open a job", Href: web.NewJobPath}
	var first gate.Next // for the foreman; a stage to sign off goes before all else
	for _, j := range a.Jobs {
		table := tableOf(j, a.Rooms, a.Broken, by.People)
		v.Jobs = append(v.Jobs, table)
		for _, r := range a.Rooms {
			if r.Record.Job != j.ID {
				continue
			}
			next := r.Gate.Next(words.Foreman)
			if next.Task != nil && (first.Task == nil || next.Task.Code == gate.TaskSignOff &&
				first.Task.Code != gate.TaskSignOff) {
				first = next
				v.Next = kit.NextOf(kit.PlaceOfRoom(r), r, words.Foreman)
				v.Next.Sentence = r.Record.Name + ", " + j.Name + ": " + v.Next.Sentence
			}
		}
	}
	if len(a.Jobs) > 0 && first.Task == nil {
		v.Next = web.Next{Sentence: "Nothing for you to do. The trades are at work."}
	}
	return v
}

// tableOf is one job with those of the rooms that are its own.
func tableOf(j job.Job, rooms []*standing.Standing, broken []standing.Broken, all kit.People) web.JobTable {
	t := web.JobTable{At: web.Place{Job: j.ID.String()}, Name: j.Name, Address: j.Address}
	for _, r := range rooms {
		if r.Record.Job == j.ID {
			t.Rooms = append(t.Rooms, kit.LineOf(r, all))
		}
	}
	for _, b := range broken {
		if b.Job == j.ID {
			t.Broken = append(t.Broken, web.RoomLine{At: web.Place{Job: j.ID.String(), Room: b.Room.String()}, Name: b.Name})
		}
	}
	return t
}
