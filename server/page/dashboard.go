package page

import (
	"net/http"

	"lathmark/domain/gate"
	"lathmark/domain/job"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Dashboard is every job with its rooms against the stages. A trade's first
// page is its tasks.
func (p *Pages) Dashboard(c echo.Context) error {
	by, ctx := who(c), c.Request().Context()
	if tradeOf(by) != words.Foreman {
		return c.Redirect(http.StatusSeeOther, web.TasksPath)
	}
	seqs, err := p.seqs(c)
	if err != nil {
		return err
	}
	jobs, err := p.Job.Jobs(ctx, by)
	if err != nil {
		return err
	}
	all, err := p.people(ctx, by)
	if err != nil {
		return err
	}
	v := web.DashboardView{Sheet: p.Sheet(c, "Jobs and rooms")}
	v.Seqs = seqs
	v.Next = web.Next{Sentence: "Open the first job.", Action: "Open a job", Href: web.NewJobPath}
	var first gate.Next // for the foreman; a stage to sign off goes before all else
	for _, j := range jobs {
		table, rooms, err := p.table(c, j, all)
		if err != nil {
			return err
		}
		v.Jobs = append(v.Jobs, table)
		for i, r := range rooms {
			next := r.Gate.Next(words.Foreman)
			if next.Task != nil && (first.Task == nil || next.Task.Code == gate.TaskSignOff &&
				first.Task.Code != gate.TaskSignOff) {
				first = next
				v.Next = nextOf(table.Rooms[i].At, r, words.Foreman)
				v.Next.Sentence = r.Record.Name + ", " + j.Name + ": " + v.Next.Sentence
			}
		}
	}
	if len(jobs) > 0 && first.Task == nil {
		v.Next = web.Next{Sentence: "Nothing waits for you. The trades are at work."}
	}
	return Draw(c, http.StatusOK, web.Dashboard, v)
}

// table is one job with its rooms, and the rooms as they are judged.
func (p *Pages) table(c echo.Context, j job.Job, all people) (web.JobTable, []*standing.Standing, error) {
	t := web.JobTable{At: web.Place{Job: j.ID.String()}, Name: j.Name, Address: j.Address}
	by, ctx := who(c), c.Request().Context()
	list, err := p.Room.Rooms(ctx, by, j.ID)
	if err != nil {
		return t, nil, err
	}
	var rooms []*standing.Standing
	for _, one := range list {
		r, err := p.Room.Read(ctx, by, one.ID)
		if err != nil {
			return t, nil, err
		}
		rooms = append(rooms, r)
		t.Rooms = append(t.Rooms, lineOf(r, all))
	}
	return t, rooms, nil
}

// lineOf is one room against the stages.
func lineOf(j *standing.Standing, all people) web.RoomLine {
	line := web.RoomLine{At: web.Place{Job: j.Record.Job.String(), Room: j.Record.ID.String()}, Name: j.Record.Name,
		Now: -1}
	for i, s := range words.Stages {
		line.Gates[i] = gateOf(j, s)
	}
	s, open := gate.Current(j.Gate.Gates)
	if !open {
		return line
	}
	line.Now = int(s)
	t := j.Gate.WhoNext()
	line.Next = words.Capital(all.inTrade(t)) + ": " + j.Gate.Next(t).Sentence
	return line
}

// gateOf is one gate as its frame is drawn. Obstacles are counted for the
// stage in hand: before, they only say that it has not begun.
func gateOf(j *standing.Standing, s words.Stage) web.Gate {
	g := j.Record.Gates[s]
	out := web.Gate{Stage: s.String(), Slug: s.Slug(), State: web.State(g.State.String())}
	switch g.State {
	case words.SignedOff:
		out.Initials, out.Date = g.Initials, g.SignedAt
	case words.InHand, words.Offered:
		obstacles := j.Obstacles(s)
		out.Hard = gate.Hard(obstacles)
		out.Soft = len(obstacles) - out.Hard
	}
	return out
}
