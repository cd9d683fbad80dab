package setoutsheet

import (
	"strings"
	"unicode/utf8"
)

// columns is the width of a line: a phone held upright, at a size that can be
// read from a ladder.
const columns = 44

// paper collects lines, none wider than columns.
type paper struct{ strings.Builder }

func (p *paper) line(s string) { p.WriteString(strings.TrimRight(s, " ") + "\n") }

// heading prints a title between two strokes.
func (p *paper) heading(stroke string, lines ...string) {
	p.line(strings.Repeat(stroke, columns))
	for _, l := range lines {
		p.para("", l)
	}
	p.line(strings.Repeat(stroke, columns))
}

// para prints text wrapped. The first line starts with lead, the others with
// as many spaces.
func (p *paper) para(lead, text string) {
	for i, l := range wrap(text, columns-width(lead)) {
		if i > 0 {
			lead = strings.Repeat(" ", width(lead))
		}
		p.line(lead + l)
	}
}

// row prints text with a figure at the right edge of its first line.
func (p *paper) row(lead, text, right string) {
	lines := wrap(text, columns-width(lead)-width(right)-1)
	for i, l := range lines {
		if i > 0 {
			p.line(strings.Repeat(" ", width(lead)) + l)
			continue
		}
		gap := columns - width(lead) - width(l) - width(right)
		p.line(lead + l + strings.Repeat(" ", gap) + right)
	}
}

// wrap breaks text into lines of up to most characters, at spaces where
// possible. There is always at least one line.
func wrap(text string, most int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(text) {
		for width(word) > most { // a name longer than a line
			if line != "" {
				lines = append(lines, line)
				line = ""
			}
			r := []rune(word)
			lines = append(lines, string(r[:most]))
			word = string(r[most:])
		}
		switch {
		case line == "":
			line = word
		case width(line)+1+width(word) > most:
			lines = append(lines, line)
			line = word
		default:
			line += " " + word
		}
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// width returns how many columns s takes, a column a character.
func width(s string) int { return utf8.RuneCountInString(s) }
