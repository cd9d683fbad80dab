package roomsheet

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// reader turns a tree into a room and gathers the faults of shape: fields that
// no rule can check because they are missing, unknown or of another kind.
type reader struct {
	faults
	who string // the record being read, as a sentence names it
}

// slot is a field that a record may have.
type slot struct {
	name string
	says string // in a sentence
	must bool
	zero bool // it may be 0
	into reflect.Value
}

// slots returns the fields of a record, as its type names them for JSON: one that
// may be left out is omitted where it is empty. The tag sheet holds the name in a
// sentence where that is another, and "zero" where leaving a number out means 0.
func slots(record reflect.Value) []slot {
	out := make([]slot, record.NumField())
	for i := range out {
		tag := record.Type().Field(i).Tag
		name, omitted, _ := strings.Cut(tag.Get("json"), ",")
		says, zero, _ := strings.Cut(tag.Get("sheet"), ",")
		out[i] = slot{name, cmp.Or(says, name), omitted == "", zero != "", record.Field(i)}
	}
	return out
}

// record reads a record field by field. what is its noun, for records without an
// id.
func (r *reader) record(n *node, at, what string, into reflect.Value) {
	if !r.isKind(n, at, object, "the "+what) {
		return
	}
	defer func(who string) { r.who = who }(r.who)
	r.who = n.named(what)
	seen, known := map[string]bool{}, slots(into)
	for i, name := range n.names {
		k := slices.IndexFunc(known, func(s slot) bool { return s.name == name })
		at := at + segment(name)
		switch {
		case k < 0 && len(r.list) == mostFaults:
			r.more++
		case k < 0:
			r.add(at, r.who+" has a field "+quote(name)+" that a room sheet does not know", mendField(name, known))
		case seen[name]:
			r.spoil(at, r.who+" has the field "+name+" twice", "Keep the one that is right")
		default:
			r.field(&n.items[i], at, known[k])
		}
		seen[name] = true
	}
	for _, s := range known {
		if s.must && !seen[s.name] {
			r.spoil(at+segment(s.name), r.who+" has no "+s.name, "Give its "+s.name)
		}
	}
}

// field reads one field of the record that is being read.
func (r *reader) field(n *node, at string, s slot) {
	switch into := s.into.Addr().Interface().(type) {
	case *string:
		r.text(n, at, s.says, into)
	case *float64:
		r.number(n, at, s.says, into)
		if n.kind == number && *into == 0 && !s.must && !s.zero && !r.spoiled[at] {
			r.spoil(at, r.its(s.says)+" is 0", "Give a number above 0, or leave it out for the usual one")
		}
	case *int:
		var whole float64
		r.number(n, at, s.says, &whole)
		if n.kind == number && !r.spoiled[at] && (whole < 1 || whole > mostWalls || whole != math.Trunc(whole)) {
			r.spoil(at, r.its(s.says)+" is "+n.text, "Give its place in the room's outline, from 1, or leave it out")
			whole = 0
		}
		*into = int(whole)
	case **Point:
		*into = &Point{}
		r.point(n, at, s.says, *into)
	case *Line:
		r.line(n, at, into)
	case **Line:
		*into = &Line{}
		r.line(n, at, *into)
	default:
		r.records(n, at, s)
	}
}

// records reads every record of a list. Those that cannot be read are still
// counted, so that the paths of the others stay right.
func (r *reader) records(n *node, at string, s slot) {
	if !r.isKind(n, at, array, r.its("list of "+s.says)) {
		return
	}
	for i := range n.items {
		one := reflect.New(s.into.Type().Elem()).Elem()
		r.record(&n.items[i], at+item(i), strings.ToLower(one.Type().Name()), one)
		s.into.Set(reflect.Append(s.into, one))
	}
}

// named returns what to call the record in a sentence: its id, else its noun.
func (n *node) named(what string) string {
	for i, name := range n.names {
		if id := &n.items[i]; name == "id" && id.kind == text && wrongName(id.text) == "" {
			return id.text
		}
	}
	return "this " + what
}

func mendField(name string, slots []slot) string {
	var known []string
	for _, s := range slots {
		known = append(known, s.name)
	}
	if k := nearest(name, known); k != "" {
		return "Is " + k + " meant? Correct the name or take the field out"
	}
	return "Take it out; the fields here are " + listed(known)
}

// isKind reports whether n is of a kind, and adds a fault if it is not. what
// names it in a sentence.
func (r *reader) isKind(n *node, at, kind, what string) bool {
	if n.kind == kind {
		return true
	}
	mend := "Give " + kind
	if n.kind == null {
		mend += ", or leave the field out"
	}
	r.spoil(at, fmt.Sprintf("%s is %s, not %s", what, n.kind, kind), mend)
	return false
}

// its names a field of the record being read.
func (r *reader) its(what string) string { return "the " + what + " of " + r.who }

// text reads a text that is not empty.
func (r *reader) text(n *node, at, what string, into *string) {
	if !r.isKind(n, at, text, r.its(what)) {
		return
	}
	if *into = n.text; n.text == "" {
		r.spoil(at, r.its(what)+" is empty", "Fill it in or leave the field out")
	}
}

// number reads a number that a float64 can hold.
func (r *reader) number(n *node, at, what string, into *float64) {
	if !r.isKind(n, at, number, r.its(what)) {
		return
	}
	x, err := strconv.ParseFloat(n.text, 64)
	if errors.Is(err, strconv.ErrRange) || math.IsInf(x, 0) {
		r.spoil(at, r.its(what)+" is a number too large to be anything on site", "Give it in millimetres")
		return
	}
	*into = x
}

// point reads a place [u, v].
func (r *reader) point(n *node, at, what string, into *Point) {
	if r.isPair(n, at, what, "numbers", "[u, v]") {
		r.number(&n.items[0], at+item(0), "u", &into[0])
		r.number(&n.items[1], at+item(1), "v", &into[1])
	}
}

// line reads [[u, v], [u, v]].
func (r *reader) line(n *node, at string, into *Line) {
	if !r.isPair(n, at, "line", "ends", "[[u, v], [u, v]]") {
		return
	}
	before := len(r.spoiled)
	for i := range n.items {
		r.point(&n.items[i], at+item(i), "end of the line", &into[i])
	}
	if len(r.spoiled) > before { // its length is not to be judged
		r.spoiled[at] = true
	}
}

// isPair reports whether n is a list of two, and adds a fault if it is not.
func (r *reader) isPair(n *node, at, what, nouns, as string) bool {
	if !r.isKind(n, at, array, r.its(what)) {
		return false
	}
	if len(n.items) != 2 {
		r.spoil(at, fmt.Sprintf("%s has %d %s, not 2", r.its(what), len(n.items), nouns), "Give "+as+" in millimetres")
	}
	return len(n.items) == 2
}
