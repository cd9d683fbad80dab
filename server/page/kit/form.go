package kit

import (
	"errors"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/roomsheet"
	"lathmark/domain/typed"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// OnDatumForm returns faults of the room sheet's check the field they are about.
func OnDatumForm(faults []fault.Field) []fault.Field {
	out := Renamed(faults)
	for i := range out {
		if len(out[i].Path) > 0 && out[i].Path[0] == '$' {
			out[i].Path = ""
		}
	}
	return out
}

// Form is a form as it was posted. Numbers that cannot be read are collected,
// so that a person learns of all of them at once.
type Form struct {
	url.Values
	Token uuid.UUID
	// version is that of the record that the page showed; 0: of none.
	Version int64
	Wrong   []fault.Field
}

// FormOf reads the form of a request. Its token is made anew for every page
// that is drawn, by us, and tells one pressing of a button from another.
func FormOf(c echo.Context) (*Form, error) {
	values, err := c.FormParams()
	if err != nil {
		return nil, &fault.Error{Kind: fault.BadInput, Msg: "This form cannot be read.", Err: err}
	}
	if sent := c.Request().PostForm; sent != nil {
		values = sent
	}
	return NewForm(values), nil
}

func NewForm(values url.Values) *Form {
	f := &Form{Values: values}
	token, version, _ := strings.Cut(f.Get("token"), ".")
	f.Version, _ = strconv.ParseInt(version, 10, 64) // 0 where there is none
	var err error
	f.Token, err = uuid.Parse(token)
	if err != nil || f.Token.Version() != 7 {
		f.Token = uuid.Must(uuid.NewV7())
	}
	return f
}

// WithVersion is a page's token that also carries the version of what the page
// shows, so that two people who change it learn of each other.
func WithVersion(token string, version int64) string {
	return token + "." + strconv.FormatInt(version, 10)
}

// Get is a field without blanks at its ends.
func (f *Form) Get(name string) string { return strings.TrimSpace(f.Values.Get(name)) }

// Bad notes that a field cannot be read.
func (f *Form) Bad(name, wrong, mend string) {
	f.Wrong = append(f.Wrong, fault.Field{Path: name, Wrong: wrong, Mend: mend})
}

// Err is the fault of all that was noted; nil where nothing was.
func (f *Form) Err() error {
	if len(f.Wrong) == 0 {
		return nil
	}
	return &fault.Error{Kind: fault.BadInput, Msg: "There is something to mend.", Fields: f.Wrong}
}

// typed is the form for those who read it with the phone.
func (f *Form) Reader() typed.Form { return typed.Form{Get: f.Get, Bad: f.Bad} }

// Number reads a length or a figure; an empty field is 0.
func (f *Form) Number(name string) float64 { return f.Reader().Number(name) }

// Needed reads a figure that must be there.
func (f *Form) Needed(name, what string) float64 { return f.Reader().Needed(name, what) }

// Count reads a whole number.
func (f *Form) Count(name, what string) int {
	text := f.Get(name)
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 500 {
		f.Bad(name, "the number of "+what+" is missing or cannot be read", "Give 1 to 500")
	}
	return n
}

// NewID is the id of what a form creates; n tells several records of one form
// apart.
func NewID[T ~[16]byte](f *Form, n int) T { return typed.ID[T](f.Token, f.Values, n) }

// Reading is newID of a measurement.
func (f *Form) Reading(n int) id.Measurement { return NewID[id.Measurement](f, n) }

// Mendable returns the fields to mend where err is about what was typed, or
// about something else that was written under the same name or id; ok is false
// for all other errors, nil among them.
func Mendable(err error) (fields []fault.Field, ok bool) {
	var f *fault.Error
	if !errors.As(err, &f) || f.Kind != fault.BadInput && f.Kind != fault.Conflict {
		return nil, false
	}
	if len(f.Fields) == 0 {
		return []fault.Field{{Wrong: strings.TrimSuffix(f.Msg, ".")}}, true
	}
	return f.Fields, true
}

// Renamed returns the faults the names that the fields have on the page.
func Renamed(fields []fault.Field, pairs ...string) []fault.Field {
	out := slices.Clone(fields)
	for i := range out {
		for k := 0; k+1 < len(pairs); k += 2 {
			if out[i].Path == pairs[k] {
				out[i].Path = pairs[k+1]
			}
		}
	}
	return out
}

func Lines(text string) []string { return strings.Split(strings.ReplaceAll(text, "\r\n", "\n"), "\n") }

// ParsePoint reads "3600 0" or "3600; 0".
func ParsePoint(text string) (p roomsheet.Point, ok bool) {
	words := strings.FieldsFunc(text, func(r rune) bool { return r == ' ' || r == '\t' || r == ';' })
	if len(words) != 2 {
		return p, false
	}
	var okU, okV bool
	p[0], okU = typed.Number(words[0])
	p[1], okV = typed.Number(words[1])
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
