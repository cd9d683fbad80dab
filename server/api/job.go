package api

import (
	"context"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
)

// jobs are the addresses of jobs.
func (a *api) jobs() {
	route(a, "GET /jobs", "jobs", "The firm's open jobs, the newest first", all(a.Job.Jobs, viewJob))
	route(a, "POST /jobs", "addJob", "Adds a job", a.addJob)
	route(a, "GET /jobs/{job}", "job", "One job, open or closed", a.job)
	route(a, "PUT /jobs/{job}", "changeJob", "Changes a job's name and address", a.changeJob)
	route(a, "DELETE /jobs/{job}", "removeJob", "Removes a job in which nothing was done",
		func(ctx context.Context, by firm.Person, in *OfJob) (*nothing, error) {
			return &nothing{}, a.Job.Remove(ctx, by, in.Job)
		})
	route(a, "GET /jobs/{job}/still-open", "stillOpen", "The rooms of a job in which something is not finished",
		func(ctx context.Context, by firm.Person, in *OfJob) (*answer[list[StillOpen]], error) {
			return listed(viewStillOpen)(a.Job.LeftOpen(ctx, by, in.Job))
		})
	route(a, "POST /jobs/{job}/close", "closeJob", "Closes a job: nothing more can be recorded in it", a.closeJob)
	route(a, "POST /jobs/{job}/reopen", "reopenJob", "Reopens a closed job",
		func(ctx context.Context, by firm.Person, in *OfJob) (*versioned[Job], error) {
			return jobTagged(a.Job.Reopen(ctx, by, in.Job))
		})
	route(a, "POST /jobs/{job}/rooms", "addRoom", "Adds a room, its surfaces and the faces round each", a.addRoom)
	route(a, "GET /jobs/{job}/diary", "diary", "A job's diary: who did what when", a.diary)
	route(a, "POST /jobs/{job}/client-link", "clientLink",
		"Makes a new private link for the client; the old one stops working",
		func(ctx context.Context, by firm.Person, in *OfJob) (*answer[ClientLink], error) {
			return shown(func(link string) ClientLink { return ClientLink{link} })(a.Job.ClientLink(ctx, by, in.Job))
		})
	route(a, "DELETE /jobs/{job}/client-link", "endClientLink", "Ends the client's private link",
		func(ctx context.Context, by firm.Person, in *OfJob) (*nothing, error) {
			return &nothing{}, a.Job.EndClientLinks(ctx, by, in.Job)
		})
}

// Job is a site.
type Job struct {
	ID        id.Job    `json:"id" format:"uuid"`
	Name      string    `json:"name"`
	Address   string    `json:"address"`
	CreatedAt time.Time `json:"created_at"`
	ClosedAt  time.Time `json:"closed_at,omitzero" doc:"Left out while it is open. A closed job takes no records."`
	Version   int64     `json:"version" doc:"Moves on with every change of the job's own fields."`
	Seq       int64     `json:"-"`
}

func (j Job) version() int64 { return j.Version }

func viewJob(j job.Job) Job { return Job(j) }

// jobTagged answers with a job and its version.
func jobTagged(j job.Job, err error) (*versioned[Job], error) { return tagged(Job(j), err) }

func (a *api) job(ctx context.Context, by firm.Person, in *OfJob) (*versioned[Job], error) {
	return jobTagged(a.Job.Job(ctx, by, in.Job))
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
	return shown(viewJob)(a.Job.Create(ctx, by, job.Job{ID: in.Body.ID, Name: in.Body.Name, Address: in.Body.Address}))
}

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
	seen, err := in.seen()
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
	return jobTagged(j, outdated(err, seen, in.Body, func() (stored, error) {
		now, err := a.Job.Job(ctx, by, in.Job)
		return Job(now), err
	}))
}

// StillOpen is a room in which something is open.
type StillOpen struct {
	job.Left
	State string   `json:"state,omitempty" enum:"in_hand,offered"`
	Says  []string `json:"says" doc:"The same in words."`
}

func viewStillOpen(l job.Left) StillOpen {
	l.Snags, l.Held = each(l.Snags, same), each(l.Held, same)
	out := StillOpen{Left: l, Says: l.Says()}
	if l.Stage != nil {
		out.State = l.State.Code()
	}
	return out
}

func (a *api) closeJob(ctx context.Context, by firm.Person, in *struct {
	OfJob
	Body struct {
		Anyway bool `json:"anyway,omitempty" doc:"Even if something is not finished; the diary names it."`
	}
}) (*versioned[Job], error) {
	return jobTagged(a.Job.Close(ctx, by, in.Job, in.Body.Anyway))
}

// RoomDraft is a room as somebody asks for it.
type RoomDraft struct {
	room.Draft
	Surfaces []SurfaceDraft `json:"surfaces,omitempty" maxItems:"50"`
}

func (a *api) addRoom(ctx context.Context, by firm.Person, in *struct {
	OfJob
	Body RoomDraft
}) (*answer[Record], error) {
	d := in.Body.Draft
	if err := made("id", d.ID); err != nil {
		return nil, err
	}
	d.Job, d.Surfaces = in.Job, each(in.Body.Surfaces, func(s SurfaceDraft) room.SurfaceDraft { return s.SurfaceDraft })
	return recorded(a.Desk.Create(ctx, by, d))
}

// ClientLink is the client's private link, told once.
type ClientLink struct {
	Link string `json:"link" doc:"Whoever has it sees the job's progress. It is not stored and cannot be shown again."`
}

// Entry is one line of a job's diary.
type Entry struct {
	diary.Entry
	Prev string `json:"prev" doc:"The hash of the entry before."`
	Hash string `json:"hash" doc:"SHA-256, in hexadecimal."`
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
	return listed(func(e diary.Entry) Entry { return Entry{e, e.Prev.String(), e.Hash.String()} })(
		a.Diary.Read(ctx, by, in.Job, in.After))
}
