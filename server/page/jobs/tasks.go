package jobs

import (
	"slices"

	"lathmark/domain/gate"
	"lathmark/domain/job"
	"lathmark/domain/standing"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Tasks is what the person's trade has to do, job by job, room by room, worked out
// from the gates.
func (p *Pages) Tasks(c echo.Context) error { return list(c, p, web.Tasks, Tasks) }

// Tasks draws it.
func Tasks(by kit.Viewer, a Across) web.TasksView {
	rooms, jobs := standing.Tasks(a.Rooms, by.By), a.Jobs
	v := web.TasksView{Sheet: by.Sheet("To do")}
	v.Seqs = a.Seqs
	v.Next = web.Next{Sentence: "Nothing for you today."}
	for _, j := range jobs {
		of := web.TaskJob{Name: j.Name, Address: j.Address}
		for _, r := range rooms {
			if r.Job == j.ID {
				of.Rooms = append(of.Rooms, taskRoom(r))
			}
		}
		if len(of.Rooms) > 0 {
			v.Jobs = append(v.Jobs, of)
		}
	}
	if len(rooms) > 0 {
		v.Next = firstTask(rooms, jobs)
	}
	return v
}

// firstTask is the first thing on the list.
func firstTask(rooms []standing.RoomTasks, jobs []job.Job) web.Next {
	r := rooms[0]
	for _, j := range jobs {
		if i := slices.IndexFunc(rooms, func(r standing.RoomTasks) bool { return r.Job == j.ID }); i >= 0 {
			r = rooms[i]
			break
		}
	}
	n := web.Next{Sentence: r.Name + ", " + r.JobName + ": " + r.Next.Sentence}
	if r.Next.Task != nil {
		n.Action, n.Href = kit.Doing(kit.PlaceOfTasks(r), *r.Next.Task)
	}
	return n
}

// taskRoom is one room's tasks.
func taskRoom(r standing.RoomTasks) web.TaskRoom {
	out := web.TaskRoom{At: kit.PlaceOfTasks(r), Name: r.Name, Stage: r.InHand.String(), Closing: r.Closing}
	for _, g := range r.Groups {
		task := web.Task{Where: g.Where, Says: g.Says, Bring: brings(g.First)}
		task.Act, task.Href = kit.Doing(out.At, g.First)
		if g.N > 1 {
			task.Act, task.Href = kit.DoingAll(out.At, g.First)
		}
		if g.Must || g.Code == gate.CodeLostTail {
			out.Tasks = append(out.Tasks, task)
		} else {
			out.Others = append(out.Others, task)
		}
	}
	return out
}

// brings is what a task needs brought along.
func brings(t gate.Task) string {
	switch t.Code {
	case gate.CodeNoRecord, gate.CodeNotChecked, gate.CodeSuspect, gate.CodeDisagree, gate.CodeAllCovered:
		return "tape or laser"
	case gate.CodeNotAsBuilt, gate.CodeAsBuiltDiffers:
		return "rule or laser"
	case gate.CodeNotOpened, gate.CodeFirstHole:
		return "hole saw, detector, tape"
	}
	return ""
}
