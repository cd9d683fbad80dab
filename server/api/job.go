package api

import (
	"context"
	"encoding/json"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
)

// Job is a site.
type Job struct {
	ID        id.Job    `json:"id" format:"uuid"`
	Name      string    `json:"name"`
	Address   string    `json:"address"`
	CreatedAt time.Time `json:"created_at"`
	ClosedAt  time.Time `json:"closed_at,omitzero" doc:"Left out while it is open. Nothing is written to a closed job."`
	Version   int64     `json:"version" doc:"Moves on with every change of the job's own fields."`
}

func (j Job) version() int64 { return j.Version }

func viewJob(j job.Job) Job { return Job{j.ID, j.Name, j.Address, j.CreatedAt, j.ClosedAt, j.Version} }

// OfJob is a request about one job.
type OfJob struct {
	Job id.Job `path:"job" format:"uuid"`
}

func (a *api) jobs(ctx context.Context, by firm.Person, _ *nothing) (*answer[list[Job]], error) {
	all, err := a.Job.Jobs(ctx, by)
	if err != nil {
		return nil, err
	}
	return items(all, viewJob), nil
}

func (a *api) job(ctx context.Context, by firm.Person, in *OfJob) (*versioned[Job], error) {
	return jobTagged(a.Job.Job(ctx, by, in.Job))
}

// jobTagged answers with a job and its version.
func jobTagged(j job.Job, err error) (*versioned[Job], error) {
	if err != nil {
		return nil, err
	}
	return tagged(viewJob(j)), nil
}

// JobDraft is a job as somebody asks for it.
type JobDraft struct {
	ID      id.Job `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Name    string `json:"name" minLength:"1" maxLength:"120"`
	Address string `json:"address,omitempty" maxLength:"400"`
}

func (a *api) addJob(ctx context.Context, by firm.Person, in *struct{ Body JobDraft }) (*answer[Job], error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	j, err := a.Job.Create(ctx, by, job.Job{ID: in.Body.ID, Name: in.Body.Name, Address: in.Body.Address})
	if err != nil {
		return nil, err
	}
	return body(viewJob(j)), nil
}

func (a *api) addRoom(ctx context.Context, by firm.Person, in *struct {
	OfJob
	Body RoomDraft
}) (*answer[Record], error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	d := in.Body.draft()
	d.Job = in.Job
	return recorded(a.Room.Create(ctx, by, d))
}

func (d RoomDraft) draft() room.Draft {
	return room.Draft{ID: d.ID, Name: d.Name, Place: d.Place, Outline: d.Outline, Height: d.Height, Wet: d.Wet,
		Walls:    each(d.Walls, func(w Wall) room.Wall { return room.Wall(w) }),
		Surfaces: each(d.Surfaces, SurfaceDraft.draft)}
}

// ClientLink is the client's private link, told once.
type ClientLink struct {
	Link string `json:"link" doc:"Whoever has it sees how the job goes. It is not kept and cannot be told again."`
}

func (a *api) clientLink(ctx context.Context, by firm.Person, in *OfJob) (*answer[ClientLink], error) {
	link, err := a.Job.ClientLink(ctx, by, in.Job)
	if err != nil {
		return nil, err
	}
	return body(ClientLink{link}), nil
}

func (a *api) endClientLink(ctx context.Context, by firm.Person, in *OfJob) (*nothing, error) {
	return &nothing{}, a.Job.EndClientLinks(ctx, by, in.Job)
}

// Entry is one line of a job's diary.
type Entry struct {
	Seq    int64           `json:"seq" doc:"1, 2, 3 ... within the job."`
	At     time.Time       `json:"at"`
	Member id.Member       `json:"member,omitzero" format:"uuid"`
	Who    string          `json:"who" doc:"The name as it was then."`
	Act    string          `json:"act"`
	Room   id.Room         `json:"room,omitzero" format:"uuid"`
	Stage  string          `json:"stage,omitempty"`
	Says   string          `json:"says"`
	Detail json.RawMessage `json:"detail"`
	Prev   string          `json:"prev" doc:"The hash of the entry before."`
	Hash   string          `json:"hash" doc:"SHA-256, in hexadecimal."`
}

func viewEntry(e diary.Entry) Entry {
	return Entry{e.Seq, e.At, e.Member, e.Who, e.Act, e.Room, e.Stage, e.Says, e.Detail, e.Prev.String(), e.Hash.String()}
}

// diary asks for the job as well: one that is not there has no diary, rather
// than an empty one.
func (a *api) diary(ctx context.Context, by firm.Person, in *struct {
	OfJob
	After int64 `query:"after" minimum:"0" doc:"The number of the last entry that you have; at most 200 that follow are given."`
}) (*answer[list[Entry]], error) {
	if _, err := a.Job.Job(ctx, by, in.Job); err != nil {
		return nil, err
	}
	all, err := a.Diary.Read(ctx, by, in.Job, in.After)
	if err != nil {
		return nil, err
	}
	return items(all, viewEntry), nil
}
