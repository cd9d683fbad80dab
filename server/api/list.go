package api

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// lists are the addresses of what is read across rooms.
func (a *api) lists() {
	route(a, "GET /jobs/{job}/rooms", "jobSheet", "A job's rooms against stages",
		func(ctx context.Context, by firm.Person, in *OfJob) (*answer[JobSheet], error) {
			return shown(viewJobSheet)(a.Book.JobSheet(ctx, by, in.Job))
		})
	route(a, "GET /client/{link}", "progress", "The progress of the job behind a client's private link",
		func(ctx context.Context, _ firm.Person, in *struct {
			Link string `path:"link" maxLength:"100"`
		}) (*answer[Progress], error) {
			return shown(viewProgress)(a.Book.Progress(ctx, in.Link))
		}, open)
	route(a, "GET /search", "search", "Jobs, rooms and positions by name, of closed jobs too",
		func(ctx context.Context, by firm.Person, in *struct {
			Text string `query:"q" maxLength:"120" doc:"Each word is in the name of it or of where it is. At most 50 come."`
		}) (*answer[list[Hit]], error) {
			return listed(viewHit)(a.Job.Search(ctx, by, in.Text))
		})
	route(a, "GET /overview", "overview", "Every open job's rooms against stages", all(a.Book.Overview, viewJobSheet))
	route(a, "GET /tasks", "tasks", "What the person who asks has to do, across jobs", all(a.Book.Tasks, viewRoomTasks))
	route(a, "GET /ready", "ready", "The rooms that are ready for the person who asks", all(a.Book.Ready,
		same[standing.ReadyRoom]))
}

// JobSheet is a job with its rooms against stages, as one walks through the
// house.
type JobSheet struct {
	Job   id.Job `json:"job" format:"uuid"`
	Name  string `json:"name"`
	Rooms []Row  `json:"rooms"`
}

// Row is one room of a job.
type Row struct {
	Room  Room          `json:"room"`
	Cells []Cell        `json:"stages" doc:"In order."`
	Turn  []words.Trade `json:"turn" doc:"Who has something to do in the room now."`
	Next  string        `json:"next" doc:"The one thing next for the person who asks."`
}

// Cell is one stage of a room.
type Cell struct {
	standing.Cell
	State string `json:"state" enum:"waiting,in_hand,offered,signed_off"`
}

func viewCell(c standing.Cell) Cell { return Cell{c, c.State.Code()} }

func viewRow(r standing.Row) Row {
	return Row{viewRoom(r.Room), each(r.Cells[:], viewCell), each(r.Turn, same), r.Next.Sentence}
}

func viewJobSheet(s standing.JobSheet) JobSheet {
	return JobSheet{s.Job, s.Name, each(s.Rows, viewRow)}
}

// RoomTasks are what somebody has to do in one room.
type RoomTasks struct {
	standing.RoomTasks
	Tasks []Task `json:"tasks" doc:"What must be done first."`
	Next  string `json:"next" doc:"The one thing next."`
}

// Task is one thing to do, worked out from the stages.
type Task struct {
	gate.Task
	About About `json:"about"`
}

func viewRoomTasks(r standing.RoomTasks) RoomTasks {
	return RoomTasks{r, each(r.Tasks, func(t gate.Task) Task { return Task{t, About(t.About)} }), r.Next.Sentence}
}

// Progress is what a client sees of a job: no names, no measurements, no
// mistakes.
type Progress struct {
	Job   string         `json:"job"`
	Firm  string         `json:"firm" doc:"Whom the client tells what is decided."`
	Rooms []RoomProgress `json:"rooms"`
}

// RoomProgress is one room as the client sees it.
type RoomProgress struct {
	Name      string          `json:"name"`
	Stages    []StageProgress `json:"stages" doc:"In order."`
	Done      bool            `json:"done"`
	Next      *words.Stage    `json:"next,omitempty" doc:"The stage in hand; left out where the room is done."`
	Earliest  Day             `json:"earliest,omitzero" doc:"The first day on which it can be finished; left out where nothing holds it but the work."`
	Decisions []Decision      `json:"decisions" doc:"What the client has to decide."`
}

// StageProgress is one stage as the client sees it.
type StageProgress struct {
	Stage  words.Stage `json:"stage"`
	State  string      `json:"state" enum:"waiting,in_hand,offered,signed_off"`
	Signed Day         `json:"signed,omitzero"`
}

// Decision is something the client has to decide.
type Decision struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
	Why  string `json:"why"`
}

func viewProgress(p standing.Progress) Progress {
	return Progress{p.Job, p.Firm, each(p.Rooms, func(r standing.RoomProgress) RoomProgress {
		out := RoomProgress{Name: r.Name, Done: r.Done, Earliest: Day(r.Earliest),
			Decisions: each(r.Decisions, func(d standing.Decision) Decision { return Decision(d) })}
		for _, s := range words.Stages {
			out.Stages = append(out.Stages, StageProgress{s, r.States[s].Code(), Day(r.Signed[s])})
		}
		if !r.Done {
			out.Next = &r.Next
		}
		return out
	})}
}

// Hit is something that a search found: a job, a room of it, or a position.
type Hit struct {
	Kind string `json:"kind" enum:"job,room,position"`
	Name string `json:"name"`
	job.Hit
}

func viewHit(h job.Hit) Hit {
	switch {
	case !h.Position.IsZero():
		return Hit{"position", h.Name, h}
	case !h.Room.IsZero():
		return Hit{"room", h.RoomName, h}
	}
	return Hit{"job", h.JobName, h}
}
