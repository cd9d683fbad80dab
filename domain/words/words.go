// Package words has the trade's vocabulary: its stages, trades, kinds and
// outcomes, and how states, chances, lengths and days are said. What two pages
// say of one thing they say with a word from here.
package words

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"
)

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
	return "the " + Lower(name)
}

// Wall is the name of a face as people say it: one that is named for the side
// it lies on is a wall, "south" the "south wall".
func Wall(face string) string {
	side, _, _ := strings.Cut(face, " ")
	switch side {
	case "south", "east", "north", "west":
		if !strings.Contains(face, "wall") {
			return face + " wall"
		}
	}
	return face
}

// states are those that have a word of their own.
var states = map[string]string{"": Bare, Bare: Bare, "board": "boarded", "boards": "boarded", "dabs": "dabbed",
	"skim": "skimmed", "plaster": "plastered", "tile": "tiled", "tiles": "tiled", "batten": "battened",
	"battens": "battened", "render": "rendered", "screed": "screeded", "paint": "painted"}

// StateOf says the state of a face as people do: "bare", "boarded", "skimmed".
// A state is the name of the outermost layer; a name without a word of its own
// has "with" before it. No state at all is bare.
func StateOf(layer string) string {
	if said, ok := states[layer]; ok {
		return said
	}
	return "with " + layer
}

// List joins names as a sentence does: "D1, D2 and D3". From the seventh on
// they are counted.
func List(names []string) string {
	switch n := len(names); {
	case n == 0:
		return ""
	case n == 1:
		return names[0]
	case n > 6:
		return fmt.Sprintf("%s and %d more", strings.Join(names[:5], ", "), n-5)
	default:
		return strings.Join(names[:n-1], ", ") + " and " + names[n-1]
	}
}

// Count says how many: "no obstacles", "1 obstacle", "3 obstacles".
func Count(n int, noun string) string {
	many := noun + "s"
	if strings.HasSuffix(noun, "ch") {
		many = noun + "es"
	}
	switch n {
	case 0:
		return "no " + many
	case 1:
		return "1 " + noun
	}
	return fmt.Sprintf("%d %s", n, many)
}

// NoStop is what somebody typed without a full stop at its end, for use inside
// a sentence.
func NoStop(typed string) string { return strings.TrimRight(typed, ". \n") }

// Capital is text with its first letter in upper case.
func Capital(s string) string { return mapFirst(s, unicode.ToUpper) }

// Lower is text with its first letter in lower case; one that begins with a name, such as "D1 is not
// checked" or "LED strip", stays as it is.
func Lower(s string) string {
	_, n := utf8.DecodeRuneInString(s)
	if next, _ := utf8.DecodeRuneInString(s[n:]); unicode.IsDigit(next) || unicode.IsUpper(next) {
		return s
	}
	return mapFirst(s, unicode.ToLower)
}

func mapFirst(s string, f func(rune) rune) string {
	first, n := utf8.DecodeRuneInString(s)
	if n == 0 {
		return s
	}
	return string(f(first)) + s[n:]
}

// Characters counts the characters of a text, as messages and limits do; not
// its bytes.
func Characters(s string) int { return utf8.RuneCountInString(s) }
