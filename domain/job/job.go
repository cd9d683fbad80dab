// Package job holds a site and the client's private way to see how it goes.
package job

import (
	"context"
	"strings"
	"time"
	"unicode/utf8"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Job is a site.
type Job struct {
	ID        id.Job
	Name      string
	Address   string
	CreatedAt time.Time
	// ClosedAt is when the job was closed, zero while it is open; see Close.
	ClosedAt time.Time `json:"-"`
	// Version grows with every change of the job's own fields.
	Version int64 `json:"-"`
	// Seq is the number of the last entry of the job's diary.
	Seq int64 `json:"-"`
}

// Open reports whether the job is open.
func (j *Job) Open() bool { return j.ClosedAt.IsZero() }

// Tx is what this package needs of a transaction. Other firms' jobs are not
// found.
type Tx interface {
	diary.Writer
	InsertJob(ctx context.Context, j Job) error
	Job(ctx context.Context, job id.Job) (Job, error)
	// Jobs returns the jobs that are open.
	Jobs(ctx context.Context) ([]Job, error)
	LinkTx
	EndTx
	SearchTx
}

// Service does what people can do with a job.
type Service struct {
	in  firm.In[Tx]
	now func() time.Time
}

// NewService returns a service that reads the time from now.
func NewService(in firm.In[Tx], now func() time.Time) *Service { return &Service{in, now} }

// Create adds a job. Owners and foremen may call it. Repeating it with the same
// id and text is no error and adds nothing. Faults: Refused, BadInput,
// Conflict.
func (s *Service) Create(ctx context.Context, by firm.Person, j Job) (Job, error) {
	j.ID, j.Name, j.Address, j.CreatedAt = id.OrNew(j.ID), strings.TrimSpace(j.Name), strings.TrimSpace(j.Address), s.now()
	j.Version, j.Seq = 1, 1
	err := s.end(ctx, by, func(tx Tx, now time.Time) error {
		if err := j.check("This job cannot be added."); err != nil {
			return err
		}
		if old, err := tx.Job(ctx, j.ID); err == nil {
			if old.Name != j.Name || old.Address != j.Address {
				return &fault.Error{Kind: fault.Conflict, Msg: "Another job was added with this id."}
			}
			j = old
			return nil
		}
		if err := tx.InsertJob(ctx, j); err != nil {
			return err
		}
		return write(ctx, tx, by, j.ID, "add_job", j.Name+" begins.", j, now)
	})
	return j, err
}

func write(ctx context.Context, tx Tx, by firm.Person, job id.Job, act, says string, detail any, at time.Time) error {
	e, err := diary.New(by, job, id.Room{}, "", act, says, detail, at)
	if err != nil {
		return err
	}
	_, err = diary.Append(ctx, tx, e)
	return err
}

// check returns the fault of an unusable name or address, or nil.
func (j *Job) check(msg string) error {
	var wrong fault.Fields
	wrong.If(j.Name == "" || utf8.RuneCountInString(j.Name) > 120 || strings.ContainsAny(j.Name, "\r\n"), "name",
		"the name is missing or too long", "Give a name of up to 120 characters")
	wrong.If(utf8.RuneCountInString(j.Address) > 400, "address", "the address is too long",
		"Give it in up to 400 characters")
	return wrong.Err(msg)
}

// Jobs returns the firm's open jobs, the newest first. Everyone on site may
// call it.
func (s *Service) Jobs(ctx context.Context, by firm.Person) ([]Job, error) {
	return firm.Ask(ctx, s.in, by, firm.MayRead, func(tx Tx) ([]Job, error) { return tx.Jobs(ctx) })
}

// Job returns one job, open or closed. Everyone on site may call it. Faults:
// Refused, NotFound.
func (s *Service) Job(ctx context.Context, by firm.Person, job id.Job) (Job, error) {
	return firm.Ask(ctx, s.in, by, firm.MayRead, func(tx Tx) (Job, error) { return tx.Job(ctx, job) })
}
