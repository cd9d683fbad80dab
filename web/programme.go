package web

import (
	"fmt"
	"html/template"
	"math"
	"net/url"
	"slices"
	"strings"
	"time"

	"lathmark/domain/id"
	"lathmark/domain/programme"
	"lathmark/domain/words"
	"lathmark/web/drawing"
)

// Addresses of the programme.
const (
	ProgrammePath = "/programme"
	// MovePath is the form that puts a piece of work on a day; see MoveAt.
	MovePath  = "/programme/move"
	UnpinPath = "/programme/unpin" // a POST takes a pin out
)

// MoveAt is the address of the form that moves a piece of work.
func MoveAt(of programme.Piece) string { return MovePath + "?piece=" + url.QueryEscape(JoinPiece(of)) }

// JoinPiece returns a piece of work as one value of a form.
func JoinPiece(of programme.Piece) string {
	return of.Room.String() + "|" + of.Stage.Code() + "|" + string(of.Trade)
}

// SplitPiece reads such a value.
func SplitPiece(value string) (of programme.Piece, err error) {
	parts := strings.Split(value+"||", "|")
	if of.Room, err = id.Parse[id.Room](parts[0]); err != nil {
		return of, err
	}
	of.Stage, err = words.ParseStage(parts[1])
	of.Trade = words.Trade(parts[2])
	return of, err
}

// Programme is the foreman's wall chart: who comes when.
var Programme = Page[ProgrammeView]{"programme"}

// ProgrammeView is a programme from a day on.
type ProgrammeView struct {
	Sheet
	*programme.Programme           // nil: none is worked out yet
	From                 time.Time // the first day of the chart
	Earlier, Later       string    // addresses of the charts before and after
}

// chartWeeks are how many weeks a chart on a wide page or on paper shows, phoneDays how many
// days one on a phone.
const (
	chartWeeks = 6
	phoneDays  = 14
)

// ChartJob is a job on the chart.
type ChartJob struct {
	Name, Href   string
	Head, Line   template.HTML
	Rows         []ChartRow
	Ends, Behind string // when it ends, in a sentence; what is behind a promise
}

// ChartRow is a room on the chart.
type ChartRow struct {
	Name, Href string
	Line       template.HTML
}

// Head draws the chart's days.
func (v ProgrammeView) Head() template.HTML { return v.chart(v.From, 7*chartWeeks, 1024).Head() }

// Charts are the jobs as they are drawn on a wide page and on paper.
func (v ProgrammeView) Charts() []ChartJob {
	return v.charts(v.chart(v.From, 7*chartWeeks, 1024), true)
}

// Narrow are the jobs as they are drawn on a phone, where the lines below lead on.
func (v ProgrammeView) Narrow() []ChartJob { return v.charts(v.chart(v.Today, phoneDays, 350), false) }

func (v ProgrammeView) chart(from time.Time, days int, wide float64) drawing.Chart {
	off := map[time.Time]bool{}
	for _, day := range v.Off {
		off[day] = true
	}
	return drawing.Chart{From: from, Days: days, Today: v.Today, Off: off, Wide: wide}
}

func (v ProgrammeView) charts(c drawing.Chart, leads bool) (out []ChartJob) {
	for _, j := range v.Jobs {
		at := Place{Job: j.ID.String()}
		one := ChartJob{Name: j.Name, Href: at.JobPage(), Head: c.Head(), Ends: Sure(j.Days),
			Line: c.Line(drawing.Line{Promises: v.promised(j.ID, id.Room{})})}
		for _, r := range v.Rooms {
			if r.Job != j.ID {
				continue
			}
			l := drawing.Line{Bars: v.bars(r, leads), Promises: v.promised(j.ID, r.ID)}
			for _, s := range r.Stages {
				if from := s.Likely.AddDate(0, 0, 1); s.Dries.After(from) {
					l.Dries = append(l.Dries, drawing.Drying{From: from, Dry: s.Dries})
				}
			}
			one.Rows = append(one.Rows, ChartRow{r.Name, Place{Room: r.ID.String()}.RoomPage(), c.Line(l)})
		}
		out = append(out, one)
	}
	return out
}

// bars are the visits' work in a room.
func (v ProgrammeView) bars(r programme.Room, leads bool) (out []drawing.Bar) {
	for _, visit := range v.Visits {
		for _, p := range visit.Pieces {
			if p.Room != r.ID {
				continue
			}
			b := drawing.Bar{From: p.From, To: p.To, Trade: p.Trade, Says: stageSaid[p.Stage], Title: PlacedSays(visit, p),
				Critical: p.Critical >= 0.5, Pinned: visit.Pinned, Promised: visit.Promised}
			if leads && v.Person.Foreman {
				b.Href, b.Move = MoveAt(p.Piece), JoinPiece(p.Piece)
			}
			out = append(out, b)
		}
	}
	slices.SortStableFunc(out, func(a, b drawing.Bar) int { return a.From.Compare(b.From) })
	return out
}

// stageSaid are the stages as they are written on a bar, the longest first.
var stageSaid = [...][]string{{"First fix", "1st fix", "1st", "1"}, {"Boarding", "Boards", "B"},
	{"Plaster", "Pl", "P"}, {"Second fix", "2nd fix", "2nd", "2"}, {"Decoration", "Deco", "D"}}

// PlacedSays is all there is to say of a piece of work on its days.
func PlacedSays(v programme.Visit, p programme.Placed) string {
	says := p.RoomName + ", " + p.Stage.String() + ": " + v.Name + ", " + Span(p.From, p.To)
	if p.Amount != "" {
		says += "; " + p.Amount
	}
	if tens := math.Round(10 * p.Critical); tens > 0 {
		says += fmt.Sprintf("; a day later here is a day later at the end %g times in 10", tens)
	}
	if v.Pinned {
		says += "; pinned to its day"
	}
	if v.Promised {
		says += "; promised"
	}
	return says
}

// Span is a first day and a last: "Tue 8 Dec", "Tue 8 to Thu 10 Dec".
func Span(from, to time.Time) string {
	switch {
	case from.Equal(to):
		return words.ShortDay(from)
	case from.Year() == to.Year() && from.Month() == to.Month():
		return from.Format("Mon 2") + " to " + words.ShortDay(to)
	}
	return words.ShortDay(from) + " to " + words.ShortDay(to)
}

// Sure is when something ends and how sure that is, in a sentence.
func Sure(d programme.Days) string {
	switch {
	case d.SignedOff:
		return "Done on " + words.ShortDay(d.Likely) + "."
	case d.Likely.IsZero():
		return "No day yet."
	}
	says := "Likely " + words.ShortDay(d.Likely)
	if d.In80.After(d.Likely) {
		says += "; 8 times in 10 by " + words.ShortDay(d.In80)
	}
	return says + "."
}

// promised are the promises about a room, or about the whole of a job.
func (v ProgrammeView) promised(of id.Job, in id.Room) (out []drawing.Promised) {
	for _, p := range v.Promises {
		if p.Job == of && p.Room == in {
			out = append(out, drawing.Promised{On: p.On, Danger: inDanger(p), Title: p.Says})
		}
	}
	return out
}

// keptOdds are those below which a promise is in danger: the day that is kept in 80 of 100
// is later than it.
const keptOdds = 0.8

func inDanger(p programme.Kept) bool { return p.Odds < keptOdds }

// Span is how many days the chart shows.
func (v ProgrammeView) Span() int { return 7 * chartWeeks }
