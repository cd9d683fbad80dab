package programme

import (
	"errors"
	"strings"
	"testing"
	"time"

	"lathmark/domain/fault"
)

func TestBankHolidaysComeWithTheProgram(t *testing.T) {
	all := Holidays(England)
	if len(all) != 83 {
		t.Errorf("%d days", len(all))
	}
	want := Holiday{time.Date(2026, 12, 28, 0, 0, 0, 0, time.UTC), "boxing day"}
	found := false
	for i, h := range all {
		found = found || h == want
		if i > 0 && !h.On.After(all[i-1].On) {
			t.Errorf("%v after %v", h, all[i-1])
		}
	}
	if !found || Holidays("") != nil || Holidays("Ohio") != nil {
		t.Error("Boxing Day of 2026 is kept on Monday 28 December, and nothing is known of other regions")
	}
}

func TestHolidaysOfAFile(t *testing.T) {
	got, err := ReadHolidays(strings.NewReader(
		"\ufeffdate,holiday,note\r\n# Ohio\r\n2026-11-26,thanksgiving,\r\n\r\n" +
			"2026-07-03,independence_day,observed\n2026-07-03,again,\n"))
	if err != nil || len(got) != 2 || got[0].Name != "independence day" || got[1].On.Day() != 26 {
		t.Errorf("%v, %v", got, err)
	}
	for text, path := range map[string]string{
		"": "file", "date,holiday,note\n": "file", "2026-01-01,new_year,\n": "line 1",
		"date,holiday,note\n1.1.2026,new_year,\n": "line 2", "date,holiday,note\n2026-02-30,x,\n": "line 2",
		"date,holiday,note\n2026-01-01,,\n": "line 2", "date,holiday,note\n" + strings.Repeat("2026-01-01,x,\n",
			1001): "file",
		"date,holiday,note\n2026-01-01," + strings.Repeat("x", 70_000): "file",
	} {
		_, err := ReadHolidays(strings.NewReader(text))
		var e *fault.Error
		if !errors.As(err, &e) || e.Kind != fault.BadInput || e.Fields[0].Path != path || e.Fields[0].Mend == "" {
			t.Errorf("%.40q: %v", text, err)
		}
	}
}

// The firm of a calendar with Christmas 2026 in it: Friday 25 is a holiday, and Monday 28
// for Boxing Day.
func christmas(given *Given) (days, *calendar) {
	d := newDays(given, Holidays(England))
	return d, newCalendar(d, given.Crews, monday, on(30), 60)
}

func TestDaysAndSlots(t *testing.T) {
	_, c := christmas(&Given{})
	for _, w := range []struct{ slot, day int }{{0, 30}, {3, 30}, {4, 1}, {19, 4}, {20, 7}, {4 * 18, 24}, {4 * 19, 29}} {
		if day := c.day(w.slot); !day.Equal(on(w.day)) && !(w.day == 29 && day.Equal(on(1).AddDate(0, 0, 28))) {
			t.Errorf("slot %d is on %s, want %d", w.slot, day, w.day)
		}
	}
	for _, w := range []struct{ day, slot int }{{30, 0}, {1, 4}, {5, 20}, {6, 20}, {7, 20}, {25, 4 * 19}, {28, 4 * 19}} {
		if slot := c.slot(on(1).AddDate(0, 0, map[bool]int{true: -1, false: w.day - 1}[w.day == 30])); slot != w.slot {
			t.Errorf("%d December begins with slot %d, want %d", w.day, slot, w.slot)
		}
	}
	// Beyond the calendar days follow without a gap, both ways.
	for slot := range 4 * 200 {
		if day := c.day(slot); c.slot(day) != slot-slot%SlotsADay {
			t.Fatalf("slot %d is on %s, which begins with %d", slot, day, c.slot(day))
		}
	}
}

// Work that ends on Wednesday 2 December at noon, slot 10, and dries 3 days, is dry on
// Saturday: Monday 7, slot 20. 7 days: Wednesday 9 at noon, slot 30. Nothing that dries
// none waits.
func TestDryingRunsOnOverDaysOff(t *testing.T) {
	_, c := christmas(&Given{})
	for _, w := range []struct{ end, dry, want int }{{10, 3, 20}, {10, 7, 30}, {10, 0, 10}, {12, 1, 16}, {9, 1, 13},
		{0, 2, 8}, {20, 1, 20}, {16, 1, 20}} {
		if got := c.dried(w.end, w.dry); got != w.want {
			t.Errorf("what ends before slot %d and dries %d days is dry in slot %d, want %d", w.end, w.dry, got, w.want)
		}
	}
}

// A crew that works Tuesdays to Thursdays, away on Wednesday 2: four slots from Monday are
// Tuesday's, six end on Thursday.
func TestACrewsOwnDays(t *testing.T) {
	crew := Crew{ID: [16]byte{1}, Week: [7]bool{time.Tuesday: true, time.Wednesday: true, time.Thursday: true}}
	g := &Given{Crews: []Crew{crew, {ID: [16]byte{2}}}, Away: []Away{{Crew: crew.ID, From: on(2), To: on(2)}}}
	d, c := christmas(g)
	f := newCrewDays(d, c, &g.Crews[0])
	for _, w := range []struct{ from, slots, start, end int32 }{{0, 4, 4, 8}, {0, 6, 4, 14}, {5, 1, 5, 6}, {8, 1, 12, 13},
		{13, 4, 13, 25}} {
		if start, end := f.do(w.from, w.slots); start != w.start || end != w.end {
			t.Errorf("%d slots from %d: %d to %d, want %d to %d", w.slots, w.from, start, end, w.start, w.end)
		}
	}
	g.Away = append(g.Away, Away{From: on(1), To: on(4)})
	_, c = christmas(g)
	if c.on[1] != 1 || !c.days[1].Equal(on(7)) {
		t.Errorf("the firm is closed until Friday, and the second day is %s", c.days[1])
	}
}

func TestWorkBeginsInTheMorningOrAfterNoon(t *testing.T) {
	for hour, want := range map[int]int{0: 0, 8: 0, 11: 0, 12: 2, 15: 2, 16: 4, 23: 4} {
		if got := begun(time.Date(2026, 11, 30, hour, 30, 0, 0, time.UTC)); got != want {
			t.Errorf("at %d:30 %d slots are gone, want %d", hour, got, want)
		}
	}
}
