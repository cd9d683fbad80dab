// Package deed is the only way in which the record of a room changes. Whatever
// somebody does is a Deed: one file has its form, its checks, what it does, what
// it clashes with and its JSON. Pages, the API, the phone's outbox and the sums
// without signal hand in the same value.
//
// A phone may have been without signal for hours. Its acts are taken each once,
// however often they are sent; nothing is lost; and nothing that somebody else
// wrote meanwhile is silently overwritten. An act says up to which entry of the
// job's diary the person had seen the record. What others wrote about the same
// thing after that entry they cannot have known: then both are kept, and they or
// the foreman choose.
package deed

import (
	"context"
	"encoding/json"
	"reflect"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Kind is what sort of thing was done, as sent and as stored.
type Kind string

// Deed is one thing that somebody does to a room. Kinds has a line for each.
type Deed interface {
	// do does it, or holds it back where others wrote about the same thing.
	do(ctx context.Context, t *Taking) error
}

// forced is a deed that can be held back: force puts what was held back in the
// place of what others wrote.
type forced interface {
	force(ctx context.Context, w *Writing, c clash) error
}

// besides is a deed that can stand beside what others wrote.
type besides interface {
	beside(ctx context.Context, w *Writing) error
}

// reads is a deed that leaves readings, on which there is a verdict.
type reads interface{ Readings() []id.Measurement }

// Readings are the readings that a deed leaves.
func Readings(d Deed) []id.Measurement {
	if r, ok := d.(reads); ok {
		return r.Readings()
	}
	return nil
}

// Sort is what is the same for all deeds of a kind.
type Sort struct {
	Kind Kind
	// May is who may do it.
	May firm.Policy
	// At is where its form is posted to, below the room's address; a part that begins
	// with ":" stands for the record or the stage that it is about. Empty: phones do
	// not send it.
	At string
	// Room: its form cannot be read without the room.
	Room bool
	// Teaches: it bears on the sums.
	Teaches bool
	// Brought says what an act brought, for the diary.
	Brought string
	// Done says that it is done, on the page that is shown then; empty where the page
	// itself shows it.
	Done  string
	form  func(*Sent) (Deed, error)
	names []string // what fields are called here, each with its name in the form
	json  func(json.RawMessage) (Deed, error)
	of    reflect.Type
}

// Sent is the form of a deed as it came.
type Sent struct {
	*Form
	// One is the part of the form's address that says what it is about.
	One string
	// Standing is the room, for sorts that need it.
	Standing *standing.Standing
	// BuildUps are the firm's standard ones, for forms that offer them.
	BuildUps []firm.BuildUp
}

// Read reads a form. Faults: BadInput, with all that is wrong with it; NotFound.
func (o *Sort) Read(s *Sent) (Deed, error) {
	d, err := o.form(s)
	if err != nil {
		return nil, err
	}
	return d, s.Err()
}

// Below returns At with a record or a stage in the place of what stands for it.
func (o *Sort) Below(one string) string {
	parts := strings.Split(o.At, "/")
	for i := range parts {
		if strings.HasPrefix(parts[i], ":") {
			parts[i] = one
		}
	}
	return strings.Join(parts, "/")
}

// One returns the part of an address that says what the deed is about, "" where
// there is none; ok reports whether a form of this sort is posted to the address.
func (o *Sort) One(room id.Room, path string) (one string, ok bool) {
	want, got := strings.Split("/rooms/"+room.String()+"/"+o.At, "/"), strings.Split(path, "/")
	if o.At == "" || len(want) != len(got) {
		return "", false
	}
	for i, part := range want {
		if strings.HasPrefix(part, ":") {
			one = got[i]
		} else if part != got[i] {
			return "", false
		}
	}
	return one, true
}

// OnForm returns faults the names that the fields have on the form.
func (o *Sort) OnForm(faults []fault.Field) []fault.Field {
	out := append([]fault.Field(nil), faults...)
	for i := range out {
		for k := 0; k+1 < len(o.names); k += 2 {
			if out[i].Path == o.names[k] {
				out[i].Path = o.names[k+1]
				break
			}
		}
	}
	return out
}

// named returns a reader of a form whose address says it all.
func named[T ~[16]byte, D Deed](deed func(T) D) func(*Sent) (Deed, error) {
	return func(s *Sent) (Deed, error) {
		one, err := id.Parse[T](s.One)
		return deed(one), err
	}
}

// ByID finds a record of a room by its id in an address.
func ByID[T ~[16]byte, V any](find func(T) (V, error), text string) (v V, err error) {
	of, err := id.Parse[T](text)
	if err != nil {
		return v, err
	}
	return find(of)
}

// inTurn is two deeds that one form asks for: both are done, or neither is.
// Whoever may do the first may do the other.
type inTurn struct{ first, then Deed }

func (d inTurn) do(ctx context.Context, t *Taking) error {
	if err := d.first.do(ctx, t); err != nil {
		return err
	}
	return d.then.do(ctx, t)
}

// otherRecord is the fault for an id that something else has.
func otherRecord() error {
	return &fault.Error{Kind: fault.Conflict, Msg: "Something else was written under this id."}
}

func bad(path, wrong, mend string) error {
	return &fault.Error{Kind: fault.BadInput, Msg: words.Capital(wrong) + ".",
		Fields: []fault.Field{{Path: path, Wrong: wrong, Mend: mend}}}
}

// sameAs refuses what differs from the record that has its id already.
func sameAs[T comparable](old, asked T) error {
	if old != asked {
		return otherRecord()
	}
	return nil
}

// longest is how many characters a reason or a note may have.
const longest = 400

// reason refuses a blank one.
func reason(why string) error {
	none := None("reason")
	switch {
	case strings.TrimSpace(why) == "":
	case words.Characters(why) > longest:
		none.Wrong = "the reason is over 400 characters"
	default:
		return nil
	}
	none.Path = "reason"
	return &fault.Error{Kind: fault.BadInput, Msg: "This needs a reason.", Fields: []fault.Field{none}}
}
