package deed

import (
	"crypto/sha256"
	"iter"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"

	"github.com/google/uuid"
)

// Form is a form that somebody filled in. The server reads one that a page sent
// with it, and the phone the same one while it is without signal, so that both
// take it to mean the same. What cannot be read is collected, so that a person
// learns of all of it at once.
type Form struct {
	url.Values
	// Token tells one pressing of a button from another.
	Token uuid.UUID
	// Version is that of the record that the page showed; 0: of none.
	Version int64
	Wrong   []fault.Field
}

// Get is a field without blanks at its ends.
func (f *Form) Get(name string) string { return strings.TrimSpace(f.Values.Get(name)) }

// Bad notes what is wrong with a field and what would mend it.
func (f *Form) Bad(name, wrong, mend string) {
	f.Wrong = append(f.Wrong, fault.Field{Path: name, Wrong: wrong, Mend: mend})
}

// Err is the fault of all that was noted; nil where nothing was.
func (f *Form) Err() error {
	if len(f.Wrong) == 0 {
		return nil
	}
	return &fault.Error{Kind: fault.BadInput, Msg: "Something needs correcting.", Fields: f.Wrong}
}

// ReadingID is NewID of a measurement.
func (f *Form) ReadingID(n int) id.Measurement { return NewID[id.Measurement](f, n) }

// ParsePoint reads "3600 0", "3600; 0" or "3600, 0".
func ParsePoint(text string) (p roomsheet.Point, ok bool) {
	two := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\t' || r == ';' })
	if len(two) != 2 {
		return p, false
	}
	var okU, okV bool
	p[0], okU = Number(strings.TrimSuffix(two[0], ","))
	p[1], okV = Number(two[1])
	return p, okU && okV
}

// Point reads a place that may be left out.
func (f *Form) Point(name string) *roomsheet.Point {
	if f.Get(name) == "" {
		return nil
	}
	p, ok := ParsePoint(f.Get(name))
	if !ok {
		f.Bad(name, strconv.Quote(f.Get(name))+" is no place", "Write two lengths in mm: 900 600")
		return nil
	}
	return &p
}

// Place reads a place that must be there; wrong and mend say so.
func (f *Form) Place(name, wrong, mend string) (p roomsheet.Point) {
	if got := f.Point(name); got != nil {
		return *got
	}
	f.Bad(name, wrong, mend)
	return p
}

// Ends reads both ends of a line, which must be there.
func (f *Form) Ends(from, to, wrong, mend string) (a, b roomsheet.Point) {
	p, q := f.Point(from), f.Point(to)
	if p == nil || q == nil {
		f.Bad(from, wrong, mend)
		return a, b
	}
	return *p, *q
}

// Named reads a name that must be there; wrong and mend say so.
func (f *Form) Named(name, wrong, mend string) string {
	if f.Get(name) == "" {
		f.Bad(name, wrong, mend)
	}
	return f.Get(name)
}

// Lines returns the lines of a field with their numbers; blank ones are left out.
func (f *Form) Lines(name string) iter.Seq2[int, string] {
	return func(yield func(int, string) bool) {
		n := 0
		for line := range strings.Lines(strings.ReplaceAll(f.Get(name), "\r\n", "\n")) {
			n++
			if line = strings.TrimSpace(line); line != "" && !yield(n, line) {
				return
			}
		}
	}
}

// Count reads a whole number; what names the things.
func (f *Form) Count(name, what string) int {
	n, err := strconv.Atoi(f.Get(name))
	if err != nil || n < 1 || n > 500 {
		f.Bad(name, "the number of "+what+" is missing or cannot be read", "Give 1 to 500")
	}
	return n
}

// Number reads a length, mm; an empty field is 0.
func (f *Form) Number(name string) float64 {
	if f.Get(name) == "" {
		return 0
	}
	x, wrong, mend := words.Length(f.Get(name))
	if wrong != "" {
		f.Bad(name, wrong, mend)
	}
	return x
}

// Degrees reads an angle; an empty field is 0.
func (f *Form) Degrees(name string) float64 {
	text := strings.TrimSpace(strings.TrimSuffix(f.Get(name), "°"))
	if text == "" {
		return 0
	}
	unsigned, minus := strings.CutPrefix(text, "-")
	x, ok := words.Figure(unsigned)
	if !ok {
		f.Bad(name, strconv.Quote(text)+" is no angle", "Give it in degrees, such as 45 or 22.5")
	}
	if minus {
		return -x
	}
	return x
}

// None is what is wrong with a field that must not be empty.
func None(what string) fault.Field {
	if what == "reason" {
		return fault.Field{Wrong: "there is no reason", Mend: "Say why, in a sentence"}
	}
	return fault.Field{Wrong: "there is no " + what, Mend: "Type it in millimetres, such as 1200, or as 1.2 m"}
}

// Needed reads a figure that must be there; what names it.
func (f *Form) Needed(name, what string) float64 {
	if f.Get(name) == "" {
		none := None(what)
		f.Bad(name, none.Wrong, none.Mend)
		return 0
	}
	return f.Number(name)
}

// Number reads a length as people type it, mm; see words.Length.
func Number(text string) (float64, bool) {
	x, wrong, _ := words.Length(text)
	return x, wrong == ""
}

// NewID is the id of what a form creates: of version 7 (RFC 9562), its time that
// of the form's token, the rest a hash of the token and of all that was typed.
// Sending a form twice therefore makes one record, and going back to write
// another one makes another. n tells several records of one form apart.
func NewID[T ~[16]byte](f *Form, n int) T {
	h := sha256.New()
	h.Write(f.Token[:])
	names := make([]string, 0, len(f.Values))
	for name := range f.Values {
		if name != "token" {
			names = append(names, name)
		}
	}
	slices.Sort(names)
	for _, name := range names {
		h.Write([]byte(url.Values{name: f.Values[name]}.Encode() + "\n"))
	}
	h.Write([]byte(strconv.Itoa(n)))
	out := uuid.UUID(h.Sum(nil)[:16])
	copy(out[:6], f.Token[:6])
	out[6] = out[6]&0x0f | 0x70
	out[8] = out[8]&0x3f | 0x80
	return T(out)
}
