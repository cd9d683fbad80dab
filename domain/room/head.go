package room

import (
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Head tells of a room as little as it takes to know whether anything in it has
// changed.
type Head struct {
	Room    id.Room
	Job     id.Job
	JobName string
	Name    string
	Place   int
	// Revision stands for everything in the room's Record but its Seq: two records
	// of one room at one revision are the same.
	Revision int64
	// Zone is the firm's. It moves no revision on.
	Zone words.Zone
	// Seq is the number of the job's last diary entry, 0 where there is none.
	Seq int64
}

// Scope is which rooms somebody asks for: one, or else those of a job, or else
// those of every job of the firm.
type Scope struct {
	Room id.Room
	Job  id.Job
}

// Mark is what pages about some rooms rest on: while it is the same for
// somebody, the pages are, but for what becomes dry meanwhile.
type Mark struct {
	// Firm moves on with the firm's people and jobs, so while it is the same, so
	// are the jobs that somebody may see.
	Firm int64
	// Entries is the sum of the numbers of the jobs' last diary entries. It never
	// falls; a room that is added or removed has its entry.
	Entries int64
	// Revisions is the sum of the rooms' revisions, which rise while no room is
	// removed. Zero: there is no room.
	Revisions int64
}
