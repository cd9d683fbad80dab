package programme

import (
	"context"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
)

// Service is what people can ask of the programme and say for it.
type Service struct {
	in, look firm.In[Tx]
	marks    Marks
	worker   *Worker
	now      func() time.Time
	read     cache
}

// Marks tells what a firm's programme rests on now: all of its open jobs. Each firm asks
// for itself.
type Marks func(ctx context.Context, of id.Firm) (room.Mark, error)

// NewService returns a service. Transactions of look see one moment and write nothing; now
// is the clock.
func NewService(in, look firm.In[Tx], marks Marks, worker *Worker, now func() time.Time) *Service {
	s := &Service{in: in, look: look, marks: marks, worker: worker,
		now: func() time.Time { return now().UTC().Truncate(time.Microsecond) }}
	s.read.Most = mostKept
	return s
}

// View is the programme as one person sees it: see seenBy.
type View struct {
	// Programme is what was worked out last; nil: nothing yet. Nobody changes it.
	Programme *Programme
	Given     Given
	// Again says that something has changed since: it is being worked out again.
	Again bool
	// Today is the day in the firm's zone.
	Today time.Time
	Firm  firm.Firm
	// Jobs are the open jobs that the person may see.
	Jobs []job.Job
	// Own are the crews for which the person speaks: those of the trade; none for others.
	Own []Crew
}

// Read returns the programme and what it rests on: the owner and the foreman see all of it,
// a trade the visits of the own crew in the own jobs, a client the days of the own jobs.
// Everybody of the firm may ask. Faults: Refused.
func (s *Service) Read(ctx context.Context, by firm.Person) (v View, err error) {
	v, err = firm.Ask(ctx, s.look, by, firm.MayFollow, func(tx Tx) (View, error) { return s.view(ctx, tx) })
	if err != nil {
		return View{}, err
	}
	return s.finish(ctx, by, v)
}

// view reads what a person may read of; seenBy leaves out what is not for their eyes.
func (s *Service) view(ctx context.Context, tx Tx) (v View, err error) {
	if v.Jobs, err = tx.Jobs(ctx); err != nil {
		return v, err
	}
	if v.Given, err = tx.Given(ctx); err != nil {
		return v, err
	}
	return s.on(ctx, tx, v)
}

// on adds what was worked out last, and the day.
func (s *Service) on(ctx context.Context, tx Tx, v View) (_ View, err error) {
	if v.Firm, err = tx.Firm(ctx); err != nil {
		return v, err
	}
	v.Today = v.Firm.Zone.Day(s.now())
	stored, err := tx.Stored(ctx)
	if err != nil {
		return v, err
	}
	v.Programme = s.read.open(v.Firm.ID, stored)
	return v, nil
}

// finish says whether it is being worked out again, and leaves out what is not for the
// person's eyes.
func (s *Service) finish(ctx context.Context, by firm.Person, v View) (View, error) {
	mark, err := s.marks(ctx, v.Firm.ID)
	v.Again = v.Programme == nil || !v.Programme.Today.Equal(v.Today) || v.Programme.mark != mark
	return seenBy(by, v), err
}

// Try returns the programme as it would be if something were said, with what moves. Nothing
// is stored; other than what is worked out in the background, whoever asks waits for it.
// Owners and foremen may call it. Faults: Refused, BadInput.
func (s *Service) Try(ctx context.Context, by firm.Person, t Trial) (*Programme, error) {
	if err := s.run(ctx, by, func(tx Tx, _ time.Time) error { return s.checkTrial(ctx, tx, t) }); err != nil {
		return nil, err
	}
	return s.worker.try(ctx, by.Firm, t)
}

// checkTrial returns the fault of what could not be said.
func (s *Service) checkTrial(ctx context.Context, tx Tx, t Trial) error {
	today, err := s.today(ctx, tx)
	if err != nil {
		return err
	}
	given, err := tx.Given(ctx)
	if err != nil {
		return err
	}
	for _, p := range t.Pins {
		if err := p.check(today); err != nil {
			return err
		}
	}
	for _, a := range t.Away {
		if err := a.check(&given, today); err != nil {
			return err
		}
	}
	for _, o := range t.Owed {
		if err := o.check(&given, given.owed(o.ID), today); err != nil {
			return err
		}
	}
	return nil
}

// run runs do in a transaction of a person who may run jobs.
func (s *Service) run(ctx context.Context, by firm.Person, do func(tx Tx, now time.Time) error) error {
	return s.in.Do(ctx, by, firm.MayRunJobs, func(tx Tx) error { return do(tx, s.now()) })
}

// open locks a job and returns it. Faults: NotFound, Obstacle (it is closed).
func open(ctx context.Context, tx Tx, of id.Job) (job.Job, error) {
	j, err := tx.LockJob(ctx, of)
	if err == nil && !j.Open() {
		err = job.Closed(j.Name)
	}
	return j, err
}

// openRoom locks the job of a room and returns the room's head. Faults: NotFound, Obstacle.
func openRoom(ctx context.Context, tx Tx, of id.Room) (room.Head, error) {
	heads, err := tx.Heads(ctx, room.Scope{Room: of})
	if err != nil {
		return room.Head{}, err
	}
	if of.IsZero() || len(heads) == 0 {
		return room.Head{}, &fault.Error{Kind: fault.NotFound, Msg: "There is no such room."}
	}
	_, err = open(ctx, tx, heads[0].Job)
	return heads[0], err
}
