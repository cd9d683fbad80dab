package roomsheet

import (
	"fmt"
	"slices"
	"sort"
	"strconv"
	"strings"

	"lathmark/domain/fault"
)

// mostFaults bounds the list of faults. A document with more is not a sheet
// with slips in it but something else.
const mostFaults = 1000

// faults gathers everything that is wrong with one sheet.
type faults struct {
	list []fault.Field
	more int // found after the list was full
	// spoiled holds the paths of what could not be read, so that no rule
	// complains about the same thing a second time.
	spoiled map[string]bool
}

// add adds a fault. Wrong and mend are sentences without a full stop.
func (f *faults) add(path, wrong, mend string) {
	if len(f.list) == mostFaults {
		f.more++
		return
	}
	f.list = append(f.list, fault.Field{Path: path, Wrong: wrong, Mend: mend})
}

// spoil adds a fault and silences all rules about its place.
func (f *faults) spoil(path, wrong, mend string) {
	if f.spoiled == nil {
		f.spoiled = map[string]bool{}
	}
	f.spoiled[path] = true
	f.add(path, wrong, mend)
}

// rule adds a broken rule, unless the place or what holds it could not be read
// in the first place.
func (f *faults) rule(path, wrong, mend string) {
	if !f.spoiledAt(path) {
		f.add(path, wrong, mend)
	}
}

// spoiledAt reports whether path or anything that holds it could not be read.
func (f *faults) spoiledAt(path string) bool {
	if len(f.spoiled) == 0 {
		return false
	}
	for path != "" {
		if f.spoiled[path] {
			return true
		}
		path = path[:max(strings.LastIndexAny(path, ".["), 0)]
	}
	return false
}

// err returns all faults as one error, or nil if there are none.
func (f *faults) err() error {
	if len(f.list) == 0 {
		return nil
	}
	n := len(f.list) + f.more
	msg := fmt.Sprintf("%d things in this room sheet need mending", n)
	if n == 1 {
		msg = "One thing in this room sheet needs mending"
	}
	list := f.list
	sort.SliceStable(list, func(i, j int) bool { return slices.Compare(place(list[i].Path), place(list[j].Path)) < 0 })
	if f.more > 0 {
		list = append(list, fault.Field{Path: "$", Wrong: fmt.Sprintf("%d more faults are not listed", f.more),
			Mend: "Mend these first"})
	}
	return &fault.Error{Kind: fault.BadInput, Msg: msg, Fields: list}
}

// fieldOrder is the order of fields in a document, for listing faults in the
// order in which they are met when the sheet is read from the top.
var fieldOrder = map[string]int{"format": 1, "room": 2, "surfaces": 3, "layers": 4, "now": 5,
	"datums": 6, "timbers": 7, "positions": 8, "measurements": 9}

// place turns a path into numbers that sort in the document's order.
func place(path string) []int {
	var out []int
	for _, step := range strings.FieldsFunc(path, func(r rune) bool { return r == '.' || r == '[' || r == ']' }) {
		n, err := strconv.Atoi(step)
		if err != nil {
			n = fieldOrder[step]
		}
		out = append(out, n)
	}
	return out
}

// quote puts a name that somebody else wrote into a sentence: in quotes, on one
// line, and shortened if it is long.
func quote(s string) string {
	if r := []rune(strings.ToValidUTF8(s[:min(len(s), 4*longest)], "\uFFFD")); len(r) > longest || len(s) > 4*longest {
		s = string(r[:min(len(r), longest)]) + "..."
	}
	return fmt.Sprintf("%q", s)
}

// listed puts names into a sentence: the first few, then how many more.
func listed(names []string) string {
	const few = 8
	var out []string
	for i, name := range names {
		if i == few {
			out = append(out, fmt.Sprintf("%d more", len(names)-few))
			break
		}
		out = append(out, short(name))
	}
	return strings.Join(out, ", ")
}

// short returns a name as it is if it is fit to print, else quoted.
func short(s string) string {
	if wrongName(s) == "" {
		return s
	}
	return quote(s)
}
