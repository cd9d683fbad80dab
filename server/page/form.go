package page

import (
	"crypto/sha256"
	"errors"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/fault"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// form is a form as it was posted. Numbers that cannot be read are collected,
// so that a person learns of all of them at once.
type form struct {
	url.Values
	token uuid.UUID
	// version is that of the record that the page showed; 0: of none.
	version int64
	wrong   []fault.Field
}

// formOf reads the form of a request. Its token is made anew for every page
// that is drawn, by us, and tells one pressing of a button from another.
func formOf(c echo.Context) (*form, error) {
	values, err := c.FormParams()
	if err != nil {
		return nil, &fault.Error{Kind: fault.BadInput, Msg: "This form cannot be read.", Err: err}
	}
	f := &form{Values: c.Request().PostForm}
	if f.Values == nil {
		f.Values = values
	}
	token, version, _ := strings.Cut(f.Get("token"), ".")
	f.version, _ = strconv.ParseInt(version, 10, 64) // 0 where there is none
	f.token, err = uuid.Parse(token)
	if err != nil || f.token.Version() != 7 {
		f.token = uuid.Must(uuid.NewV7())
	}
	return f, nil
}

// withVersion is a page's token that also carries the version of what the page
// shows, so that two people who change it learn of each other.
func withVersion(token string, version int64) string {
	return token + "." + strconv.FormatInt(version, 10)
}

// Get is a field without blanks at its ends.
func (f *form) Get(name string) string { return strings.TrimSpace(f.Values.Get(name)) }

// bad notes that a field cannot be read.
func (f *form) bad(name, wrong, mend string) {
	f.wrong = append(f.wrong, fault.Field{Path: name, Wrong: wrong, Mend: mend})
}

// err is the fault of all that was noted; nil where nothing was.
func (f *form) err() error {
	if len(f.wrong) == 0 {
		return nil
	}
	return &fault.Error{Kind: fault.BadInput, Msg: "There is something to mend.", Fields: f.wrong}
}

// number reads a length or a figure; an empty field is 0.
func (f *form) number(name string) float64 {
	text := f.Get(name)
	if text == "" {
		return 0
	}
	x, ok := parseNumber(text)
	if !ok {
		f.bad(name, strconv.Quote(text)+" is no figure", "Give it in digits without a comma, such as 1200 or 12.5")
	}
	return x
}

// needed reads a figure that must be there.
func (f *form) needed(name, what string) float64 {
	if f.Get(name) == "" {
		f.bad(name, "there is no "+what, "Give it in millimetres")
		return 0
	}
	return f.number(name)
}

// count reads a whole number.
func (f *form) count(name, what string) int {
	text := f.Get(name)
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 500 {
		f.bad(name, "the number of "+what+" is missing or cannot be read", "Give 1 to 500")
	}
	return n
}

// parseNumber reads a figure as people write it: "1200", "12.5", "12,5",
// "1200 mm". Not-a-number and infinity are no figures, and "1,200" is none: one
// reads it as twelve hundred, another as a little over one.
func parseNumber(text string) (float64, bool) {
	text = strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(text), "mm"))
	if whole, part, ok := strings.Cut(text, ","); ok && len(part) != 3 {
		text = whole + "." + part
	}
	for _, r := range text {
		if (r < '0' || r > '9') && r != '.' && r != '-' && r != '+' {
			return 0, false
		}
	}
	x, err := strconv.ParseFloat(text, 64)
	return x, err == nil
}

// newID is the id of what a form creates: of version 7 (RFC 9562), its time
// that of the page the form was drawn on, the rest a hash of that page's token
// and of all that was typed. Pressing twice therefore makes one record, and
// going back to write another one makes another. n tells several records of
// one form apart.
func newID[T ~[16]byte](f *form, n int) T {
	h := sha256.New()
	h.Write(f.token[:])
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
	copy(out[:6], f.token[:6])
	out[6] = out[6]&0x0f | 0x70
	out[8] = out[8]&0x3f | 0x80
	return T(out)
}

// mendable gives the fields to mend where err is about what was typed, or
// about something else that was written under the same name or id; ok is false
// for all other errors, nil among them.
func mendable(err error) (fields []fault.Field, ok bool) {
	var f *fault.Error
	if !errors.As(err, &f) || f.Kind != fault.BadInput && f.Kind != fault.Conflict {
		return nil, false
	}
	if len(f.Fields) == 0 {
		return []fault.Field{{Wrong: strings.TrimSuffix(f.Msg, ".")}}, true
	}
	return f.Fields, true
}

// renamed gives the faults the names that the fields have on the page.
func renamed(fields []fault.Field, pairs ...string) []fault.Field {
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
