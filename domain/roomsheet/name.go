package roomsheet

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// longest is how long a name may be, in characters.
const longest = 60

// wrongName says what is wrong with a name (an id, a room's name, a kind), or
// "" if nothing is. A name is printed on sheets and spoken on site, so it has
// nothing in it that cannot be seen.
func wrongName(s string) string {
	switch {
	case s == "":
		return "is empty"
	case !utf8.ValidString(s):
		return "is not UTF-8 text"
	case utf8.RuneCountInString(s) > longest:
		return "is longer than 60 characters"
	case strings.ContainsFunc(s, unseen):
		return "has a control character in it"
	case strings.TrimSpace(s) != s:
		return "starts or ends with a space"
	}
	return ""
}

// unseen reports whether a character moves the cursor, breaks the line or turns
// the writing direction: with such a one, two names that look the same would
// not be.
func unseen(r rune) bool {
	return unicode.In(r, unicode.Cc, unicode.Zl, unicode.Zp) ||
		r >= 0x202A && r <= 0x202E || r >= 0x2066 && r <= 0x2069
}

// nearest returns the known name that somebody most likely meant, or "".
func nearest(name string, known []string) string {
	if len(name) > 4*longest {
		return ""
	}
	for _, k := range known {
		if plainName(k) == plainName(name) {
			return k
		}
	}
	for _, k := range known {
		if oneSlip(plainName(name), plainName(k)) {
			return k
		}
	}
	return ""
}

// plainName returns a name without what people write differently: capitals,
// spaces, dashes.
func plainName(s string) string {
	return strings.ToLower(only(s, func(r rune) bool { return unicode.IsLetter(r) || unicode.IsDigit(r) }))
}

// oneSlip reports whether two names are one slip of the finger apart: a letter
// too many, too few, wrong, or two swapped. Digits never count as a slip: D4
// is not D5, and short names are too close to each other to guess at.
func oneSlip(a, b string) bool {
	x, y := []rune(a), []rune(b)
	if len(x) > len(y) {
		x, y = y, x
	}
	if len(x) < 3 || len(y)-len(x) > 1 || only(a, unicode.IsDigit) != only(b, unicode.IsDigit) {
		return false
	}
	i := 0
	for i < len(x) && x[i] == y[i] {
		i++
	}
	if len(x) < len(y) {
		return string(x[i:]) == string(y[i+1:])
	}
	if i == len(x) || string(x[i+1:]) == string(y[i+1:]) {
		return true
	}
	return i+1 < len(x) && x[i] == y[i+1] && x[i+1] == y[i] && string(x[i+2:]) == string(y[i+2:])
}

// only returns the characters of a name that it should keep.
func only(s string, keep func(rune) bool) string {
	return strings.Map(func(r rune) rune {
		if keep(r) {
			return r
		}
		return -1
	}, s)
}
