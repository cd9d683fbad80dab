package api

import (
	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/words"
)

// surfaces are the addresses of surfaces, of datums and of what goes on them.
func (a *api) surfaces() {
	route(a, "POST /rooms/{room}/surfaces", "addSurface", "Adds a surface and the faces round it", does(a, recorded,
		func(in *RoomBody[SurfaceDraft]) (deed.Deed, error) {
			return deed.AddSurface{Surface: in.Body.SurfaceDraft}, made("id", in.Body.ID)
		}))
	route(a, "POST /rooms/{room}/datums", "addDatum", "Adds something to measure from", does(a, recorded,
		func(in *RoomBody[DatumDraft]) (deed.Deed, error) {
			return deed.AddDatum{Datum: in.Body.datum()}, made("id", in.Body.ID)
		}))
	route(a, "DELETE /rooms/{room}/datums/{datum}", "removeDatum", "Removes a datum that nothing was measured from",
		does(a, standsNow, func(in *OfDatum) (deed.Deed, error) { return deed.RemoveDatum{Datum: in.Datum}, nil }))
	route(a, "PUT /rooms/{room}/datums/{datum}/stays-bare", "staysBare", "Says whether nothing will go on a face",
		does(a, standsNow, func(in *struct {
			OfDatum
			Body struct {
				StaysBare bool `json:"stays_bare"`
			}
		}) (deed.Deed, error) {
			return deed.StaysBare{Datum: in.Datum, Stays: in.Body.StaysBare}, nil
		}))
	route(a, "PUT /rooms/{room}/surfaces/{surface}/build-up", "planBuildUp",
		"Plans layers on faces, in place of those planned before", does(a, recorded, func(in *struct {
			OfSurface
			Body struct {
				Datums []id.Datum   `json:"datums" maxItems:"200" format:"uuid" doc:"The faces it goes on; none: the surface itself."`
				Layers []firm.Layer `json:"layers" maxItems:"12" doc:"In the order they go on; none removes the plan."`
			}
		}) (deed.Deed, error) {
			return deed.Plan{Surface: in.Surface, Datums: in.Body.Datums, Layers: in.Body.Layers}, nil
		}))
}

// SurfaceDraft is a surface as somebody asks for it.
type SurfaceDraft struct {
	room.SurfaceDraft
	Called absent `json:"called,omitzero"`
}

// DatumDraft is something to measure from, as somebody asks for it.
type DatumDraft struct {
	ID        id.Datum        `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Surface   id.Surface      `json:"surface" format:"uuid"`
	Name      string          `json:"name" minLength:"1" maxLength:"60"`
	Kind      words.DatumKind `json:"kind" enum:"face,line,point"`
	A         roomsheet.Point `json:"a" doc:"Where it begins; the point itself."`
	B         roomsheet.Point `json:"b,omitzero" doc:"Where a face or line ends; the room is on its left."`
	Sigma     float64         `json:"sigma,omitempty" minimum:"0" maximum:"1000" doc:"0: 10 for a face, 2 for a line or point."`
	Lean      float64         `json:"lean,omitempty" exclusiveMinimum:"-80" exclusiveMaximum:"80"`
	StaysBare bool            `json:"stays_bare,omitempty"`
}

func (d DatumDraft) datum() room.Datum {
	return room.Datum{ID: d.ID, Surface: d.Surface, Name: d.Name, Kind: d.Kind, A: d.A, B: d.B, Sigma: d.Sigma,
		Lean: d.Lean, StaysBare: d.StaysBare}
}
