package words

import (
	"fmt"
	"math"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"
)

// Day is a day as people say it, weekday first: "Wednesday 25 November".
func Day(t time.Time) string { return t.Format("Monday 2 January") }

// Odds puts a chance (0 to 1) into words of tens: "about 1 in 30". From a half
// up it is "more likely than not", under 1 in 1,000 "less than 1 in 1,000".
func Odds(p float64) string {
	switch {
	case p >= 0.5:
		return "more likely than not"
	case p < 0.001:
		return "less than 1 in 1,000"
	}
	n := 1 / p
	step := 1.0
	if n >= 95 {
		step = 100
	} else if n >= 9.5 {
		step = 10
	}
	if n = math.Round(n/step) * step; n >= 1000 {
		return "about 1 in 1,000"
	}
	return fmt.Sprintf("about 1 in %.0f", n)
}

// InWords puts a wall's or a room's name into a sentence: "the south wall",
// but "Bedroom 2" and "Anna's room" as they are, and "the WC".
func InWords(name string) string {
	if strings.ContainsFunc(name, unicode.IsDigit) || strings.ContainsAny(name, "'’") {
		return name
	}
	if name == strings.ToUpper(name) {
		return "the " + name
	}
	if rest, ok := strings.CutPrefix(strings.ToLower(name), "the "); ok {
		return "the " + rest
	}
	return "the " + mapFirst(name, unicode.ToLower)
}

// noStop is text without the full stop off what somebody typed, for use in a sentence.
func NoStop(typed string) string { return strings.TrimRight(typed, ". \n") }

// Capital is text with its first letter, or what stands for it, in upper case.
func Capital(s string) string { return mapFirst(s, unicode.ToUpper) }

func mapFirst(s string, f func(rune) rune) string {
	first, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(f(first)) + s[n:]
}
