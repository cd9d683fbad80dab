package drawing

import (
	"html/template"
	"math"
	"slices"
	"strings"
	"time"

	"lathmark/domain/words"
)

// Chart is days across, of which the lines of a programme are drawn one by one, so that a
// table holds them: its head is then on every printed page.
type Chart struct {
	From  time.Time // the first day that is shown
	Days  int
	Today time.Time
	Off   map[time.Time]bool // days on which nobody works
	Wide  float64            // units, of which one is a pixel where there is space for all
}

// Bar is work on consecutive days.
type Bar struct {
	From, To time.Time // the first day and the last
	Trade    words.Trade
	Says     []string // what is written on it, the longest first; the first that fits is
	Title    string   // all there is to say of it
	Href     string   // where touching it leads; "" for nowhere
	Move     string   // the piece of work, where it can be dragged
	Critical bool
	Pinned   bool
	Promised bool // to the trade
}

// Drying is from the first day on which something dries up to the day on which it can be dry.
type Drying struct{ From, Dry time.Time }

// Promised is a promised day.
type Promised struct {
	On     time.Time
	Danger bool
	Title  string
}

// Line is what is drawn of a room, or of a job as a whole.
type Line struct {
	Bars     []Bar
	Dries    []Drying
	Promises []Promised
}

// Heights of a line, in units: a lane has a bar, a rim lies above and below.
const (
	laneTall = 30.0
	barTall  = 22.0
	lineRim  = 5.0
	headTall = 38.0
)

// day returns the width of a day.
func (c Chart) day() float64 { return c.Wide / float64(c.Days) }

// x returns where a day begins, within the chart.
func (c Chart) x(day time.Time) float64 {
	n := math.Round(day.Sub(c.From).Hours() / 24)
	return math.Max(0, math.Min(n, float64(c.Days))) * c.day()
}

// shows reports whether any of the days from one up to another, that one too, is shown.
func (c Chart) shows(from, to time.Time) bool {
	return !to.Before(c.From) && from.Before(c.From.AddDate(0, 0, c.Days))
}

// Head draws the weeks and the days.
func (c Chart) Head() template.HTML {
	w := &writer{}
	c.open(w, headTall, ` aria-hidden="true"`)
	c.ground(w, headTall, headTall-18)
	for i := range c.Days {
		on := c.From.AddDate(0, 0, i)
		if i == 0 || on.Weekday() == time.Monday {
			c.week(w, on, c.Days-i)
		}
		x := (float64(i) + 0.5) * c.day()
		said := on.Format("2")
		if c.day() > 30 {
			said = on.Format("Mon")[:1] + said
		}
		class := "day"
		if c.Off[on] {
			class = "day off-day"
		}
		if on.Equal(c.Today) {
			class = "day now-day"
		}
		w.text(class, place{x: x, y: headTall - 6, anchor: "middle"}, said, "")
	}
	w.put(`</svg>`)
	return template.HTML(w.b.String())
}

// week writes the month where the days that are left of a week have room for it.
func (c Chart) week(w *writer, on time.Time, left int) {
	days := (8 - int(on.Weekday())) % 7
	if days == 0 {
		days = 7
	}
	room := float64(min(days, left)) * c.day()
	for _, said := range []string{on.Format("Mon 2 January"), on.Format("2 Jan")} {
		if widthOf("label", said, chartText) < room {
			w.text("week", place{x: c.x(on) + 3, y: 13, anchor: "start"}, said, "")
			return
		}
	}
}

// Line draws a line.
func (c Chart) Line(l Line) template.HTML {
	lanes, of := c.lanes(l)
	tall := 2*lineRim + float64(lanes)*laneTall
	w := &writer{}
	hidden := ""
	if len(l.Bars)+len(l.Promises) == 0 {
		hidden = ` aria-hidden="true"`
	}
	c.open(w, tall, hidden)
	c.ground(w, tall, 0)
	for i, d := range l.Dries {
		if lane := of[len(l.Bars)+i]; lane >= 0 {
			c.dries(w, d, lineRim+(float64(lane)+0.5)*laneTall)
		}
	}
	for i, b := range l.Bars {
		if of[i] >= 0 {
			c.bar(w, b, lineRim+float64(of[i])*laneTall+(laneTall-barTall)/2)
		}
	}
	for _, p := range l.Promises {
		if c.shows(p.On, p.On) {
			c.promise(w, p, tall)
		}
	}
	w.put(`</svg>`)
	return template.HTML(w.b.String())
}

// lanes puts bars and drying that would lie on one another into lanes of their own, and
// returns how many there are, with each one's: -1 where it is not shown. Bars come first,
// then what dries.
func (c Chart) lanes(l Line) (n int, of []int) {
	type span struct{ from, to time.Time }
	var all []span
	for _, b := range l.Bars {
		all = append(all, span{b.From, b.To})
	}
	for _, d := range l.Dries {
		all = append(all, span{d.From, d.Dry.AddDate(0, 0, -1)})
	}
	order := make([]int, len(all))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(i, k int) int { return all[i].from.Compare(all[k].from) })
	of = make([]int, len(all))
	var ends []time.Time
	for _, i := range order {
		of[i] = -1
		if !c.shows(all[i].from, all[i].to) {
			continue
		}
		of[i] = slices.IndexFunc(ends, func(end time.Time) bool { return all[i].from.After(end) })
		if of[i] < 0 {
			of[i], ends = len(ends), append(ends, time.Time{})
		}
		ends[of[i]] = all[i].to
	}
	return max(1, len(ends)), of
}

func (c Chart) open(w *writer, tall float64, more string) {
	w.put(`<svg xmlns="http://www.w3.org/2000/svg" class="chart" viewBox="0 0 %s %s"%s>`, num(c.Wide), num(tall), more)
}

// ground draws days off, the days, the weeks and today, from top downwards.
func (c Chart) ground(w *writer, tall, top float64) {
	for i := range c.Days {
		if on := c.From.AddDate(0, 0, i); c.Off[on] {
			w.put(`<rect class="off" x="%s" y="%s" width="%s" height="%s"/>`, num(c.x(on)), num(top), num(c.day()),
				num(tall-top))
		}
	}
	for i := range c.Days {
		on, y, class := c.From.AddDate(0, 0, i), top, "day-line"
		if on.Weekday() == time.Monday {
			y, class = 0, "week-line"
		}
		w.line(class, c.x(on), y, c.x(on), tall)
	}
	if c.shows(c.Today, c.Today) {
		x := c.x(c.Today)
		w.line("today", x, top, x, tall)
	}
}

// bar draws the days of work as boxes, with a line through the days off between them.
func (c Chart) bar(w *writer, b Bar, y float64) {
	tag := "g"
	if b.Href != "" {
		tag = "a"
	}
	w.put(`<%s class="%s"`, tag, b.class())
	if b.Href != "" {
		w.put(` href="%s"`, text(b.Href))
	}
	if b.Move != "" {
		w.put(` data-move="%s" data-on="%s"`, text(b.Move), b.From.Format(time.DateOnly))
	}
	w.put(`><title>%s</title>`, text(b.Title))
	widest := box{}
	boxes := c.boxes(b)
	if n := len(boxes); n > 1 {
		w.line("through", boxes[0].x1, y+barTall/2, boxes[n-1].x0, y+barTall/2)
	}
	for _, at := range boxes {
		w.put(`<rect class="ground" x="%s" y="%s" width="%s" height="%s"/>`, num(at.x0), num(y), num(at.x1-at.x0),
			num(barTall))
		w.put(`<rect class="box" fill="url(#%s)" x="%s" y="%s" width="%s" height="%s"/>`, tradeHatch(b.Trade), num(at.x0),
			num(y), num(at.x1-at.x0), num(barTall))
		if at.x1-at.x0 > widest.x1-widest.x0 {
			widest = at
		}
	}
	if len(boxes) > 0 {
		c.write(w, b, boxes[0].x0, widest, y)
	}
	w.put(`</%s>`, tag)
}

func (b Bar) class() string {
	if b.Critical {
		return "bar critical"
	}
	return "bar"
}

// boxes returns the runs of days that are worked on, with a hair's breadth between two bars.
func (c Chart) boxes(b Bar) (out []box) {
	open := false
	for on := b.From; !on.After(b.To); on = on.AddDate(0, 0, 1) {
		if !c.shows(on, on) || c.Off[on] {
			open = false
			continue
		}
		if !open {
			out = append(out, box{x0: c.x(on) + 1.5})
		}
		out[len(out)-1].x1, open = c.x(on)+c.day()-1.5, true
	}
	return out
}

// chartText is how tall the text of a chart is.
const chartText = 12.0

// write writes what fits on a bar, and marks it where it is pinned or promised.
func (c Chart) write(w *writer, b Bar, x float64, on box, y float64) {
	room := on.x1 - on.x0 - 6
	if on.x0 == x && b.Pinned {
		room -= 16
	}
	for _, said := range b.Says {
		if wide := widthOf("label", said, chartText); wide <= room {
			w.text("said", place{x: on.x1 - 3 - room/2, y: y + barTall/2 + 4.2, anchor: "middle"}, said, "")
			break
		}
	}
	if b.Pinned {
		w.put(`<path class="pinned" d="M%s %s%s"/>`, num(x-1), num(y-4), pinShape)
	}
	if b.Promised {
		w.put(`<path class="given" d="M%s %sl6 6l-6 6l-6 -6z"/>`, num(x), num(y+barTall-9))
	}
}

// dries draws a wave up to the day on which it can be dry.
func (c Chart) dries(w *writer, d Drying, y float64) {
	from, to := c.x(d.From)+2, c.x(d.Dry)-2
	var b strings.Builder
	const wave = 6.0
	for x, up := from, -1.0; x+wave <= to; x, up = x+wave, -up {
		b.WriteString("q" + num(wave/2) + " " + num(up*5) + " " + num(wave) + " 0")
	}
	if b.Len() == 0 {
		return
	}
	w.put(`<g class="dries"><title>Dries until %s</title><path d="M%s %s%s"/>`, words.ShortDay(d.Dry.AddDate(0, 0, -1)),
		num(from), num(y), b.String())
	w.put(`<path d="M%s %sv14"/></g>`, num(to), num(y-7))
}

// promise draws a promised day: a lozenge at its end on a line through all of it, crossed
// where it is in danger.
func (c Chart) promise(w *writer, p Promised, tall float64) {
	x, class := c.x(p.On)+c.day(), "promised"
	if p.Danger {
		class = "promised danger"
	}
	w.put(`<g class="%s"><title>%s</title><path d="M%s 0V%s"/><path class="lozenge" d="M%s 1%s"/>`, class,
		text(p.Title), num(x), num(tall), num(x), lozenge)
	if p.Danger {
		w.put(`<path d="M%s 5%s"/>`, num(x-4), crossed)
	}
	w.put(`</g>`)
}
