package api

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// Me is who asks.
type Me struct {
	Person
	Firm     id.Firm `json:"firm" format:"uuid"`
	FirmName string  `json:"firm_name"`
}

// Person is somebody of the firm.
type Person struct {
	ID    id.Member   `json:"id" format:"uuid"`
	Name  string      `json:"name"`
	Role  firm.Role   `json:"role" enum:"owner,foreman,trade,client"`
	Trade words.Trade `json:"trade,omitempty" doc:"Of a trade."`
}

func viewPerson(p firm.Person) Person { return Person{p.ID, p.Name, p.Role, p.Trade} }

func (a *api) me(ctx context.Context, by firm.Person, _ *nothing) (*answer[Me], error) {
	f, err := a.Firm.Firm(ctx, by)
	if err != nil {
		return nil, err
	}
	return body(Me{viewPerson(by), f.ID, f.Name}), nil
}

// Member is a person with the first and last day in the firm.
type Member struct {
	Person
	Email string    `json:"email,omitempty" doc:"By which a provider may know the person; the owner sees it, and the person."`
	Since time.Time `json:"since"`
	Left  time.Time `json:"left,omitzero"`
}

func (a *api) members(ctx context.Context, by firm.Person, _ *nothing) (*answer[list[Member]], error) {
	all, err := a.Firm.Members(ctx, by)
	if err != nil {
		return nil, err
	}
	return items(all, func(m firm.Member) Member { return Member{viewPerson(m.Person), m.Email, m.CreatedAt, m.LeftAt} }),
		nil
}

// BuildUp is a standard build-up.
type BuildUp struct {
	ID id.BuildUp `json:"id" format:"uuid"`
	BuildUpWords
}

// BuildUpWords are what somebody says of a build-up.
type BuildUpWords struct {
	Name   string         `json:"name" minLength:"1" maxLength:"120"`
	Layers []PlannedLayer `json:"layers" minItems:"1" maxItems:"12" doc:"In the order they go on."`
}

// PlannedLayer is a layer as it is planned.
type PlannedLayer struct {
	Name      string  `json:"name" minLength:"1" maxLength:"120"`
	Thickness float64 `json:"thickness" exclusiveMinimum:"0"`
	Sigma     float64 `json:"sigma,omitempty" minimum:"0" doc:"0: 20 % of the thickness."`
	Stage     Stage   `json:"stage"`
}

func planned(l PlannedLayer) firm.Layer {
	return firm.Layer{Name: l.Name, Thickness: l.Thickness, Sigma: l.Sigma, Stage: l.Stage.stage()}
}

func viewBuildUp(b firm.BuildUp) BuildUp {
	return BuildUp{b.ID, BuildUpWords{b.Name, each(b.Layers, func(l firm.Layer) PlannedLayer {
		return PlannedLayer{l.Name, l.Thickness, l.Sigma, stageOf(l.Stage)}
	})}}
}

func (a *api) buildUps(ctx context.Context, by firm.Person, _ *nothing) (*answer[list[BuildUp]], error) {
	all, err := a.Firm.BuildUps(ctx, by)
	if err != nil {
		return nil, err
	}
	return items(all, viewBuildUp), nil
}

func (a *api) saveBuildUp(ctx context.Context, by firm.Person, in *struct {
	BuildUp id.BuildUp `path:"build_up" format:"uuid"`
	Body    BuildUpWords
}) (*answer[BuildUp], error) {
	if err := made("path.build_up", in.BuildUp); err != nil {
		return nil, err
	}
	b, err := a.Firm.SaveBuildUp(ctx, by, firm.BuildUp{ID: in.BuildUp, Name: in.Body.Name,
		Layers: each(in.Body.Layers, planned)})
	if err != nil {
		return nil, err
	}
	return body(viewBuildUp(b)), nil
}
