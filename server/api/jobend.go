package api

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
)

// JobChange is what changes of a job; what is left out stays.
type JobChange struct {
	Name    *string `json:"name,omitempty" minLength:"1" maxLength:"120"`
	Address *string `json:"address,omitempty" maxLength:"400"`
}

func (a *api) changeJob(ctx context.Context, by firm.Person, in *struct {
	OfJob
	IfMatch
	Body JobChange
}) (*versioned[Job], error) {
	seen, err := in.version()
	if err != nil {
		return nil, err
	}
	if err := firm.MayRunJobs(by); err != nil {
		return nil, err
	}
	to, err := a.Job.Job(ctx, by, in.Job)
	if err != nil {
		return nil, err
	}
	if in.Body.Name != nil {
		to.Name = *in.Body.Name
	}
	if in.Body.Address != nil {
		to.Address = *in.Body.Address
	}
	j, err := a.Job.Rename(ctx, by, in.Job, seen, to.Name, to.Address)
	return jobTagged(j, outdated(err, seen, in.Body, func() (Job, bool) {
		now, err := a.Job.Job(ctx, by, in.Job)
		return viewJob(now), err == nil
	}))
}

func (a *api) removeJob(ctx context.Context, by firm.Person, in *OfJob) (*nothing, error) {
	return &nothing{}, a.Job.Remove(ctx, by, in.Job)
}

func (a *api) removeRoom(ctx context.Context, by firm.Person, in *OfRoom) (*nothing, error) {
	return &nothing{}, a.Room.Remove(ctx, by, in.Room)
}

// StillOpen is a room in which something is open.
type StillOpen struct {
	Room    id.Room    `json:"room" format:"uuid"`
	Name    string     `json:"name"`
	Stage   *Stage     `json:"stage,omitempty" doc:"The stage in hand; left out where all are signed off."`
	State   string     `json:"state,omitempty" enum:"in_hand,offered"`
	Snags   []string   `json:"snags" doc:"What each open one says."`
	Choices int        `json:"choices" doc:"How many records wait to be chosen from."`
	Held    []job.Held `json:"held"`
	Says    []string   `json:"says" doc:"The same in words."`
}

func viewStillOpen(l job.Left) StillOpen {
	out := StillOpen{Room: l.Room, Name: l.Name, Snags: append([]string{}, l.Snags...), Choices: l.Choices,
		Held: append([]job.Held{}, l.Held...), Says: l.Says()}
	if l.Stage != nil {
		s := stageOf(*l.Stage)
		out.Stage, out.State = &s, l.State.Code()
	}
	return out
}

func (a *api) stillOpen(ctx context.Context, by firm.Person, in *OfJob) (*answer[list[StillOpen]], error) {
	all, err := a.Job.LeftOpen(ctx, by, in.Job)
	if err != nil {
		return nil, err
	}
	return items(all, viewStillOpen), nil
}

func (a *api) closeJob(ctx context.Context, by firm.Person, in *struct {
	OfJob
	Body struct {
		Anyway bool `json:"anyway,omitempty" doc:"Also with what is still open, which is in the diary by name."`
	}
}) (*versioned[Job], error) {
	return jobTagged(a.Job.Close(ctx, by, in.Job, in.Body.Anyway))
}

func (a *api) reopenJob(ctx context.Context, by firm.Person, in *OfJob) (*versioned[Job], error) {
	return jobTagged(a.Job.Reopen(ctx, by, in.Job))
}

// Hit is something that a search found: a job, a room of it, or a position.
type Hit struct {
	Kind     string      `json:"kind" enum:"job,room,position"`
	Name     string      `json:"name"`
	Job      id.Job      `json:"job" format:"uuid"`
	JobName  string      `json:"job_name"`
	Address  string      `json:"address"`
	ClosedAt time.Time   `json:"closed_at,omitzero" doc:"Of the job; left out while it is open."`
	Room     id.Room     `json:"room,omitzero" format:"uuid"`
	RoomName string      `json:"room_name,omitempty"`
	Position id.Position `json:"position,omitzero" format:"uuid"`
}

func viewHit(h job.Hit) Hit {
	out := Hit{"job", h.JobName, h.Job, h.JobName, h.Address, h.ClosedAt, h.Room, h.RoomName, h.Position}
	switch {
	case !h.Position.IsZero():
		out.Kind, out.Name = "position", h.Name
	case !h.Room.IsZero():
		out.Kind, out.Name = "room", h.RoomName
	}
	return out
}

func (a *api) search(ctx context.Context, by firm.Person, in *struct {
	Text string `query:"q" maxLength:"120" doc:"Each word is in the name of it or of where it is. At most 50 come."`
}) (*answer[list[Hit]], error) {
	all, err := a.Job.Search(ctx, by, in.Text)
	if err != nil {
		return nil, err
	}
	return items(all, viewHit), nil
}
