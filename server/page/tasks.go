package page

import (
	"net/http"
	"slices"

	"lathmark/domain/gate"
	"lathmark/domain/job"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Tasks is what the person's trade owes, job by job, room by room, worked out
// from the gates.
func (p *Pages) Tasks(c echo.Context) error {
	by, ctx := who(c), c.Request().Context()
	seqs, err := p.seqs(c)
	if err != nil {
		return err
	}
	rooms, err := p.Book.Tasks(ctx, by)
	if err != nil {
		return err
	}
	jobs, err := p.Job.Jobs(ctx, by)
	if err != nil {
		return err
	}
	v := web.TasksView{Sheet: p.Sheet(c, "Tasks")}
	v.Seqs = seqs
	v.Next = web.Next{Sentence: "Nothing for you today. A room comes here as soon as it is ready for you."}
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
	return Draw(c, http.StatusOK, web.Tasks, v)
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
		n.Action, n.Href = doing(placeOfTasks(r), *r.Next.Task)
	}
	return n
}

func placeOfTasks(r standing.RoomTasks) web.Place {
	return web.Place{Job: r.Job.String(), Room: r.Room.String()}
}

// taskRoom is one room's tasks.
func taskRoom(r standing.RoomTasks) web.TaskRoom {
	out := web.TaskRoom{At: placeOfTasks(r), Name: r.Name}
	for _, t := range r.Tasks {
		out.Stage = t.Stage.String()
		task := web.Task{Says: words.Capital(t.Why) + ". " + words.Capital(t.What) + ".", Bring: brings(t)}
		task.Act, task.Href = doing(out.At, t)
		out.Tasks = append(out.Tasks, task)
	}
	return out
}

// brings is what a task needs brought along.
func brings(t gate.Task) string {
	switch t.Code {
	case "no_record", "not_checked", "suspect", "all_covered":
		return "tape or laser"
	case "not_as_built", "as_built_differs":
		return "rule or laser"
	case "not_opened", "first_hole":
		return "hole saw, detector, tape"
	}
	return ""
}
