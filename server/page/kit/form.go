package kit

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

// OnForm returns faults the names of the form's fields; those of the room sheet's
// check are about none.
func OnForm(of *deed.Sort) func([]fault.Field) []fault.Field {
	return func(faults []fault.Field) []fault.Field { return OnDatumForm(of.OnForm(faults)) }
}

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

// Form is a form as it was posted, as deeds read it.
type Form struct{ *deed.Form }

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
	f := &Form{&deed.Form{Values: values}}
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

// Deed reads the form of a deed. one is what its address names, j the room for
// those that cannot be read without it.
func (f *Form) Deed(k deed.Kind, one string, j *standing.Standing) (deed.Deed, error) {
	return deed.Kinds[k].Read(&deed.Sent{Form: f.Form, One: one, Standing: j})
}

// NewID is the id of what a form creates; n tells several records of one form
// apart.
func NewID[T ~[16]byte](f *Form, n int) T { return deed.NewID[T](f.Form, n) }

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
