package diary

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Tx is what this package needs of a transaction.
type Tx interface {
	Writer
	// Diary returns the entries of a job after a number, in order, at most
	// limit of them. A job of another firm has none.
	Diary(ctx context.Context, job id.Job, after int64, limit int) ([]Entry, error)
	// DiaryPage returns entries of a job that a filter lets through, the newest first, at
	// most limit of them. A job of another firm has none.
	DiaryPage(ctx context.Context, job id.Job, of Filter, limit int) ([]Entry, error)
	// DiaryBefore returns the last entries of a job before a number, in order, at
	// most limit of them. A job of another firm has none.
	DiaryBefore(ctx context.Context, job id.Job, before int64, limit int) ([]Entry, error)
	// DiaryJobs returns the jobs that have a diary, closed ones too.
	DiaryJobs(ctx context.Context) ([]id.Job, error)
	// LastSeqs returns the number of the last entry of every open job of the
	// firm, 0 where a job has none.
	LastSeqs(ctx context.Context) (map[id.Job]int64, error)
}

// Writer adds entries.
type Writer interface {
	// LastEntry locks the end of a job's diary until the transaction ends and
	// returns its last entry, zero if there is none.
	LastEntry(ctx context.Context, job id.Job) (Entry, error)
	InsertEntry(ctx context.Context, e Entry) error
}

// Append seals entries of one job one after the other, writes them, and returns
// the number of the last. It comes last in a transaction, since from here on
// everybody else who writes to the job waits.
func Append(ctx context.Context, tx Writer, entries ...Entry) (int64, error) {
	if len(entries) == 0 {
		return 0, nil
	}
	last, err := tx.LastEntry(ctx, entries[0].Job)
	if err != nil {
		return 0, err
	}
	for _, e := range entries {
		last = Seal(e, last)
		if err := tx.InsertEntry(ctx, last); err != nil {
			return 0, err
		}
	}
	return last.Seq, nil
}

// Service reads diaries.
type Service struct{ in firm.In[Tx] }

// NewService returns a service.
func NewService(in firm.In[Tx]) *Service { return &Service{in} }

// Page is how many entries Read returns at most.
const Page = 200

// Read returns up to Page entries of a job after a number, in order. Everyone
// on site may call it. Faults: Refused.
func (s *Service) Read(ctx context.Context, by firm.Person, job id.Job, after int64) ([]Entry, error) {
	return firm.Ask(ctx, s.in, by, firm.MayRead, func(tx Tx) ([]Entry, error) { return tx.Diary(ctx, job, after, Page) })
}

// Filter says which entries of a diary are looked for.
type Filter struct {
	Before, After int64     // their numbers lie between these; 0: no bound
	Room          id.Room   // none: of any room, and of none
	Member        id.Member // none: by anybody
	Acts          []string  // none: any act
	// From and Until bound the time, From included; zero: no bound.
	From, Until time.Time
}

// Page returns entries of a job that a filter lets through, the newest first, at most
// limit of them: the last, or where only After is given the first that follow it. The
// people on site may ask. Faults: Refused.
func (s *Service) Page(ctx context.Context, by firm.Person, job id.Job, of Filter, limit int) ([]Entry, error) {
	return firm.Ask(ctx, s.in, by, firm.MayRead, func(tx Tx) ([]Entry, error) {
		return tx.DiaryPage(ctx, job, of, limit)
	})
}

// Before returns the last entries of a job before a number, in order, at most
// limit of them. The people on site may ask. Faults: Refused.
func (s *Service) Before(ctx context.Context, by firm.Person, job id.Job, before int64, limit int) (
	[]Entry, error) {
	return firm.Ask(ctx, s.in, by, firm.MayRead, func(tx Tx) ([]Entry, error) {
		return tx.DiaryBefore(ctx, job, before, limit)
	})
}

// Last returns the number of the last entry of every open job of the firm, 0
// for a job without one. Whoever reads something else after it and looks again
// when a number has grown misses nothing. Everyone on site may call it. Faults:
// Refused.
func (s *Service) Last(ctx context.Context, by firm.Person) (map[id.Job]int64, error) {
	return firm.Ask(ctx, s.in, by, firm.MayRead, func(tx Tx) (map[id.Job]int64, error) { return tx.LastSeqs(ctx) })
}
