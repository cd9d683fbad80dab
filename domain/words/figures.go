package words

import (
	"math"
	"strconv"
	"time"
)

// Odds says a chance, 0 to 1, in tens: "about 1 in 30"; from 0.55 up "about
// 7 in 10". From 0.95 up it is "almost certain", under 0.001 "under 1 in
// 1,000"; what is no number is "not known".
func Odds(p float64) string {
	switch {
	case math.IsNaN(p):
		return "not known"
	case p >= 0.95:
		return "almost certain"
	case p >= 0.55:
		return "about " + strconv.FormatFloat(math.Round(p*10), 'f', 0, 64) + " in 10"
	case p < 0.001:
		return "under 1 in 1,000"
	}
	return "about 1 in " + roundOdds(1/p)
}

// roundOdds rounds n to a figure that can be said: ones below ten, tens below
// a hundred, hundreds above.
func roundOdds(n float64) string {
	step := 1.0
	switch {
	case n >= 995:
		return "1,000"
	case n >= 95:
		step = 100
	case n >= 9.5:
		step = 10
	}
	return strconv.FormatFloat(math.Round(n/step)*step, 'f', 0, 64)
}

// Miss says the chance of what is not to be, of a chance p that it is.
func Miss(p float64) string { return Odds(1 - p) }

// MM is a length in whole millimetres, half away from zero.
func MM(v float64) string {
	r := math.Round(v)
	if r == 0 {
		r = 0 // no "-0"
	}
	return strconv.FormatFloat(r, 'f', 0, 64)
}

// Tenth is a length that is judged, in mm: with one decimal where it has one, half
// away from zero.
func Tenth(v float64) string {
	r := math.Round(v*10) / 10
	if r == 0 {
		r = 0 // no "-0"
	}
	return strconv.FormatFloat(r, 'f', -1, 64)
}

// PlusMinus is how far something may be off, mm, rounded up: "± 6".
func PlusMinus(v float64) string { return "± " + MM(math.Ceil(v-0.05)) }

// Saw is the hole saw of a cut-out, mm: "hole saw 76"; "no hole saw" for what comes
// through a hole for its cable alone.
func Saw(cutout float64) string {
	if cutout <= 0 {
		return "no hole saw"
	}
	return "hole saw " + Tenth(cutout)
}

// Checked says what a misread tape would have shown: slip is the smallest one, mm,
// that would have; 0 where none would.
func Checked(slip float64) string {
	if slip <= 0 {
		return "not checked: a misread tape would not show"
	}
	return "checked: a misread of about " + MM(math.Ceil(slip)) + " mm or more would have shown"
}

// Day is a day as people say it, weekday first: "Wednesday 25 November".
func Day(t time.Time) string { return t.Format("Monday 2 January") }

// DayTime is a day with the time: "Wednesday 25 November, 14:05".
func DayTime(t time.Time) string { return t.Format("Monday 2 January, 15:04") }

// Clock is a time of day: "14:05".
func Clock(t time.Time) string { return t.Format("15:04") }

// Date is a day with its year: "Wed 25 Nov 2026"; "no date" for the zero time.
func Date(t time.Time) string { return orNone(t, "Mon 2 Jan 2006") }

// DateTime is a Date with the time: "Wed 25 Nov 2026, 14:05".
func DateTime(t time.Time) string { return orNone(t, "Mon 2 Jan 2006, 15:04") }

func orNone(t time.Time, layout string) string {
	if t.IsZero() {
		return "no date"
	}
	return t.Format(layout)
}

// ShortDay is a day that fits under a state frame: "Wed 25 Nov"; empty for the
// zero time.
func ShortDay(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.Format("Mon 2 Jan")
}
