package api

import (
	"context"
	"fmt"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// OfSurface is a request about one surface of a room.
type OfSurface struct {
	OfRoom
	Surface id.Surface `path:"surface" format:"uuid"`
}

// OfDatum is a request about one datum of a room.
type OfDatum struct {
	OfRoom
	Datum id.Datum `path:"datum" format:"uuid"`
}

// DatumDraft is something to measure from, as somebody asks for it.
type DatumDraft struct {
	ID        id.Datum        `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Surface   id.Surface      `json:"surface" format:"uuid"`
	Name      string          `json:"name" minLength:"1" maxLength:"120"`
	Kind      words.DatumKind `json:"kind" enum:"face,line,point"`
	A         roomsheet.Point `json:"a" doc:"Where it begins; the point itself."`
	B         roomsheet.Point `json:"b,omitzero" doc:"Where a face or line ends; the room is on its left."`
	Sigma     float64         `json:"sigma,omitempty" minimum:"0" doc:"0: 10 for a face, 2 for a line or point."`
	Lean      float64         `json:"lean,omitempty"`
	StaysBare bool            `json:"stays_bare,omitempty"`
}

func (a *api) addDatum(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Body DatumDraft
}) (*answer[Record], error) {
	d := in.Body
	if err := made("id", d.ID); err != nil {
		return nil, err
	}
	return recorded(a.Room.AddDatum(ctx, by, in.Room, room.Datum{ID: d.ID, Surface: d.Surface, Name: d.Name, Kind: d.Kind,
		A: d.A, B: d.B, Sigma: d.Sigma, Lean: d.Lean, StaysBare: d.StaysBare}))
}

func (a *api) removeDatum(ctx context.Context, by firm.Person, in *OfDatum) (*answer[Standing], error) {
	return standsNow(a.Room.RemoveDatum(ctx, by, in.Room, in.Datum))
}

func (a *api) staysBare(ctx context.Context, by firm.Person, in *struct {
	OfDatum
	Body struct {
		StaysBare bool `json:"stays_bare"`
	}
}) (*answer[Standing], error) {
	return standsNow(a.Room.SetStaysBare(ctx, by, in.Room, in.Datum, in.Body.StaysBare))
}

func (a *api) planBuildUp(ctx context.Context, by firm.Person, in *struct {
	OfSurface
	Body struct {
		Datums []id.Datum     `json:"datums" maxItems:"200" format:"uuid" doc:"The faces it goes on; none: the surface itself."`
		Layers []PlannedLayer `json:"layers" maxItems:"12" doc:"In the order they go on; none takes the plan back."`
	}
}) (*answer[Record], error) {
	return recorded(a.Room.PlanBuildUp(ctx, by, in.Room, deed.Plan{Surface: in.Surface, Datums: in.Body.Datums,
		Layers: each(in.Body.Layers, planned)}))
}

func (a *api) addTimbers(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Body struct {
		Timbers []Timber `json:"timbers" minItems:"1" maxItems:"500"`
	}
}) (*answer[Record], error) {
	for i, t := range in.Body.Timbers {
		if err := made(fmt.Sprintf("timbers[%d].id", i), t.ID); err != nil {
			return nil, err
		}
	}
	return recorded(a.Room.AddTimbers(ctx, by, in.Room, each(in.Body.Timbers, Timber.timber)))
}

func (a *api) removeTimber(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Timber id.Timber `path:"timber" format:"uuid"`
}) (*answer[Standing], error) {
	return standsNow(a.Room.RemoveTimber(ctx, by, in.Room, in.Timber))
}

func (a *api) joists(ctx context.Context, by firm.Person, in *struct {
	OfSurface
	Along   string  `query:"along" enum:"u,v" required:"true" doc:"Which way they run."`
	First   float64 `query:"first" minimum:"0" doc:"From the low side to the first centre line."`
	Spacing float64 `query:"spacing" required:"true" doc:"From centre to centre."`
	Width   float64 `query:"width" required:"true"`
	Depth   float64 `query:"depth" minimum:"0"`
}) (*answer[list[Timber]], error) {
	j, err := a.Room.Read(ctx, by, in.Room)
	if err != nil {
		return nil, err
	}
	on, err := j.Record.Surface(in.Surface)
	if err != nil {
		return nil, err
	}
	all, err := room.Joists(on.Outline, in.Along == "u", in.First, in.Spacing, in.Width, in.Depth)
	if err != nil {
		return nil, err
	}
	return items(all, func(t room.Timber) Timber {
		t.ID, t.Surface = id.New[id.Timber](), in.Surface
		return viewTimber(t)
	}), nil
}
