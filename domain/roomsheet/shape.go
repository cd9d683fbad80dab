package roomsheet

import (
	"errors"
	"fmt"
	"math"
	"strconv"
)

// reader turns a tree into a room and gathers the faults of shape: fields that
// no rule can check because they are missing, unknown or of another kind.
type reader struct {
	faults
	who string // the record being read, as a sentence names it
}

// slot is one field that a record may have, and how it is read.
type slot struct {
	name string
	must bool
	read func(n *node, at string)
}

// object reads a record field by field. what is the record's noun, for records
// without an id.
func (r *reader) object(n *node, at, what string, slots ...slot) {
	if !r.isKind(n, at, object, "the "+what) {
		return
	}
	defer func(who string) { r.who = who }(r.who)
	r.who = n.named(what)
	seen := map[string]bool{}
	for i := range n.members {
		m := &n.members[i]
		s := find(slots, m.name)
		switch {
		case s == nil && len(r.list) == mostFaults:
			r.more++
		case s == nil:
			r.add(at+segment(m.name), r.who+" has a field "+quote(m.name)+" that a room sheet does not know",
				mendField(m.name, slots))
		case seen[m.name]:
			r.spoil(at+segment(m.name), r.who+" has the field "+m.name+" twice", "Keep the one that is right")
		default:
			s.read(&m.value, at+segment(m.name))
		}
		seen[m.name] = true
	}
	for _, s := range slots {
		if s.must && !seen[s.name] {
			r.spoil(at+segment(s.name), r.who+" has no "+s.name, "Give its "+s.name)
		}
	}
}

// named returns what to call the record in a sentence: its id, else its noun.
func (n *node) named(what string) string {
	for _, m := range n.members {
		if m.name == "id" && m.value.kind == text && wrongName(m.value.text) == "" {
			return m.value.text
		}
	}
	return "this " + what
}

func find(slots []slot, name string) *slot {
	for i := range slots {
		if slots[i].name == name {
			return &slots[i]
		}
	}
	return nil
}

func mendField(name string, slots []slot) string {
	known := make([]string, len(slots))
	for i, s := range slots {
		known[i] = s.name
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

// each reads every item of a list. Items that cannot be read are still counted,
// so that the paths of the others stay right.
func (r *reader) each(what string, read func(n *node, at string)) func(n *node, at string) {
	return func(n *node, at string) {
		if r.isKind(n, at, array, r.its(what)) {
			for i := range n.items {
				read(&n.items[i], at+item(i))
			}
		}
	}
}

// text reads a text that is not empty.
func (r *reader) text(what string, into *string) func(n *node, at string) {
	return func(n *node, at string) {
		if !r.isKind(n, at, text, r.its(what)) {
			return
		}
		if *into = n.text; n.text == "" {
			r.spoil(at, r.its(what)+" is empty", "Fill it in or leave the field out")
		}
	}
}

// number reads a number that a float64 can hold.
func (r *reader) number(what string, into *float64) func(n *node, at string) {
	return func(n *node, at string) {
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
}

// positive reads a number for which leaving it out means the usual one, so
// that a 0 written down is a slip.
func (r *reader) positive(what string, into *float64) func(n *node, at string) {
	read := r.number(what, into)
	return func(n *node, at string) {
		read(n, at)
		if n.kind == number && *into == 0 && !r.spoiled[at] {
			r.spoil(at, r.its(what)+" is 0", "Give a number above 0, or leave it out for the usual one")
		}
	}
}

// point reads a place [u, v].
func (r *reader) point(what string, into *Point) func(n *node, at string) {
	return func(n *node, at string) {
		if !r.isKind(n, at, array, r.its(what)) {
			return
		}
		if len(n.items) != 2 {
			r.spoil(at, fmt.Sprintf("%s has %d numbers, not 2", r.its(what), len(n.items)), "Give [u, v] in millimetres")
			return
		}
		for i, axis := range []string{"u", "v"} {
			r.number(axis, &into[i])(&n.items[i], at+item(i))
		}
	}
}

// line reads [[u, v], [u, v]].
func (r *reader) line(into *Line) func(n *node, at string) {
	return func(n *node, at string) {
		if !r.isKind(n, at, array, r.its("line")) {
			return
		}
		if len(n.items) != 2 {
			r.spoil(at, fmt.Sprintf("%s has %d ends, not 2", r.its("line"), len(n.items)),
				"Give [[u, v], [u, v]] in millimetres")
			return
		}
		before := len(r.spoiled)
		for i := range n.items {
			r.point("end of the line", &into[i])(&n.items[i], at+item(i))
		}
		if len(r.spoiled) > before { // its length is not to be judged
			r.spoiled[at] = true
		}
	}
}
