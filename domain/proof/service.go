package proof

import (
	"context"
	"math"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/programme"
	"lathmark/domain/room"
)

// Tx is what a check needs of a transaction that reads one moment.
type Tx interface {
	// DiaryJobs returns every job of the firm, closed ones too.
	DiaryJobs(ctx context.Context) ([]id.Job, error)
	Job(ctx context.Context, job id.Job) (job.Job, error)
	// Members returns everybody of the firm, those who have left too.
	Members(ctx context.Context) ([]firm.Member, error)
	// RoomsOf returns the rooms of a job as one walks through the house.
	RoomsOf(ctx context.Context, job id.Job) ([]room.Room, error)
	// Diary returns the entries of a job after a number, in order, at most limit.
	Diary(ctx context.Context, job id.Job, after int64, limit int) ([]diary.Entry, error)
	// DiaryBefore returns the last entries of a job before a number, in order.
	DiaryBefore(ctx context.Context, job id.Job, before int64, limit int) ([]diary.Entry, error)
	// RoomPage returns the entries of a job about a room after a number, in order, at
	// most limit.
	RoomPage(ctx context.Context, job id.Job, of id.Room, after int64, limit int) ([]diary.Entry, error)
	// SaidOf returns what is stored for the programme of a job, open or closed: promises,
	// pins, what is owed, ways into rooms and who comes.
	SaidOf(ctx context.Context, job id.Job) (programme.Given, error)
	// Record returns everything stored of a room. Faults: NotFound.
	Record(ctx context.Context, of id.Room) (*room.Record, error)
	// SignOffs returns every sign-off of a room.
	SignOffs(ctx context.Context, of id.Room) ([]room.SignOff, error)
	// Strays returns the sign-offs of a room that name another job than the room's.
	Strays(ctx context.Context, of id.Room) ([]id.SignOff, error)
	// RoomActs returns what phones sent for a room.
	RoomActs(ctx context.Context, of id.Room) ([]deed.StoredAct, error)
}

// page is how many entries are read at a time.
const page = 500

// Finding is something that does not hold.
type Finding struct {
	// Room is the name of the room that it is about; empty: the job's diary.
	Room string
	// Seq is the entry that it is about, 0 where there is none.
	Seq int64
	// Says is what was found, a sentence without its full stop.
	Says string
}

// Report is what a check of one job came to.
type Report struct {
	Job      id.Job
	Name     string
	Entries  int64
	SignOffs int
	Rooms    int
	Mark     diary.Mark // of the last entry
	Findings []Finding
}

// Service checks jobs. It is for the command line and asks nobody's rights.
type Service struct{ in firm.In[Tx] }

// NewService returns a service; in runs transactions that read one moment.
func NewService(in firm.In[Tx]) *Service { return &Service{in} }

// Jobs returns every job of a firm, and how many entries their diaries have.
func (s *Service) Jobs(ctx context.Context, of id.Firm) (jobs []id.Job, entries int64, err error) {
	err = s.in(ctx, firm.Whole(of), func(tx Tx) error {
		if jobs, err = tx.DiaryJobs(ctx); err != nil {
			return err
		}
		for _, j := range jobs {
			last, err := tx.DiaryBefore(ctx, j, math.MaxInt64, 1)
			if err != nil {
				return err
			}
			if len(last) > 0 {
				entries += last[0].Seq
			}
		}
		return nil
	})
	return jobs, entries, err
}

// Check checks one job, and hands every entry of its diary to seen. Faults: NotFound.
func (s *Service) Check(ctx context.Context, of id.Firm, job id.Job, seen func(diary.Entry)) (r Report, err error) {
	err = s.in(ctx, firm.Whole(of), func(tx Tx) error {
		c := &check{tx: tx, seen: seen, Report: Report{Job: job}, people: map[id.Member]string{}}
		err := c.run(ctx)
		r = c.Report
		return err
	})
	return r, err
}

// All checks every job of a firm.
func (s *Service) All(ctx context.Context, of id.Firm) (out []Report, err error) {
	jobs, _, err := s.Jobs(ctx, of)
	for _, j := range jobs {
		r, err := s.Check(ctx, of, j, func(diary.Entry) {})
		if err != nil {
			return nil, err
		}
		out = append(out, r)
	}
	return out, err
}

// gone reports whether an error says that something is not there.
func gone(err error) bool { return fault.KindOf(err) == fault.NotFound }
