// Package fault is the one error type of the domain. Everything that a person
// can cause or mend is a fault with a kind; everything else is an ordinary
// error, which only the log sees.
package fault

import (
	"errors"
	"strings"
)

// Kind says what sort of thing went wrong, coarsely enough for one table that
// maps kinds to answers (exit status, HTTP status).
type Kind string

// The kinds of fault.
const (
	// BadInput: what was given breaks a rule that can be told from it alone.
	BadInput Kind = "bad input"
	// NotFound: no such record, or none that this person may see.
	NotFound Kind = "not found"
	// Refused: this person may not do that.
	Refused Kind = "refused"
	// Conflict: somebody else changed the record first.
	Conflict Kind = "conflict"
	// Obstacle: a gate has an obstacle, or a signed record is frozen.
	Obstacle Kind = "obstacle"
	// Down: what the records are kept in cannot be reached, or not be written to, for
	// now. Nothing was recorded, and the same can be asked again.
	Down Kind = "down"
	// Unreadable: what is on record is nothing that this program writes, and only
	// whoever runs it can mend that.
	Unreadable Kind = "unreadable"
)

// Field is one thing wrong with what was given.
type Field struct {
	// Path names the place: a JSON path ("$.surfaces[0].datums[1].line") for
	// a document, a field's name for a form.
	Path string `json:"path"`
	// Wrong says what is wrong, as a sentence without a full stop.
	Wrong string `json:"wrong"`
	// Mend says what would put it right, as a sentence without a full stop.
	Mend string `json:"mend"`
}

// String returns the field as one line: path, what is wrong, what would mend it.
func (f Field) String() string {
	s := f.Path + ": " + f.Wrong
	if f.Mend != "" {
		s += ". " + f.Mend
	}
	return s
}

// Fields gathers everything that is wrong with what was given.
type Fields []Field

// If adds a field where it is wrong.
func (f *Fields) If(isWrong bool, path, wrong, mend string) {
	if isWrong {
		*f = append(*f, Field{path, wrong, mend})
	}
}

// Err returns the fault of having given these, or nil if nothing is wrong.
func (f Fields) Err(msg string) error {
	if len(f) == 0 {
		return nil
	}
	return &Error{Kind: BadInput, Msg: msg, Fields: f}
}

// Bad returns the fault of one wrong field.
func Bad(msg, path, wrong, mend string) error { return Fields{{path, wrong, mend}}.Err(msg) }

// Error is a fault: its kind, a sentence for a person, and, for bad input,
// every field that is wrong.
type Error struct {
	Kind   Kind
	Msg    string
	Fields []Field
	Err    error // the cause, for the log; never shown
}

// Error returns the message and then each field on a line of its own.
func (e *Error) Error() string {
	var b strings.Builder
	b.WriteString(e.Msg)
	for _, f := range e.Fields {
		b.WriteString("\n" + f.String())
	}
	return b.String()
}

// Unwrap returns the cause.
func (e *Error) Unwrap() error { return e.Err }

// KindOf returns the kind of the first fault in the chain of err, or "" if
// there is none.
func KindOf(err error) Kind {
	var e *Error
	if errors.As(err, &e) {
		return e.Kind
	}
	return ""
}
