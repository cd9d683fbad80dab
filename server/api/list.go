package api

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

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
	Stage    Stage     `json:"stage"`
	State    string    `json:"state" enum:"waiting,in_hand,offered,signed_off"`
	Hard     int       `json:"hard" doc:"How many obstacles nobody can accept."`
	Soft     int       `json:"soft" doc:"How many need a reason."`
	SignedAt time.Time `json:"signed_at,omitzero"`
	Initials string    `json:"initials,omitempty"`
}

func viewCell(c standing.Cell) Cell {
	return Cell{stageOf(c.Stage), c.State.Code(), c.Hard, c.Soft, c.SignedAt, c.Initials}
}

func viewRow(r standing.Row) Row {
	return Row{viewRoom(r.Room), each(r.Cells[:], viewCell), append([]words.Trade{}, r.Turn...), r.Next.Sentence}
}

func viewJobSheet(s standing.JobSheet) JobSheet {
	return JobSheet{s.Job, s.Name, each(s.Rows, viewRow)}
}

func (a *api) jobSheet(ctx context.Context, by firm.Person, in *OfJob) (*answer[JobSheet], error) {
	s, err := a.Book.JobSheet(ctx, by, in.Job)
	if err != nil {
		return nil, err
	}
	return body(viewJobSheet(s)), nil
}

func (a *api) overview(ctx context.Context, by firm.Person, _ *nothing) (*answer[list[JobSheet]], error) {
	all, err := a.Book.Overview(ctx, by)
	if err != nil {
		return nil, err
	}
	return items(all, viewJobSheet), nil
}

// RoomTasks are what somebody has to do in one room.
type RoomTasks struct {
	InRoom
	Tasks []Task `json:"tasks" doc:"What must be done first."`
	Next  string `json:"next" doc:"The one thing next."`
}

// InRoom names a room and its job.
type InRoom struct {
	Job     id.Job  `json:"job" format:"uuid"`
	JobName string  `json:"job_name"`
	Room    id.Room `json:"room" format:"uuid"`
	Name    string  `json:"name"`
}

// Task is one thing to do, worked out from the gates.
type Task struct {
	Stage Stage  `json:"stage"`
	Code  string `json:"code"`
	Must  bool   `json:"must" doc:"It stands in the way of the sign-off."`
	About About  `json:"about"`
	What  string `json:"what"`
	Where string `json:"where"`
	Why   string `json:"why"`
}

func viewTask(t gate.Task) Task {
	return Task{stageOf(t.Stage), t.Code, t.Must, viewAbout(t.About), t.What, t.Where, t.Why}
}

func (a *api) tasks(ctx context.Context, by firm.Person, _ *nothing) (*answer[list[RoomTasks]], error) {
	all, err := a.Book.Tasks(ctx, by)
	if err != nil {
		return nil, err
	}
	return items(all, func(r standing.RoomTasks) RoomTasks {
		return RoomTasks{InRoom{r.Job, r.JobName, r.Room, r.Name}, each(r.Tasks, viewTask), r.Next.Sentence}
	}), nil
}

// ReadyRoom is a room that is ready for a trade to begin.
type ReadyRoom struct {
	InRoom
	Stage Stage     `json:"stage"`
	Since time.Time `json:"since,omitzero" doc:"Left out: from the start."`
}

func (a *api) ready(ctx context.Context, by firm.Person, _ *nothing) (*answer[list[ReadyRoom]], error) {
	all, err := a.Book.Ready(ctx, by)
	if err != nil {
		return nil, err
	}
	return items(all, func(r standing.ReadyRoom) ReadyRoom {
		return ReadyRoom{InRoom{r.Job, r.JobName, r.Room, r.Name}, stageOf(r.Stage), r.Since}
	}), nil
}

// Progress is what a client sees of the job: no names, no measurements, no
// mistakes.
type Progress struct {
	Job   string         `json:"job"`
	Rooms []RoomProgress `json:"rooms"`
}

// RoomProgress is one room as the client sees it.
type RoomProgress struct {
	Name      string          `json:"name"`
	Stages    []StageProgress `json:"stages" doc:"In order."`
	Done      bool            `json:"done"`
	Next      *Stage          `json:"next,omitempty" doc:"The stage in hand; left out where the room is done."`
	Earliest  Day             `json:"earliest,omitzero" doc:"The first day on which it can be finished; left out where nothing holds it but the work."`
	Decisions []Decision      `json:"decisions" doc:"What waits for the client."`
}

// StageProgress is one stage as the client sees it.
type StageProgress struct {
	Stage  Stage  `json:"stage"`
	State  string `json:"state" enum:"waiting,in_hand,offered,signed_off"`
	Signed Day    `json:"signed,omitzero"`
}

// Decision is something the client has to decide.
type Decision struct {
	Name string `json:"name"`
	Kind string `json:"kind"`
	Why  string `json:"why"`
}

func viewProgress(r standing.RoomProgress) RoomProgress {
	out := RoomProgress{Name: r.Name, Done: r.Done, Earliest: Day(r.Earliest),
		Decisions: each(r.Decisions, func(d standing.Decision) Decision { return Decision(d) })}
	for _, s := range words.Stages {
		out.Stages = append(out.Stages, StageProgress{stageOf(s), r.States[s].Code(), Day(r.Signed[s])})
	}
	if !r.Done {
		next := stageOf(r.Next)
		out.Next = &next
	}
	return out
}

func (a *api) progress(ctx context.Context, _ firm.Person, in *struct {
	Link string `path:"link" maxLength:"100"`
}) (*answer[Progress], error) {
	p, err := a.Book.Progress(ctx, in.Link)
	if err != nil {
		return nil, err
	}
	return body(Progress{p.Job, each(p.Rooms, viewProgress)}), nil
}
