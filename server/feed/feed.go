// Package feed writes visits as a calendar reads them: iCalendar (RFC 5545). Every event is
// of whole days; its UID stays the same when the visit moves, and its SEQUENCE rises, so
// that calendars move it and have it once.
package feed

import (
	"bytes"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"lathmark/domain/programme"
	"lathmark/domain/words"
)

// Type is a calendar's media type.
const Type = "text/calendar; charset=utf-8"

// calledOffFor is how long a visit that was called off stays in the calendar as such.
const calledOffFor = 60 * 24 * time.Hour

const (
	stamp = "20060102T150405Z"
	date  = "20060102"
)

// Calendar returns the visits that somebody sees. The same visits are always the same bytes.
func Calendar(v programme.View) []byte {
	w := &writer{}
	w.line("BEGIN", "VCALENDAR")
	w.line("VERSION", "2.0")
	w.line("PRODID", "-//Lathmark//Visits//EN")
	w.line("CALSCALE", "GREGORIAN")
	w.line("X-WR-CALNAME", escaped("Visits, "+v.Firm.Name))
	w.line("REFRESH-INTERVAL;VALUE=DURATION", "PT1H")
	where := map[string]string{}
	for _, j := range v.Jobs {
		where[j.ID.String()] = j.Address
	}
	if v.Programme != nil {
		for _, one := range v.Programme.Visits {
			w.event(one, where[one.Job.String()], v.Programme.Made, "CONFIRMED")
		}
		for _, one := range v.Programme.Gone {
			if one.CalledOff() && v.Programme.Made.Sub(one.Since) < calledOffFor {
				w.event(one, where[one.Job.String()], v.Programme.Made, "CANCELLED")
			}
		}
	}
	w.line("END", "VCALENDAR")
	return w.b.Bytes()
}

// event writes a visit. What has no day of its last change has that of the programme.
func (w *writer) event(v programme.Visit, where string, made time.Time, status string) {
	since := v.Since
	if since.IsZero() {
		since = made
	}
	w.line("BEGIN", "VEVENT")
	w.line("UID", escaped(v.Key)+"@lathmark")
	w.line("SEQUENCE", strconv.Itoa(v.Sequence))
	w.line("DTSTAMP", since.UTC().Format(stamp))
	w.line("DTSTART;VALUE=DATE", v.From.Format(date))
	w.line("DTEND;VALUE=DATE", v.To.AddDate(0, 0, 1).Format(date)) // the first day after it
	w.line("SUMMARY", escaped(v.JobName+": "+stages(v)+" ("+v.Name+")"))
	var what []string
	for _, p := range v.Pieces {
		line := p.RoomName + ", " + p.Stage.String()
		if p.Amount != "" {
			line += ": " + p.Amount
		}
		what = append(what, line)
	}
	w.line("DESCRIPTION", escaped(strings.Join(what, "\n")))
	if where != "" {
		w.line("LOCATION", escaped(where))
	}
	w.line("STATUS", status)
	w.line("END", "VEVENT")
}

// stages names the stages of a visit once each, in the order in which they are done.
func stages(v programme.Visit) string {
	var out []string
	said := map[words.Stage]bool{}
	for _, p := range v.Pieces {
		if !said[p.Stage] {
			said[p.Stage], out = true, append(out, p.Stage.String())
		}
	}
	return words.List(out)
}

// escaped is a TEXT (section 3.3.11); a sign that no text may have is left out.
func escaped(s string) string {
	s = strings.NewReplacer(`\`, `\\`, ";", `\;`, ",", `\,`, "\r\n", `\n`, "\n", `\n`, "\r", `\n`).Replace(s)
	return strings.Map(func(r rune) rune {
		if r < 0x20 && r != '\t' || r == 0x7f {
			return -1
		}
		return r
	}, strings.ToValidUTF8(s, "\ufffd"))
}

type writer struct{ b bytes.Buffer }

// widest is how many bytes a line may have, without its end.
const widest = 75

// line writes a line of content, folded (section 3.1) between signs and never within one.
func (w *writer) line(name, value string) {
	rest, room := name+":"+value, widest
	for len(rest) > room {
		n := room
		for !utf8.RuneStart(rest[n]) {
			n--
		}
		w.b.WriteString(rest[:n] + "\r\n ")
		rest, room = rest[n:], widest-1 // the blank counts
	}
	w.b.WriteString(rest + "\r\n")
}
