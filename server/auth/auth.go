// Package auth knows who asks. A session is an opaque token in a cookie; what
// is stored of it is a hash. How one gets a session is behind SignIn.
package auth

import (
	"context"
	"net/http"
	"net/url"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"

	"github.com/labstack/echo/v4"
)

// Offered is a person whom the sign-in page offers, with what to try as that
// person, in one line without a full stop; empty: nothing in particular.
type Offered struct {
	firm.Person
	Try string
}

// SignIn is how people sign in. A firm's one-time links work beside any of them.
type SignIn interface {
	// People returns those whom the sign-in page offers; none where it offers
	// nobody.
	People(ctx context.Context) ([]Offered, error)
	// Start starts a session for whom the sign-in form names, after it has
	// made sure of it. Faults: NotFound, Refused.
	Start(ctx context.Context, form url.Values) (firm.Person, string, error)
}

// Links signs people in with one-time links alone: the page offers nobody.
type Links struct{}

// People offers nobody.
func (Links) People(context.Context) ([]Offered, error) { return nil, nil }

// Start refuses everybody.
func (Links) Start(context.Context, url.Values) (firm.Person, string, error) {
	return firm.Person{}, "", &fault.Error{Kind: fault.Refused,
		Msg: "You sign in with a one-time link. Ask the owner of the firm for one, or the foreman for a code."}
}

// Demo offers everybody of one firm and takes their word for it. Only a server
// that was started as the demo has it.
type Demo struct {
	Firms *firm.Service
	Firm  id.Firm
	Try   map[string]string // what to try, by the person's name
}

// People returns everybody who is with the demo's firm.
func (d Demo) People(ctx context.Context) ([]Offered, error) {
	all, err := d.Firms.Members(ctx, firm.Person{Firm: d.Firm, Role: firm.Owner})
	if err != nil {
		return nil, err
	}
	var there []Offered
	for _, m := range all {
		if m.LeftAt.IsZero() && m.Role != firm.Client {
			there = append(there, Offered{m.Person, d.Try[m.Name]})
		}
	}
	return there, nil
}

// Start starts a session for the person that the field "person" names.
func (d Demo) Start(ctx context.Context, form url.Values) (firm.Person, string, error) {
	member, err := id.Parse[id.Member](form.Get("person"))
	if err != nil {
		return firm.Person{}, "", err
	}
	return d.Firms.StartSession(ctx, d.Firm, member)
}

// ErrNobody says that whoever asks has to sign in first.
var ErrNobody = echo.NewHTTPError(http.StatusUnauthorized, "nobody is signed in")
