package api

import (
	"context"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// rooms are the addresses of rooms as such.
func (a *api) rooms() {
	route(a, "GET /rooms/{room}", "room", "A room's own fields",
		reads(a, func(_ *OfRoom, j *standing.Standing) (*versioned[Room], error) {
			return tagged(viewRoom(j.Record.Room), nil)
		}))
	route(a, "PUT /rooms/{room}", "changeRoom", "Changes a room's own fields; its surfaces keep theirs", changes(a,
		func(_ *changeRoom, j *standing.Standing) (Room, error) { return viewRoom(j.Record.Room), nil },
		func(in *changeRoom, seen int64) deed.Deed { return deed.ChangeRoom{Version: seen, Change: in.Body} }))
	route(a, "DELETE /rooms/{room}", "removeRoom", "Removes a room in which nothing is recorded",
		func(ctx context.Context, by firm.Person, in *OfRoom) (*nothing, error) {
			return &nothing{}, a.Desk.Remove(ctx, by, in.Room)
		})
	route(a, "GET /rooms/{room}/record", "record",
		"Everything recorded of a room, with what the geometry and the stages say",
		reads(a, func(_ *OfRoom, j *standing.Standing) (*answer[Record], error) { return recorded(j, nil) }))
}

// changeRoom is a write to a room that somebody saw; what is left out stays.
type changeRoom struct {
	OfRoom
	IfMatch
	Body room.Change
}

func (c changeRoom) yours() any { return c.Body }

// Room is a room's own fields.
type Room struct {
	room.Room
	Place int `json:"place" doc:"Where one comes to it, walking through the house."`
}

func (r Room) version() int64 { return r.Version }

func viewRoom(r room.Room) Room { return Room{r, r.Place} }

// Layer is one layer of a build-up, as planned and, once it is on, as put on.
type Layer struct {
	ID        id.Layer    `json:"id" format:"uuid"`
	Name      string      `json:"name"`
	Thickness float64     `json:"thickness"`
	Sigma     float64     `json:"sigma,omitzero" doc:"0: 20 % of the thickness."`
	Stage     words.Stage `json:"stage"`
	PutOn     Day         `json:"put_on,omitzero" doc:"The day it was put on; left out before."`
	Built     float64     `json:"built,omitzero" doc:"As built; left out where the readings give it."`
}

func layersOf(r *room.Record, surface id.Surface, datum id.Datum) []Layer {
	return each(r.LayersOf(surface, datum), func(l room.Layer) Layer {
		out := Layer{ID: l.ID, Name: l.Name, Thickness: l.Thickness, Sigma: l.Sigma, Stage: l.Stage}
		if b := r.BuiltOf(l.ID); b != nil {
			out.PutOn, out.Built = Day(b.PutOn), b.Thickness
		}
		return out
	})
}

// Surface is a ceiling, slope, wall or floor.
type Surface struct {
	room.Surface
	Place absent `json:"place,omitzero"`
}

// SurfaceOwn are the layers of a surface itself.
type SurfaceOwn struct {
	Surface id.Surface `json:"surface" format:"uuid"`
	Layers  []Layer    `json:"layers"`
}

// Datum is what people measure from.
type Datum struct {
	room.Datum
	Place  absent  `json:"place,omitzero"`
	Layers []Layer `json:"layers" doc:"The build-up of a face, in the order it goes on."`
}

// Record is a whole room, with what the geometry and the stages say of it.
type Record struct {
	Room
	JobName      string        `json:"job_name"`
	Surfaces     []Surface     `json:"surfaces"`
	SurfaceBuild []SurfaceOwn  `json:"surface_layers" doc:"The layers of the surfaces themselves."`
	Datums       []Datum       `json:"datums"`
	Timbers      []room.Timber `json:"timbers"`
	Ways         []WayThrough  `json:"ways" doc:"Cable runs through timbers, with what each crosses."`
	Positions    []Position    `json:"positions"`
	Measurements []Measurement `json:"measurements" doc:"Those that were struck out too."`
	Photos       []Photo       `json:"photos"`
	Finished     []Finished    `json:"finished"`
	Openings     []Opening     `json:"openings"`
	Snags        []Snag        `json:"snags"`
	Stages       []StageGate   `json:"stages" doc:"In order."`
}

// recorded answers with the whole room.
var recorded = shown(func(j *standing.Standing) Record {
	r := j.Record
	return Record{
		Room: viewRoom(r.Room), JobName: r.JobName,
		Surfaces: each(r.Surfaces, func(s room.Surface) Surface { return Surface{Surface: s} }),
		SurfaceBuild: each(r.Surfaces, func(s room.Surface) SurfaceOwn {
			return SurfaceOwn{s.ID, layersOf(r, s.ID, id.Datum{})}
		}),
		Datums: each(r.Datums, func(d room.Datum) Datum {
			return Datum{Datum: d, Layers: layersOf(r, d.Surface, d.ID)}
		}),
		Timbers:      each(r.Timbers, same),
		Ways:         waysOf(r),
		Positions:    each(r.Positions, func(p room.Position) Position { return viewPosition(j, p) }),
		Measurements: each(r.Measurements, func(m room.Measurement) Measurement { return viewMeasurement(j, m) }),
		Photos:       each(r.Photos, viewPhoto),
		Finished:     each(r.Finished, func(f room.Finished) Finished { return Finished{f.Stage, Day(f.On), f.By} }),
		Openings: each(r.Openings, func(o room.Opening) Opening {
			return Opening{o, o.Says, o.By, (*Patch)(r.PatchOf(o.ID))}
		}),
		Snags:  each(r.Snags, func(s room.Snag) Snag { return Snag{s, s.NotedBy} }),
		Stages: gatesOf(j),
	}
})
