package words_test

import (
	"testing"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/words"
)

// What the clocks did is from the tz database that Go carries (time/tzdata); the
// days are counted by hand from it.
func TestTheDayOfAMoment(t *testing.T) {
	for _, c := range []struct {
		zone words.Zone
		at   string // UTC
		want string
	}{
		{"", "2026-03-29T23:59:59Z", "2026-03-29"},
		{"UTC", "2026-03-30T00:00:00Z", "2026-03-30"},
		// summer time begins on 29 March 2026 at 01:00 UTC, and ends on 25 October
		{"Europe/London", "2026-03-28T23:59:59Z", "2026-03-28"},
		{"Europe/London", "2026-03-29T22:59:59Z", "2026-03-29"},
		{"Europe/London", "2026-03-29T23:00:00Z", "2026-03-30"},
		{"Europe/London", "2026-10-24T23:00:00Z", "2026-10-25"},
		{"Europe/London", "2026-10-25T23:59:59Z", "2026-10-25"},
		{"Europe/Berlin", "2026-11-27T22:59:59Z", "2026-11-27"},
		{"Europe/Berlin", "2026-11-27T23:00:00Z", "2026-11-28"},
		// from 8 March to 1 November 2026
		{"America/New_York", "2026-03-08T04:59:59Z", "2026-03-07"},
		{"America/New_York", "2026-03-09T04:00:00Z", "2026-03-09"},
		{"America/New_York", "2026-11-01T03:59:59Z", "2026-10-31"},
		{"America/New_York", "2026-11-02T04:59:59Z", "2026-11-01"},
		// half and quarter hours
		{"Asia/Kolkata", "2026-06-01T18:29:59Z", "2026-06-01"},
		{"Asia/Kolkata", "2026-06-01T18:30:00Z", "2026-06-02"},
		{"Asia/Kathmandu", "2026-06-01T18:15:00Z", "2026-06-02"},
		{"Australia/Lord_Howe", "2026-06-01T13:29:59Z", "2026-06-01"},
		{"Australia/Lord_Howe", "2026-12-01T13:00:00Z", "2026-12-02"},
		// both ends of the world
		{"Pacific/Kiritimati", "2026-06-01T10:00:00Z", "2026-06-02"},
		{"Etc/GMT+12", "2026-06-01T11:59:59Z", "2026-05-31"},
		{"Atlantic/Azores", "2026-06-01T00:00:00Z", "2026-06-01"},
	} {
		at, err := time.Parse(time.RFC3339, c.at)
		if err != nil {
			t.Fatal(err)
		}
		if got := c.zone.Day(at).Format(time.DateOnly); got != c.want {
			t.Errorf("%s at %s: %s, want %s", c.zone, c.at, got, c.want)
		}
	}
}

func TestTheFirstMomentOfADay(t *testing.T) {
	for _, c := range []struct {
		zone      words.Zone
		day, want string
	}{
		{"UTC", "2026-03-29", "2026-03-29T00:00:00Z"},
		{"Europe/London", "2026-03-29", "2026-03-29T00:00:00Z"},
		{"Europe/London", "2026-03-30", "2026-03-29T23:00:00Z"},
		{"Asia/Kolkata", "2026-06-02", "2026-06-01T18:30:00Z"},
		{"America/Havana", "2026-11-01", "2026-11-01T04:00:00Z"},   // midnight comes twice
		{"America/Santiago", "2026-09-06", "2026-09-06T04:00:00Z"}, // there is no midnight
		{"Pacific/Apia", "2011-12-30", "2011-12-30T10:00:00Z"},     // there is no such day
	} {
		day, err := time.Parse(time.DateOnly, c.day)
		if err != nil {
			t.Fatal(err)
		}
		got := c.zone.Begins(day)
		if got.Format(time.RFC3339) != c.want || c.zone.Day(got).Before(day) || !c.zone.Day(got.Add(-1)).Before(day) {
			t.Errorf("%s in %s begins at %s, want %s", c.day, c.zone, got.Format(time.RFC3339), c.want)
		}
	}
}

func TestZonesAreNamesOfPlaces(t *testing.T) {
	for _, name := range []string{"UTC", "Europe/London", "America/Argentina/Buenos_Aires", "Asia/Ust-Nera", "Etc/GMT+5",
		"America/Port-au-Prince", "Africa/Dar_es_Salaam"} {
		if z, err := words.ParseZone(name); err != nil || string(z) != name {
			t.Errorf("%s: %v", name, err)
		}
	}
	for _, name := range []string{"", "Local", "Factory", "europe/london", "Europe/Atlantis", "London", "CET",
		"EST5EDT", "GMT", "GMT0BST", "+01:00",
		"posix/Europe/London", "right/Europe/London", "../../etc/passwd", "/usr/share/zoneinfo/UTC", "Europe/London\n",
		" Europe/London"} {
		if _, err := words.ParseZone(name); fault.KindOf(err) != fault.BadInput {
			t.Errorf("%q was taken: %v", name, err)
		}
	}
}
