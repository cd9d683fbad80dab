package scenario

import (
	"time"

	"lathmark/domain/words"
)

// clock stands where it is put. Each reading is some seconds after the last,
// as people need that long to write a thing down.
type clock struct {
	today time.Time // the day where the firm works
	at    time.Time
}

// pace is the time from one reading of the clock to the next.
const pace = 37 * time.Second

func (c *clock) now() time.Time {
	c.at = c.at.Add(pace)
	return c.at
}

// zone is where the firm works.
const zone words.Zone = "Europe/London"

// before returns a moment of the n-th working day before today; clock is like
// "08:10". Nobody works on Saturdays and Sundays.
func (c *clock) before(n int, clock string) time.Time {
	at := c.today
	for n > 0 {
		at = at.AddDate(0, 0, -1)
		if w := at.Weekday(); w != time.Saturday && w != time.Sunday {
			n--
		}
	}
	hour, err := time.Parse("15:04", clock)
	if err != nil {
		panic(err) // a slip in the scenario itself
	}
	return zone.Begins(at).Add(time.Duration(hour.Hour())*time.Hour + time.Duration(hour.Minute())*time.Minute)
}

// act is one thing that somebody does.
type act func() error

// step is what somebody does on one visit.
type step struct {
	at    time.Time
	where string
	acts  []act
}
