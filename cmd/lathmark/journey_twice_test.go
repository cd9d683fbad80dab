package main

import (
	"testing"

	"github.com/chromedp/chromedp"
)

// Pressing twice, taking back, and nonsense: what was typed stays, and one reading is one row.
func TestJourneyTwiceBackAndNonsense(t *testing.T) {
	b := build(t)
	at, r := b.measured(t)
	spark := b.as(t, b.Electrician)
	count := func() int { return len(b.read(t, r.Record.ID).Record.Measurements) }
	before := count()

	spark.open(at + "/measure")
	spark.pad("D1")
	spark.pad("north wall, boarded")
	spark.fill("Reading", "1375", "")
	spark.must("button", "Save", "")
	spark.saved(chromedp.Steps(spark.touch(1), spark.touch(2)))
	if got := count(); got != before+1 {
		t.Errorf("pressing twice made %d rows", got-before)
	}
	spark.sees("1375 from north wall, boarded")

	// It was wrong: one press takes it back, and the form is where it was.
	spark.must("button", "That was wrong: take it back", "")
	spark.saved(spark.touch(1))
	spark.sees("The reading is struck out")
	all := b.read(t, r.Record.ID).Record.Measurements
	if last := all[len(all)-1]; len(all) != before+1 || last.StruckWhy != "taken back at once" {
		t.Errorf("taken back, the last of %d is %+v", len(all), last)
	}
	spark.sees("Reading: D1 from north wall, boarded")
	spark.fill("Reading", "1376", "")
	spark.saves("Save for D1")
	if got := count(); got != before+2 {
		t.Errorf("another reading made %d rows", got-before)
	}

	spark.open(at + "/measure")
	spark.pad("D1")
	spark.pad("north wall, boarded")
	spark.pad("Keep both as a check")
	spark.fill("Reading", "13o5", "")
	spark.mends("Save")
	spark.sees("13o5", "was read as 13 and letters")
	if got := spark.typed("Reading"); got != "13o5" {
		t.Errorf("of the reading is left %q", got)
	}
	datum := eval[string](spark, `document.querySelector("[name=datum]:checked").parentElement.textContent.trim()`)
	if datum != "north wall, boarded" {
		t.Errorf("of the datum is left %q", datum)
	}
	if got := count(); got != before+2 {
		t.Errorf("nonsense made %d rows", got-before-2)
	}

	// Back leads to the form again with what was typed, and records nothing.
	spark.open(at)
	spark.back()
	spark.sees("Reading: D1 from north wall, boarded")
	if got := spark.typed("Reading"); got != "13o5" {
		t.Errorf("going back leaves %q of the reading", got)
	}
	if got := count(); got != before+2 {
		t.Errorf("going back made %d rows", got-before-2)
	}
}
