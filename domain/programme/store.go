package programme

import (
	"context"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Tx is what the programme needs of a transaction. What belongs to another firm, or to a
// job that the person may not see, is not found.
type Tx interface {
	diary.Writer
	LinkTx
	Firm(ctx context.Context) (firm.Firm, error)
	Member(ctx context.Context, member id.Member) (firm.Member, error)
	// LockJob returns a job, locked until the transaction ends. Faults: NotFound.
	LockJob(ctx context.Context, job id.Job) (job.Job, error)
	Jobs(ctx context.Context) ([]job.Job, error)
	Job(ctx context.Context, job id.Job) (job.Job, error)
	Heads(ctx context.Context, scope room.Scope) ([]room.Head, error)
	// Given returns all that was said, but for what ended: of jobs that are open.
	Given(ctx context.Context) (Given, error)
	// SaidOf returns what was said of one job and its rooms, open or closed, and nothing of
	// the firm as a whole.
	SaidOf(ctx context.Context, job id.Job) (Given, error)
	SaveWeek(ctx context.Context, days [7]bool, region string) error
	// SaveHolidays replaces the bank holidays that the firm has given.
	SaveHolidays(ctx context.Context, all []Holiday) error
	// SaveCrew inserts a crew, or changes it. Faults: Conflict (it has ended).
	SaveCrew(ctx context.Context, c Crew, at time.Time) error
	// EndCrew ends a crew and its links; one that has ended is not found.
	EndCrew(ctx context.Context, crew id.Crew, at time.Time) error
	// SaveAway inserts an absence, or changes its days and why.
	SaveAway(ctx context.Context, a Away) error
	DeleteAway(ctx context.Context, away id.Away) error
	SaveRate(ctx context.Context, r Rate) error
	DeleteRate(ctx context.Context, of words.Trade, stage words.Stage) error
	SavePin(ctx context.Context, p Pin) error
	DeletePin(ctx context.Context, of Piece) error
	// InsertPromise adds one; instead is the one in whose place it is given. Faults:
	// Conflict (another was given in its place).
	InsertPromise(ctx context.Context, p Promise, instead id.Promise) error
	// SaveOwed inserts what is owed, or changes it.
	SaveOwed(ctx context.Context, o Owed, at time.Time) error
	DeleteOwed(ctx context.Context, owed id.Owed) error
	// SetThrough replaces the rooms through which one is reached.
	SetThrough(ctx context.Context, of id.Room, by []id.Room) error
	SaveComing(ctx context.Context, c Coming) error
	// Stored returns the programme that was worked out last, zero where none was.
	Stored(ctx context.Context) (Stored, error)
}

// LinkTx is what private addresses need of a transaction.
type LinkTx interface {
	InsertVisitLink(ctx context.Context, hash firm.Hash, l VisitLink) error
	// VisitLink returns a link that works. Faults: NotFound.
	VisitLink(ctx context.Context, hash firm.Hash, at time.Time) (VisitLink, error)
	// VisitLinks returns the links that work.
	VisitLinks(ctx context.Context, at time.Time) ([]VisitLink, error)
	// EndVisitLinks ends the working links of a crew or of a member, and returns how many
	// there were.
	EndVisitLinks(ctx context.Context, crew id.Crew, member id.Member, at time.Time) (int, error)
	// ClientLinkJob returns the job of a client's link that works. Faults: NotFound.
	ClientLinkJob(ctx context.Context, hash firm.Hash, at time.Time) (id.Job, error)
	MemberJobs(ctx context.Context, member id.Member) ([]id.Job, error)
}

// Stored is a programme as it is kept, with what it rests on.
type Stored struct {
	Made    time.Time
	Today   time.Time
	Mark    room.Mark
	Version int
	Answer  []byte
}
