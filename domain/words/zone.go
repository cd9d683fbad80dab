package words

import (
	"regexp"
	"sync"
	"time"
	_ "time/tzdata" // the same rules on every machine, and on a phone

	"lathmark/domain/fault"
)

// Zone is the IANA name of the time zone in which a firm works. Its days are
// those that people type, read and compare; empty is UTC. Nothing else in the
// program turns a moment into a day, but for day_of in the database, which says
// the same.
//
// A day is a time.Time too, as it is stored: its midnight in UTC, wherever the
// firm is. In and Day are for moments, and are not done to days.
type Zone string

// UTC is the zone of a firm that chose none.
const UTC Zone = "UTC"

// zoneName is what the names of zones look like. Those without a region but UTC are
// left out: for PostgreSQL CET is an abbreviation, which has no summer time.
var zoneName = regexp.MustCompile(`^(UTC|[A-Z][A-Za-z]+(/[A-Z][A-Za-z0-9_+-]*){1,2})$`)

// ParseZone reads the name of a zone. Faults: BadInput.
func ParseZone(text string) (Zone, error) {
	z := Zone(text)
	if zoneName.MatchString(text) {
		if _, err := z.load(); err == nil {
			return z, nil
		}
	}
	return "", UnknownZone()
}

// UnknownZone is the fault of a zone that is none.
func UnknownZone() error {
	return fault.Bad("There is no such time zone.", "zone", "there is no time zone of this name",
		"Give the IANA name of one, spelled as here: Europe/London, America/New_York, Asia/Kolkata, UTC")
}

// places has the zones that were asked for.
var places sync.Map

func (z Zone) load() (*time.Location, error) {
	if at, ok := places.Load(z); ok {
		return at.(*time.Location), nil
	}
	at, err := time.LoadLocation(string(z))
	if err == nil {
		places.Store(z, at)
	}
	return at, err
}

// place is the zone's rules; those of UTC where the machine's are older than the
// zone.
func (z Zone) place() *time.Location {
	at, err := z.load()
	if err != nil {
		return time.UTC
	}
	return at
}

// In returns a moment as clocks in the zone show it; the zero time stays zero.
func (z Zone) In(t time.Time) time.Time {
	if t.IsZero() {
		return t
	}
	return t.In(z.place())
}

// Day returns the day in the zone on which a moment falls, as days are stored.
func (z Zone) Day(t time.Time) time.Time {
	y, m, d := z.In(t).Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// Begins returns the first moment of a day in the zone: the first that falls on
// that day, or on a later one where the zone left the day out. The zero
// time stays zero.
func (z Zone) Begins(day time.Time) time.Time {
	if day.IsZero() {
		return day
	}
	y, m, d := day.Date()
	midnight := time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
	t := midnight.Add(-26 * time.Hour).In(z.place()) // no zone is as far from UTC
	for {
		_, offset := t.Zone()
		_, end := t.ZoneBounds()
		first := midnight.Add(-time.Duration(offset) * time.Second)
		if first.Before(t) {
			first = t
		}
		if end.IsZero() || first.Before(end) {
			return first.UTC()
		}
		t = end
	}
}
