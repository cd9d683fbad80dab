// Package programme is the pages of who comes when: the foreman's wall chart, what is said for it, and what a trade
// reads of its next weeks.
package programme

import (
	"net/http"
	"strconv"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/programme"
	"lathmark/domain/words"
	"lathmark/server/page/kit"
	"lathmark/web"

	"github.com/labstack/echo/v4"
)

// Pages are the handlers.
type Pages struct{ *kit.House }

// turned is how far the chart goes on at once.
const turned = 4 * 7

// Chart is the programme of all open jobs. A trade's own weeks are on a page of their own.
func (p *Pages) Chart(c echo.Context) error {
	if err := firm.MayRead(kit.Who(c)); err != nil {
		return err
	}
	if kit.TradeOf(kit.Who(c)) != words.Foreman {
		return c.Redirect(http.StatusSeeOther, web.NextWeeks)
	}
	got, err := p.Programme.Read(c.Request().Context(), kit.Who(c))
	if err != nil {
		return err
	}
	v := web.ProgrammeView{Sheet: p.Sheet(c, "Programme"), Programme: got.Programme, From: monday(got.Today)}
	if from, err := time.Parse(time.DateOnly, c.QueryParam("from")); err == nil && from.After(v.From) &&
		from.Before(v.From.AddDate(2, 0, 0)) {
		v.From = monday(from)
		v.Earlier = chartFrom(latest(v.From.AddDate(0, 0, -turned), monday(got.Today)))
	}
	v.Later = chartFrom(v.From.AddDate(0, 0, turned))
	v.Next = nextOf(v, got.Again)
	return kit.Draw(c, http.StatusOK, web.Programme, v)
}

// monday returns the first day of a day's week.
func monday(day time.Time) time.Time { return day.AddDate(0, 0, -(int(day.Weekday())+6)%7) }

func latest(a, b time.Time) time.Time {
	if a.After(b) {
		return a
	}
	return b
}

func chartFrom(day time.Time) string { return web.ProgrammePath + "?from=" + day.Format(time.DateOnly) }

// soon is how near the last day for an answer is where it is the next thing to see to.
const soon = 7 * 24 * time.Hour

// nextOf is what the foreman sees to first: a promise in danger, an answer that is owed
// soon, else whoever comes next.
func nextOf(v web.ProgrammeView, again bool) web.Next {
	if v.Programme == nil {
		return web.Next{Sentence: "The programme is being worked out. It is here in a minute."}
	}
	n := web.Next{Sentence: "Nothing to see to: no visit is planned."}
	if danger := v.Danger(); len(danger) > 0 {
		n = web.Next{Sentence: danger[0].Says, Action: "See how to keep it", Href: "#danger"}
		if len(danger) > 1 {
			n.Sentence = strconv.Itoa(len(danger)) + " promises are in danger. See to the first of them."
		}
	} else if len(v.Decide) > 0 && v.Decide[0].Latest.Before(v.Today.Add(soon)) {
		n = web.Next{Sentence: words.Capital(v.Decide[0].What) + ": needed now.", Action: "See what it costs",
			Href: "#decide"}
		if on := v.Decide[0].Latest; !on.IsZero() {
			n.Sentence = words.Capital(v.Decide[0].What) + ": needed by " + words.ShortDay(on) + "."
		}
	} else if len(v.Visits) > 0 {
		first := v.Visits[0]
		n = web.Next{Sentence: comes(first)}
	}
	if again {
		n.Sentence += " Something has changed since: it is being worked out again."
	}
	return n
}

func comes(v programme.Visit) string {
	return "Next: " + web.Comes(v) + " at " + v.JobName + ", " + web.Span(v.From, v.To) + "."
}

// day reads a day of a form; the service says where there is none.
func day(f *kit.Form, name string) time.Time {
	text := f.Get(name)
	if text == "" {
		return time.Time{}
	}
	on, err := time.Parse(time.DateOnly, text)
	if err != nil {
		f.Bad(name, strconv.Quote(text)+" is no day", "Give a day, as 2026-12-10")
	}
	return on
}
