package diary

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"
)

// Mark is a short form of an entry's hash, to be kept on paper or in another place:
// 80 bits, as 16 letters in fours. The letters i, l, o and u are not among them, so
// that it can be read off paper.
type Mark string

// markLetters are those of 5 bits each, the digits first.
const markLetters = "0123456789abcdefghjkmnpqrstvwxyz"

const markLength = 16

// Mark returns the mark of a hash.
func (h Hash) Mark() Mark {
	var out strings.Builder
	for i := range markLength {
		if i > 0 && i%4 == 0 {
			out.WriteByte('-')
		}
		bit := i * 5
		two := uint(h[bit/8])<<8 | uint(h[bit/8+1])
		out.WriteByte(markLetters[two>>(11-bit%8)&31])
	}
	return Mark(out.String())
}

// misread are letters that people take others for.
var misread = strings.NewReplacer("o", "0", "i", "1", "l", "1", "-", "", "u", "v")

// ParseMark reads a mark, in capitals or not, with its dashes or without.
func ParseMark(text string) (Mark, error) {
	text = misread.Replace(strings.ToLower(text))
	if len(text) != markLength || strings.Trim(text, markLetters) != "" {
		return "", errors.New("it is no mark")
	}
	return Mark(text[:4] + "-" + text[4:8] + "-" + text[8:12] + "-" + text[12:]), nil
}

// Kept is a mark that was kept of a job's diary.
type Kept struct {
	Mark    Mark
	Entries int64
	Job     string // its name then
	Line    int    // in the file it was read from
}

// String returns a line of a file of marks.
func (k Kept) String() string { return fmt.Sprintf("%s  %d  %s", k.Mark, k.Entries, k.Job) }

// ReadMarks reads a file of marks: in each line a mark, the number of entries and the
// job's name. Empty lines, and those that begin with #, are passed over. The error
// names every line that cannot be read, and what to write there.
func ReadMarks(in io.Reader) (out []Kept, err error) {
	lines, n := bufio.NewScanner(in), 0
	var wrong []error
	for lines.Scan() {
		n++
		text := strings.TrimSpace(lines.Text())
		if text == "" || text[0] == '#' {
			continue
		}
		k, why := readMark(text)
		if k.Line = n; why != "" {
			wrong = append(wrong, fmt.Errorf("line %d: %s", n, why))
			continue
		}
		out = append(out, k)
	}
	return out, errors.Join(append(wrong, lines.Err())...)
}

func readMark(text string) (k Kept, wrong string) {
	first, rest, _ := strings.Cut(text, " ")
	count, name, _ := strings.Cut(strings.TrimSpace(rest), " ")
	var err error
	if k.Mark, err = ParseMark(first); err != nil {
		return k, fmt.Sprintf("%q is no mark; write its 16 letters first, as in 7h2k-9qmz-04xt-c5dw", first)
	}
	if k.Entries, err = strconv.ParseInt(count, 10, 64); err != nil || k.Entries < 1 {
		return k, fmt.Sprintf("%q is no number of entries; write it after the mark, 1 or more", count)
	}
	if k.Job = strings.TrimSpace(name); k.Job == "" {
		return k, "the job's name is missing; write it after the number of entries"
	}
	return k, ""
}
