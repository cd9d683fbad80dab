package page

import (
	"errors"
	"net/url"
	"slices"
	"strconv"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/standing"

	"github.com/google/uuid"
	"github.com/labstack/echo/v4"
)

// form is a form as it was posted, as deeds read it.
type form struct{ *deed.Form }

// formOf reads the form of a request. Its token is made anew for every page
// that is drawn, by us, and tells one pressing of a button from another.
func formOf(c echo.Context) (*form, error) {
	values, err := c.FormParams()
	if err != nil {
		return nil, &fault.Error{Kind: fault.BadInput, Msg: "This form cannot be read.", Err: err}
	}
	if sent := c.Request().PostForm; sent != nil {
		values = sent
	}
	return newForm(values), nil
}

func newForm(values url.Values) *form {
	f := &form{&deed.Form{Values: values}}
	token, version, _ := strings.Cut(f.Get("token"), ".")
	f.Version, _ = strconv.ParseInt(version, 10, 64) // 0 where there is none
	var err error
	f.Token, err = uuid.Parse(token)
	if err != nil || f.Token.Version() != 7 {
		f.Token = uuid.Must(uuid.NewV7())
	}
	return f
}

// deed reads the form of a deed. one is what its address names, j the room for
// those that cannot be read without it.
func (f *form) deed(k deed.Kind, one string, j *standing.Standing) (deed.Deed, error) {
	return deed.Kinds[k].Read(&deed.Sent{Form: f.Form, One: one, Standing: j})
}

// withVersion is a page's token that also carries the version of what the page
// shows, so that two people who change it learn of each other.
func withVersion(token string, version int64) string {
	return token + "." + strconv.FormatInt(version, 10)
}

// bad notes that a field cannot be read.
func (f *form) bad(name, wrong, mend string) { f.Bad(name, wrong, mend) }

// err is the fault of all that was noted; nil where nothing was.
func (f *form) err() error { return f.Err() }

// number reads a length or a figure; an empty field is 0.
func (f *form) number(name string) float64 { return f.Number(name) }

// needed reads a figure that must be there.
func (f *form) needed(name, what string) float64 { return f.Needed(name, what) }

// count reads a whole number.
func (f *form) count(name, what string) int {
	text := f.Get(name)
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 || n > 500 {
		f.bad(name, "the number of "+what+" is missing or cannot be read", "Give 1 to 500")
	}
	return n
}

// newID is the id of what a form creates; n tells several records of one form
// apart.
func newID[T ~[16]byte](f *form, n int) T { return deed.NewID[T](f.Form, n) }

// mendable returns the fields to mend where err is about what was typed, or
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

// renamed returns the faults the names that the fields have on the page.
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
