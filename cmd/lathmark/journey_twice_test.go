package main

import "testing"

// Pressing twice, going back, and nonsense: what was typed stays, and one reading is one row.
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
	spark.twice("Put on record")
	if got := count(); got != before+1 {
		t.Errorf("pressing twice made %d rows", got-before)
	}
	spark.sees("1375 from north wall, boarded")
	spark.back()
	if got := spark.typed("Reading"); got != "1375" {
		t.Errorf("after going back the reading is %q", got)
	}
	spark.press("Put on record")
	if got := count(); got != before+1 {
		t.Errorf("pressing once more after going back made %d rows", got-before)
	}
	// Another reading written on the same page is another one.
	spark.back()
	spark.fill("Reading", "1376", "")
	spark.press("Put on record")
	if got := count(); got != before+2 {
		t.Errorf("another reading on the page gone back to made %d rows", got-before)
	}

	spark.open(at + "/measure")
	spark.pad("D1")
	spark.pad("north wall, boarded")
	spark.pad("Keep both as a check")
	spark.fill("Reading", "13o5", "")
	spark.mends("Put on record")
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
}
