package api

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// firms are the addresses of the firm itself.
func (a *api) firms() {
	route(a, "GET /me", "me", "The person who asks", func(ctx context.Context, by firm.Person, _ *nothing) (*answer[Me],
		error) {
		return shown(func(f firm.Firm) Me { return Me{viewPerson(by), f.ID, f.Name, f.Zone} })(a.Firm.Firm(ctx, by))
	})
	route(a, "GET /members", "members", "The people of the firm", all(a.Firm.Members, func(m firm.Member) Member {
		return Member{viewPerson(m.Person), m.Email, m.CreatedAt, m.LeftAt}
	}))
	route(a, "GET /build-ups", "buildUps", "The firm's standard build-ups", all(a.Firm.BuildUps, same[firm.BuildUp]))
	route(a, "PUT /build-ups/{build_up}", "saveBuildUp", "Adds or changes a standard build-up", a.saveBuildUp)
}

// Me is who asks.
type Me struct {
	Person
	Firm     id.Firm    `json:"firm" format:"uuid"`
	FirmName string     `json:"firm_name"`
	Zone     words.Zone `json:"zone" doc:"The firm's time zone (IANA): its days begin and end there."`
}

// Person is somebody of the firm.
type Person struct {
	ID    id.Member   `json:"id" format:"uuid"`
	Name  string      `json:"name"`
	Role  firm.Role   `json:"role" enum:"owner,foreman,trade,client"`
	Trade words.Trade `json:"trade,omitempty" doc:"Of a trade."`
}

func viewPerson(p firm.Person) Person { return Person{p.ID, p.Name, p.Role, p.Trade} }

// Member is a person with the days between which they belong to the firm.
type Member struct {
	Person
	Email string    `json:"email,omitempty" doc:"By which a provider may know the person; the owner sees it, and the person."`
	Since time.Time `json:"since"`
	Left  time.Time `json:"left,omitzero"`
}

// BuildUpWords are what somebody says of a build-up.
type BuildUpWords struct {
	firm.BuildUp
	ID absent `json:"id,omitzero"`
}

func (a *api) saveBuildUp(ctx context.Context, by firm.Person, in *struct {
	BuildUp id.BuildUp `path:"build_up" format:"uuid"`
	Body    BuildUpWords
}) (*answer[firm.BuildUp], error) {
	if err := made("path.build_up", in.BuildUp); err != nil {
		return nil, err
	}
	in.Body.BuildUp.ID = in.BuildUp
	return shown(same[firm.BuildUp])(a.Firm.SaveBuildUp(ctx, by, in.Body.BuildUp))
}
