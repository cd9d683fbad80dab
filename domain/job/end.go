package job

import (
	"context"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// EndTx is what closing, renaming and removing a job needs of a transaction.
type EndTx interface {
	// LockJob returns the current job, locked until the transaction ends:
	// meanwhile nobody writes to its diary or adds a room to it.
	LockJob(ctx context.Context, job id.Job) (Job, error)
	// LockRooms locks a job's rooms. It comes before LockJob, as in every write
	// to a room.
	LockRooms(ctx context.Context, job id.Job) error
	// UpdateJob stores name, address and ClosedAt. Faults: Conflict if the job
	// is not at version; 0 skips the check.
	UpdateJob(ctx context.Context, j Job, version int64) error
	// LeftOpen returns the rooms of a job in which something is open, in the
	// order of a walk through the house.
	LeftOpen(ctx context.Context, job id.Job) ([]Left, error)
	// JobHolds returns what keeps a job from being removed.
	JobHolds(ctx context.Context, job id.Job) (Holds, error)
	// RemoveJob removes a job that holds nothing, with its diary.
	RemoveJob(ctx context.Context, job id.Job) error
}

// Closed returns the fault of writing to a closed job.
func Closed(name string) *fault.Error {
	return &fault.Error{Kind: fault.Obstacle, Msg: name + " is closed. Reopen it first."}
}

// Close closes a job: nothing is written to it or to its rooms any more, and
// only search finds it. What is still open stays so and is named in the diary;
// a job in which something is open is closed only if anyway is true. That it is
// closed already is no error. Owners and foremen may call it. Faults: Refused,
// NotFound, Obstacle with a field for each room in which something is open.
func (s *Service) Close(ctx context.Context, by firm.Person, job id.Job, anyway bool) (j Job, err error) {
	err = s.end(ctx, by, func(tx Tx, now time.Time) error {
		if j, err = lock(ctx, tx, job); err != nil || !j.Open() {
			return err
		}
		left, err := tx.LeftOpen(ctx, job)
		if err != nil {
			return err
		}
		if len(left) > 0 && !anyway {
			return stillOpen(j.Name, left)
		}
		j.ClosedAt = now
		return save(ctx, tx, by, &j, 0, now, note{"close_job", closedSays(j.Name, left), closingOf(left)})
	})
	return j, err
}

// LeftOpen returns the rooms of a job in which something is open, which Close
// would name. Everyone on site may call it. Faults: Refused, NotFound.
func (s *Service) LeftOpen(ctx context.Context, by firm.Person, job id.Job) ([]Left, error) {
	return firm.Ask(ctx, s.in, by, firm.MayRead, func(tx Tx) ([]Left, error) {
		if _, err := tx.Job(ctx, job); err != nil {
			return nil, err
		}
		return tx.LeftOpen(ctx, job)
	})
}

// Reopen opens a closed job again; that it is open already is no error. Owners
// and foremen may call it. Faults: Refused, NotFound.
func (s *Service) Reopen(ctx context.Context, by firm.Person, job id.Job) (j Job, err error) {
	err = s.end(ctx, by, func(tx Tx, now time.Time) error {
		if j, err = lock(ctx, tx, job); err != nil || j.Open() {
			return err
		}
		j.ClosedAt = time.Time{}
		return save(ctx, tx, by, &j, 0, now, note{"reopen_job", j.Name + " is open again.", struct{}{}})
	})
	return j, err
}

// Rename gives an open job another name, another address, or both. version is
// that of the job that was changed, 0 skips the check; a change that changes
// nothing is no error. Owners and foremen may call it. Faults: Refused,
// BadInput, NotFound, Obstacle (it is closed), Conflict (the version).
func (s *Service) Rename(ctx context.Context, by firm.Person, job id.Job, version int64,
	name, address string) (j Job, err error) {
	to := Job{Name: strings.TrimSpace(name), Address: strings.TrimSpace(address)}
	if err := to.check("The job cannot be called that."); err != nil {
		return j, err
	}
	err = s.end(ctx, by, func(tx Tx, now time.Time) error {
		if j, err = openOnly(lock(ctx, tx, job)); err != nil || j.Name == to.Name && j.Address == to.Address {
			return err
		}
		from := j
		j.Name, j.Address = to.Name, to.Address
		return save(ctx, tx, by, &j, version, now, note{"rename_job", renamedSays(from, j), renaming{
			called{from.Name, from.Address}, called{j.Name, j.Address}}})
	})
	return j, err
}

// lock locks a job and its rooms, which move on with it: whoever writes to a
// room locks it first.
func lock(ctx context.Context, tx Tx, job id.Job) (Job, error) {
	if err := tx.LockRooms(ctx, job); err != nil {
		return Job{}, err
	}
	return tx.LockJob(ctx, job)
}

// openOnly returns the fault of a job that is not open.
func openOnly(j Job, err error) (Job, error) {
	if err == nil && !j.Open() {
		err = Closed(j.Name)
	}
	return j, err
}

// Remove removes a job that was opened by mistake, with its diary, which says
// only that it began. Owners and foremen may call it. Faults: Refused,
// NotFound, Obstacle with a field for each thing that keeps it.
func (s *Service) Remove(ctx context.Context, by firm.Person, job id.Job) error {
	return s.end(ctx, by, func(tx Tx, _ time.Time) error {
		j, err := tx.LockJob(ctx, job)
		if err != nil {
			return err
		}
		holds, err := tx.JobHolds(ctx, job)
		if err != nil {
			return err
		}
		if fields := holds.fields(); len(fields) > 0 {
			return &fault.Error{Kind: fault.Obstacle, Msg: j.Name + " cannot be removed.", Fields: fields}
		}
		return tx.RemoveJob(ctx, job)
	})
}

// Keeps returns what keeps a job from being removed, each with the way out;
// none if Remove would remove it. Callers and faults are those of Remove.
func (s *Service) Keeps(ctx context.Context, by firm.Person, job id.Job) (fields []fault.Field, err error) {
	err = s.end(ctx, by, func(tx Tx, _ time.Time) error {
		if _, err := tx.Job(ctx, job); err != nil {
			return err
		}
		holds, err := tx.JobHolds(ctx, job)
		fields = holds.fields()
		return err
	})
	return fields, err
}

// end runs do in a transaction of a person who may run jobs.
func (s *Service) end(ctx context.Context, by firm.Person, do func(Tx, time.Time) error) error {
	return s.in.Do(ctx, by, firm.MayRunJobs, func(tx Tx) error { return do(tx, s.now()) })
}

// note is a future line of the diary.
type note struct {
	act, says string
	detail    any
}

// save stores a changed job, and says so in the diary.
func save(ctx context.Context, tx Tx, by firm.Person, j *Job, version int64, now time.Time, n note) error {
	if err := tx.UpdateJob(ctx, *j, version); err != nil {
		return err
	}
	j.Version, j.Seq = j.Version+1, j.Seq+1
	return write(ctx, tx, by, j.ID, n.act, n.says, n.detail, now)
}
