package sums

import (
	"context"
	"net/url"
	"strings"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/standing"
	"lathmark/domain/verdict"

	"github.com/google/uuid"
)

// Act is one thing done on site, as the phone keeps it: a form with where it
// goes to. Kinds that teach the sums nothing are passed over.
type Act struct {
	ID   uuid.UUID  `json:"id"`
	Made time.Time  `json:"made"`
	Kind deed.Kind  `json:"kind"`
	At   string     `json:"at"` // the form's address: "/rooms/.../measure"
	Form url.Values `json:"form"`
}

// deed reads the act's form as the server will read it. The ids of what it
// leaves are those that the server gives, so that an act which the server has
// already adds nothing here.
func (a *Act) deed(of *deed.Sort, j *standing.Standing) (deed.Deed, error) {
	path, _, _ := strings.Cut(a.At, "?")
	parts := strings.Split(path, "/")
	if len(parts) < 3 {
		return nil, elsewhere()
	}
	parts[2] = j.Record.ID.String()
	one, ok := of.One(j.Record.ID, strings.Join(parts, "/"))
	if !ok {
		return nil, elsewhere()
	}
	form := &deed.Form{Values: url.Values{}, Token: a.ID}
	for name, values := range a.Form {
		form.Values[name] = values
	}
	return of.Read(&deed.Sent{Form: form, One: one, Standing: j})
}

func elsewhere() error {
	return &fault.Error{Kind: fault.BadInput, Msg: "It does not say which form it came from."}
}

// take returns a room after an act, and the verdict on its reading; of several
// readings that on the first that is asked about, else on the last.
func take(j *standing.Standing, a *Act, now time.Time) (*standing.Standing, *verdict.Verdict, error) {
	of, ok := deed.Kinds[a.Kind]
	if !ok || !of.Teaches {
		return j, nil, nil
	}
	d, err := a.deed(of, j)
	if err != nil {
		return nil, nil, err
	}
	own := *j.Record // its lists are never written to in place, see room.Put
	r := &own
	if err := deed.On(context.Background(), r, now, d); err != nil {
		return nil, nil, err
	}
	after, err := standing.Of(r, now)
	if err != nil {
		return nil, nil, err
	}
	var v *verdict.Verdict
	for _, of := range deed.Readings(d) {
		m, err := r.Measurement(of)
		if err != nil {
			continue
		}
		if v = verdict.Of(after, m); v.Question != "" {
			break
		}
	}
	return after, v, nil
}
