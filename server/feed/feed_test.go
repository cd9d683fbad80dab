package feed_test

import (
	"bytes"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/programme"
	"lathmark/domain/words"
	"lathmark/server/feed"

	ical "github.com/arran4/golang-ical"
	"pgregory.net/rapid"
)

var made = time.Date(2026, 11, 25, 14, 5, 0, 0, time.UTC)

func day(n int) time.Time { return time.Date(2026, 11, 25+n, 0, 0, 0, 0, time.UTC) }

// view is a programme with a visit and one that is none any more.
func view(jobName, address, crew string, from, days, gone int) programme.View {
	at := id.Job{6: 0x70, 8: 0x80, 15: 1}
	v := programme.Visit{Key: "a;b,c|1", Job: at, JobName: jobName, Name: crew, Trade: words.Electrician, From: day(from),
		To: day(from + days - 1), Sequence: 3, Since: made, Pieces: []programme.Placed{
			{Piece: programme.Piece{Stage: words.FirstFix}, RoomName: "Kitchen", Amount: "12 positions"},
			{Piece: programme.Piece{Stage: words.FirstFix}, RoomName: "Utility"}}}
	off := v
	off.Key, off.Sequence, off.From, off.To = "gone", 5, day(gone), day(gone)
	return programme.View{Firm: firm.Firm{Name: "Aldous & Daughters"}, Jobs: []job.Job{{ID: at, Address: address}},
		Programme: &programme.Programme{Made: made.AddDate(0, 0, 10), Visits: []programme.Visit{v},
			Gone: []programme.Visit{off}}}
}

func parse(t interface{ Fatal(...any) }, body []byte) *ical.Calendar {
	got, err := ical.ParseCalendar(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	return got
}

func value(e *ical.VEvent, p ical.ComponentProperty) string {
	if got := e.GetProperty(p); got != nil {
		return got.Value
	}
	return ""
}

// Law: whatever things are called, somebody else's parser reads back what was written, no
// line is wider than 75 octets, and each is whole UTF-8.
func TestAnotherParserReadsIt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.StringOf(rapid.OneOf(rapid.RuneFrom([]rune(`a ,;:\"é木🔨-n`)), rapid.Rune()))
		clean := func(name string) string { // what a name cannot hold is left out by the domain
			return strings.TrimSpace(strings.Map(func(r rune) rune {
				if r < 0x20 || r == 0x7f || r == utf8.RuneError || r == '\u0085' || r == '\u2028' || r == '\u2029' {
					return -1
				}
				return r
			}, text.Draw(t, name)))
		}
		name, address, crew := clean("job"), clean("address"), clean("crew")
		from, days := rapid.IntRange(0, 400).Draw(t, "from"), rapid.IntRange(1, 9).Draw(t, "days")
		body := feed.Calendar(view(name, address, crew, from, days, 30))
		for _, line := range strings.Split(strings.TrimSuffix(string(body), "\r\n"), "\r\n") {
			if len(line) > 75 || !utf8.ValidString(line) || strings.ContainsAny(line, "\r\n") {
				t.Fatalf("a line of %d octets: %q", len(line), line)
			}
		}
		events := parse(t, body).Events()
		if len(events) != 2 {
			t.Fatalf("%d events", len(events))
		}
		e := events[0]
		for p, want := range map[ical.ComponentProperty]string{
			ical.ComponentPropertySummary:     name + ": first fix (" + crew + ")",
			ical.ComponentPropertyDescription: "Kitchen, first fix: 12 positions\nUtility, first fix",
			ical.ComponentPropertyLocation:    address,
			ical.ComponentPropertyUniqueId:    "a;b,c|1@lathmark",
			ical.ComponentPropertySequence:    "3",
			ical.ComponentPropertyStatus:      "CONFIRMED",
			ical.ComponentPropertyDtstamp:     "20261125T140500Z",
			ical.ComponentPropertyDtStart:     day(from).Format("20060102"),
			ical.ComponentPropertyDtEnd:       day(from + days).Format("20060102"),
		} {
			if got := value(e, p); got != want {
				t.Fatalf("%s is %q, want %q\n%s", p, got, want, body)
			}
		}
	})
}

// A visit that was called off says so for a while; one that had begun is over and is left out.
func TestWhatIsCalledOff(t *testing.T) {
	for gone, want := range map[int]string{30: "CANCELLED", 1: "CANCELLED", 0: "", -3: ""} {
		events := parse(t, feed.Calendar(view("Mill Loft", "", "Ola Brandt", 3, 1, gone))).Events()
		got := ""
		if len(events) == 2 {
			got = value(events[1], ical.ComponentPropertyStatus)
		}
		if got != want {
			t.Errorf("gone from day %d: %q, want %q", gone, got, want)
		}
	}
	late := view("Mill Loft", "", "Ola Brandt", 3, 1, 30)
	late.Programme.Made = made.AddDate(0, 0, 61)
	if events := parse(t, feed.Calendar(late)).Events(); len(events) != 1 {
		t.Errorf("two months later there are %d events", len(events))
	}
}

// Without a programme the calendar is empty, and the same programme is the same bytes.
func TestTheSameIsTheSame(t *testing.T) {
	if events := parse(t, feed.Calendar(programme.View{})).Events(); len(events) != 0 {
		t.Errorf("no programme has %d events", len(events))
	}
	a, b := feed.Calendar(view("a", "b", "c", 1, 1, 1)), feed.Calendar(view("a", "b", "c", 1, 1, 1))
	if !bytes.Equal(a, b) {
		t.Error("written twice it differs")
	}
}
