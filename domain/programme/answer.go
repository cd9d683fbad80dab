package programme

import (
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Programme is the answer for all open jobs of a firm. Many read one at once: nobody
// changes it.
type Programme struct {
	Made time.Time
	// Today is the day from which it was worked out.
	Today time.Time
	// Revision is the firm's revision that it rests on (room.Mark).
	Revision int64
	Jobs     []Job
	Rooms    []Room   // in the order of the jobs, in a job as its rooms are listed
	Visits   []Visit  // by day, then crew
	Promises []Kept   // those that stand, the most endangered first
	Decide   []Decide // by the last day on which the answer costs nothing
	Moved    []Moved  // against the programme before, the longest move first
	// Off are the days from Today on that nobody works, for the chart.
	Off []time.Time
	// Gone are visits that are none any more, by their keys, for a year, with the Sequence and
	// the moment at which they went: calendars call them off, and one that comes back counts on.
	Gone []Visit
	// mark is what it rests on.
	mark room.Mark
}

// Days are the dates of something that ends: with the likeliest durations, and the days by
// which it has ended in 50, 80 and 95 of 100 draws.
type Days struct {
	// Earliest is with the least durations and nobody waited for.
	Earliest      time.Time
	Likely        time.Time
	In50          time.Time
	In80          time.Time
	In95          time.Time
	Critical      float64 // the share of draws in which it lay on the critical chain, 0 to 1
	AssumedRates  bool    // nothing was learned or set yet for at least one rate that it rests on
	WaitsForHeld  bool    // a position is held: the days count from today's answer
	WaitsForOwed  bool
	SignedOff     bool // it is done; Likely is the day of the sign-off
	BehindPromise bool // In80 is later than a promise that stands
}

// Job is when a job is finished.
type Job struct {
	ID   id.Job
	Name string
	Days
}

// Room has the dates of a room's five stages.
type Room struct {
	ID     id.Room
	Job    id.Job
	Name   string
	Stages [5]Stage
}

// Stage is when a stage of a room is worked on, and what it waits for until then.
type Stage struct {
	Days
	// Begins is the likely first day of work, zero where there is none left.
	Begins time.Time
	// Dries is the first day on which what was put on can be dry, zero where nothing dries.
	Dries time.Time
	// Waits says in a sentence what the stage waits for, the last thing that it waits for.
	Waits string
}

// Visit is a crew at a job on consecutive days of work.
type Visit struct {
	// Key stays the same when the visit moves: it is the job, the crew and its first piece.
	Key      string
	Crew     id.Crew
	Name     string // the crew's
	Trade    words.Trade
	Job      id.Job
	JobName  string
	From, To time.Time // the first day and the last
	Slots    int
	Pieces   []Placed // in the order in which they are done
	Pinned   bool
	Promised bool
	// Sequence is how often the visit has moved since it first stood in a programme, and
	// Since when it last did: the Service keeps both for calendars, Make leaves them.
	Sequence int
	Since    time.Time
}

// Placed is a piece of work of a visit.
type Placed struct {
	Piece
	RoomName string
	Amount   string // "12 positions", "31 m² of boards"
	From, To time.Time
	Slots    int
	Critical float64
}

// Kept is a promise that stands and how likely it is kept.
type Kept struct {
	Promise
	Says   string // what was promised to whom, in a sentence
	Likely time.Time
	Odds   float64 // that it is kept, 0 to 1
	// Ways are what would keep it, the cheapest first, each a sentence.
	Ways []string
}

// Decide is a thing that is owed, with the last day on which the answer costs nothing.
type Decide struct {
	Job      id.Job
	Room     id.Room
	What     string
	By       words.Trade
	Position id.Position // where it is a held position
	Latest   time.Time   // zero: already late
	// Cost says what a week later costs.
	Cost string
	Days int // what a week later costs, in days of the job's end
}

// Moved is a piece of work or a stage whose likely days are others than in the programme
// before, with the one sentence that names the chain.
type Moved struct {
	Piece
	Job          id.Job
	Before, Now  time.Time
	Says         string
	BeforePinned bool
}
