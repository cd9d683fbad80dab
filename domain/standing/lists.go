package standing

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Cell is one frame of rooms against stages.
type Cell struct {
	Stage words.Stage `json:"stage"`
	State words.State `json:"-"`
	// Hard and Soft count the obstacles of a gate that is in hand or offered;
	// one that waits shows none, as its turn has not come.
	Hard     int       `json:"hard" doc:"How many obstacles nobody can accept."`
	Soft     int       `json:"soft" doc:"How many need a reason."`
	SignedAt time.Time `json:"signed_at,omitzero"` // of a signed gate
	Initials string    `json:"initials,omitempty"`
}

// Row is one room of a job.
type Row struct {
	Room  room.Room
	Cells [5]Cell
	// Turn are the trades that have something to do in the room now.
	Turn []words.Trade
	// Next is the one thing next for whoever asked.
	Next gate.Next
}

// JobSheet is a job with its rooms against stages, as one walks through the
// house.
type JobSheet struct {
	Job  id.Job
	Name string
	Rows []Row
}

// Overview returns every job of the firm, the newest first; a job without rooms
// is left out. The people on site may ask.
func (b *Book) Overview(ctx context.Context, by firm.Person) (out []JobSheet, err error) {
	all, err := b.All(ctx, by, room.Scope{})
	return Overview(all, TradeOf(by)), err
}

// Overview returns the jobs of rooms that stand job by job, for somebody of a trade.
func Overview(all []*Standing, t words.Trade) (out []JobSheet) {
	for _, j := range all {
		if n := len(out); n == 0 || out[n-1].Job != j.Record.Job {
			out = append(out, JobSheet{Job: j.Record.Job, Name: j.Record.JobName})
		}
		last := &out[len(out)-1]
		last.Rows = append(last.Rows, j.Row(t))
	}
	return out
}

// JobSheet returns one job. The people on site may ask. Faults: Refused, NotFound.
func (b *Book) JobSheet(ctx context.Context, by firm.Person, job id.Job) (JobSheet, error) {
	if err := firm.MayRead(by); err != nil {
		return JobSheet{}, err
	}
	out := JobSheet{Job: job}
	return out, b.look(ctx, by, func(tx Tx) (err error) {
		if out.Name, err = tx.JobName(ctx, job); err != nil {
			return err
		}
		all, err := b.AllIn(ctx, tx, by.Firm, room.Scope{Job: job})
		for _, j := range all {
			out.Rows = append(out.Rows, j.Row(TradeOf(by)))
		}
		return err
	})
}

// TradeOf is a person's trade as the gates know it: foreman and owner are the foreman.
func TradeOf(p firm.Person) words.Trade {
	switch p.Role {
	case firm.Trade:
		return p.Trade
	case firm.Client:
		return words.Client
	}
	return words.Foreman
}

// Row is the room against the stages, for somebody of a trade.
func (j *Standing) Row(t words.Trade) Row {
	out := Row{Room: j.Record.Room, Next: j.Gate.Next(t)}
	for _, s := range words.Stages {
		g := j.Record.Gates[s]
		c := Cell{Stage: s, State: g.State, SignedAt: g.SignedAt, Initials: g.Initials}
		if g.State == words.InHand || g.State == words.Offered {
			all := j.Obstacles(s)
			c.Hard = gate.Hard(all)
			c.Soft = len(all) - c.Hard
		}
		out.Cells[s] = c
	}
	for _, t := range words.Trades {
		if t != words.Client && len(j.Gate.Tasks(t)) > 0 {
			out.Turn = append(out.Turn, t)
		}
	}
	return out
}

// RoomTasks are what somebody has to do in one room.
type RoomTasks struct {
	*Standing `json:"-"`
	Job       id.Job  `json:"job" format:"uuid"`
	JobName   string  `json:"job_name"`
	Room      id.Room `json:"room" format:"uuid"`
	Name      string  `json:"name"`
	// InHand is the first stage that is not signed off; Decoration where all are.
	InHand words.Stage `json:"-"`
	Tasks  []gate.Task `json:"tasks" doc:"What must be done first."`
	// Groups are Tasks by surface and by what to do.
	Groups []gate.Group `json:"groups" doc:"The same by surface and by what to do, each told once."`
	// Closing is what whoever puts boards on reads first: see gate.DoNotClose.
	Closing string    `json:"do_not_close,omitempty" doc:"What must not be covered yet, and why."`
	Next    gate.Next `json:"next"`
}

// Tasks returns what the person who asks has to do, across jobs, worked out from
// the gates; rooms in which there is nothing are left out. The people on site
// may ask.
func (b *Book) Tasks(ctx context.Context, by firm.Person) (out []RoomTasks, err error) {
	all, err := b.All(ctx, by, room.Scope{})
	return Tasks(all, by), err
}

// Tasks returns what somebody has to do in rooms.
func Tasks(all []*Standing, by firm.Person) (out []RoomTasks) {
	for _, j := range all {
		if r := j.tasksOf(by); len(r.Tasks) > 0 {
			out = append(out, r)
		}
	}
	return out
}

// Visits returns the rooms that the person who asks may come to: those of Tasks,
// and for whoever runs the jobs then all others in which a stage is open, to
// look and to measure. The people on site may ask.
func (b *Book) Visits(ctx context.Context, by firm.Person) (out []RoomTasks, err error) {
	all, err := b.All(ctx, by, room.Scope{})
	return Visits(all, by), err
}

// Visits returns those of rooms that somebody may come to.
func Visits(all []*Standing, by firm.Person) (out []RoomTasks) {
	var others []RoomTasks
	for _, j := range all {
		_, open := j.Record.InHand()
		switch r := j.tasksOf(by); {
		case len(r.Tasks) > 0:
			out = append(out, r)
		case open && firm.MayRunJobs(by) == nil:
			others = append(others, r)
		}
	}
	return append(out, others...)
}

func (j *Standing) tasksOf(by firm.Person) RoomTasks {
	stage, _ := j.Record.InHand()
	trade := TradeOf(by)
	tasks := j.Gate.TasksFor(trade, by.ID)
	return RoomTasks{j, j.Record.Job, j.Record.JobName, j.Record.ID, j.Record.Name, stage, tasks,
		j.Gate.Groups(tasks), j.Gate.Closing(trade), j.Gate.NextOf(trade, tasks)}
}

// ReadyRoom is a room that is ready for a trade to begin.
type ReadyRoom struct {
	Job     id.Job      `json:"job" format:"uuid"`
	JobName string      `json:"job_name"`
	Room    id.Room     `json:"room" format:"uuid"`
	Name    string      `json:"name"`
	Stage   words.Stage `json:"stage"`
	Since   time.Time   `json:"since,omitzero" doc:"Left out: from the start."` // zero: from the start
}

// Ready returns the rooms that are ready for the trade of the person who asks.
// The people on site may ask.
func (b *Book) Ready(ctx context.Context, by firm.Person) (out []ReadyRoom, err error) {
	all, err := b.All(ctx, by, room.Scope{})
	return Ready(all, TradeOf(by)), err
}

// Ready returns those of rooms that are ready for a trade.
func Ready(all []*Standing, t words.Trade) (out []ReadyRoom) {
	for _, j := range all {
		if stage, since, ok := j.Gate.Ready(t); ok {
			out = append(out, ReadyRoom{j.Record.Job, j.Record.JobName, j.Record.ID, j.Record.Name, stage, since})
		}
	}
	return out
}
