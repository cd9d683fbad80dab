package drawing

import (
	"fmt"
	"strings"
	"testing"
	"time"

	"lathmark/domain/words"

	"pgregory.net/rapid"
)

var monday = time.Date(2026, 11, 30, 0, 0, 0, 0, time.UTC)

func chartOf(days int) Chart {
	c := Chart{From: monday, Days: days, Today: monday.AddDate(0, 0, 2), Wide: 1000, Off: map[time.Time]bool{}}
	for i := -20; i < days+20; i++ {
		if on := monday.AddDate(0, 0, i); on.Weekday() == time.Saturday || on.Weekday() == time.Sunday {
			c.Off[on] = true
		}
	}
	return c
}

// Law: no two things in one lane share a day, each is within the lanes, and there is no lane
// more than things that share one day.
func TestLanes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := chartOf(42)
		var l Line
		type span struct{ from, to time.Time }
		var all []span
		for i := range rapid.IntRange(0, 12).Draw(t, "bars") {
			from := monday.AddDate(0, 0, rapid.IntRange(-10, 50).Draw(t, fmt.Sprint("from", i)))
			to := from.AddDate(0, 0, rapid.IntRange(0, 9).Draw(t, fmt.Sprint("more", i)))
			l.Bars = append(l.Bars, Bar{From: from, To: to})
			all = append(all, span{from, to})
		}
		from := monday.AddDate(0, 0, rapid.IntRange(-10, 50).Draw(t, "dries"))
		l.Dries = []Drying{{From: from, Dry: from.AddDate(0, 0, 5)}}
		all = append(all, span{from, from.AddDate(0, 0, 4)})
		n, of := c.lanes(l)
		most := 1
		for day := monday; day.Before(monday.AddDate(0, 0, 42)); day = day.AddDate(0, 0, 1) {
			here := map[int]bool{}
			for i, s := range all {
				if day.Before(s.from) || day.After(s.to) {
					continue
				}
				if of[i] < 0 || of[i] >= n || here[of[i]] {
					t.Fatalf("on %s %d is in lane %d of %d: %v", day, i, of[i], n, here)
				}
				here[of[i]] = true
			}
			most = max(most, len(here))
		}
		for i, s := range all {
			if shown := c.shows(s.from, s.to); shown != (of[i] >= 0) {
				t.Fatalf("%v is in lane %d", s, of[i])
			}
		}
		if before := l.Dries[0].From.Before(monday); n > most && !before {
			for _, s := range all { // what began before the chart shares days that are not shown
				before = before || s.from.Before(monday)
			}
			if !before {
				t.Fatalf("%d lanes, and %d share a day", n, most)
			}
		}
	})
}

// A bar's boxes are on the days that are worked on, and on no others.
func TestBoxesAreOnDaysOfWork(t *testing.T) {
	c := chartOf(14)
	friday := monday.AddDate(0, 0, 4)
	got := c.boxes(Bar{From: friday, To: friday.AddDate(0, 0, 4)}) // Friday to Tuesday
	want := []box{{x0: c.x(friday) + 1.5, x1: c.x(friday.AddDate(0, 0, 1)) - 1.5},
		{x0: c.x(friday.AddDate(0, 0, 3)) + 1.5, x1: c.x(friday.AddDate(0, 0, 5)) - 1.5}}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("boxes %v, want %v", got, want)
	}
	if late := c.boxes(Bar{From: monday.AddDate(0, 0, -3), To: monday}); len(late) != 1 || late[0].x0 != 1.5 {
		t.Errorf("what began before the chart has %v", late)
	}
	if none := c.boxes(Bar{From: friday.AddDate(0, 0, 1), To: friday.AddDate(0, 0, 2)}); none != nil {
		t.Errorf("a weekend has %v", none)
	}
}

// A line is well formed whatever things are called, each trade has a hatching of its own, and
// what is said of the trades and the marks is there in lines.
func TestLinesOfAChart(t *testing.T) {
	c, hatched := chartOf(14), map[string]bool{}
	var l Line
	for i, trade := range words.Trades {
		day := monday.AddDate(0, 0, i)
		l.Bars = append(l.Bars, Bar{From: day, To: day.AddDate(0, 0, 2), Trade: trade, Says: []string{"<first> & fix", "1"},
			Title: `"quoted" <b>`, Href: "/move?a=1&b=2", Move: "a|b", Critical: i%2 == 0, Pinned: true, Promised: true})
	}
	l.Dries = []Drying{{monday, monday.AddDate(0, 0, 3)}, {monday, monday}}
	l.Promises = []Promised{{On: monday, Danger: true, Title: "a & b"}, {On: monday.AddDate(1, 0, 0)}}
	for _, svg := range []string{string(c.Line(l)), string(c.Head()), string(c.Line(Line{})), string(TradeHatchings()),
		string(ChartKey("danger"))} {
		starts(t, svg)
	}
	for trade, h := range tradeHatches {
		if hatched[h.body] {
			t.Errorf("%s is hatched as another is", trade)
		}
		hatched[h.body] = true
	}
	for _, on := range words.Trades {
		if on != words.Client && tradeHatches[on].size == 0 {
			t.Errorf("%s has no hatching", on)
		}
	}
	if n := strings.Count(string(c.Line(l)), `class="promised danger"`); n != 1 {
		t.Errorf("%d promises in danger are drawn", n)
	}
}
