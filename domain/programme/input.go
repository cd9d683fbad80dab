package programme

import (
	"time"

	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Input is all that a programme is worked out from. Make returns the same programme for
// the same input.
type Input struct {
	Given
	// Rooms are those of the open jobs, job by job, in a job as one walks through the house.
	Rooms []*standing.Standing
	// Learned is what the firm's diary shows (Learn); what it does not show is assumed.
	Learned []Learned
	// Holidays are the region's (Holidays, ReadHolidays).
	Holidays []Holiday
	// Now is the moment; its day in Zone is the programme's today.
	Now  time.Time
	Zone words.Zone
	// Before is the programme before, nil for the first.
	Before *Programme
	// Revision is the firm's that Rooms are of.
	Revision int64
	// Schedules is how many orders are tried, Draws how often the durations are drawn; 0
	// stands for what is usual.
	Schedules, Draws int
	// Seed is for every chance: the same seed, the same answer.
	Seed uint64
}

// What is usual, so that five jobs of twelve rooms are planned in well under half a second
// on one core.
const (
	UsualSchedules = 1000
	UsualDraws     = 1000
)

// Make works a programme out. Faults: BadInput where what was given contradicts itself.
func Make(in Input) (*Programme, error) {
	p, err := newPlan(&in)
	if err != nil {
		return nil, err
	}
	if err := p.arrange(in.Schedules); err != nil {
		return nil, err
	}
	p.chance(in.Draws)
	return p.answer(), nil
}
