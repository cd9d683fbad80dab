package api

import (
	"time"

	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Room is a room's own fields.
type Room struct {
	ID        id.Room           `json:"id" format:"uuid"`
	Job       id.Job            `json:"job" format:"uuid"`
	Name      string            `json:"name"`
	Place     int               `json:"place" doc:"Where one comes to it, walking through the house."`
	Outline   []roomsheet.Point `json:"outline" doc:"The corners, anticlockwise; the first wall is at the bottom of the sheet."`
	Height    float64           `json:"height"`
	Wet       []room.Wet        `json:"wet" doc:"Baths and showers."`
	CreatedAt time.Time         `json:"created_at"`
	Revision  int64             `json:"revision" doc:"Moves on with every write to anything in the room."`
	Version   int64             `json:"version" doc:"Moves on with every change of the room's own fields."`
}

func (r Room) version() int64 { return r.Version }

func viewRoom(r room.Room) Room {
	return Room{r.ID, r.Job, r.Name, r.Place, r.Outline, r.Height, r.Wet, r.CreatedAt, r.Revision, r.Version}
}

// Surface is a ceiling, slope, wall or floor.
type Surface struct {
	ID      id.Surface        `json:"id" format:"uuid"`
	Name    string            `json:"name"`
	Kind    string            `json:"kind" enum:"ceiling,slope,wall,floor"`
	Pitch   float64           `json:"pitch,omitzero" doc:"Of a slope, degrees from level."`
	Outline []roomsheet.Point `json:"outline" doc:"Its corners in its own frame."`
}

func viewSurface(s room.Surface) Surface { return Surface{s.ID, s.Name, s.Kind, s.Pitch, s.Outline} }

// Datum is what people measure from.
type Datum struct {
	ID        id.Datum        `json:"id" format:"uuid"`
	Surface   id.Surface      `json:"surface" format:"uuid"`
	Name      string          `json:"name"`
	Kind      words.DatumKind `json:"kind" enum:"face,line,point"`
	A         roomsheet.Point `json:"a" doc:"Where it begins; the point itself."`
	B         roomsheet.Point `json:"b" doc:"Where it ends; the room is on its left. Of no account for a point."`
	Sigma     float64         `json:"sigma,omitzero" doc:"0: 10 for a face, 2 for a line or point."`
	Lean      float64         `json:"lean,omitzero" doc:"Of a face: how far its inside angle is over 90 degrees."`
	StaysBare bool            `json:"stays_bare,omitzero" doc:"Nothing will go on this face."`
	Layers    []Layer         `json:"layers" doc:"The build-up of a face, in the order it goes on."`
}

// Layer is one layer of a build-up, as planned and, once it is on, as put on.
type Layer struct {
	ID        id.Layer `json:"id" format:"uuid"`
	Name      string   `json:"name"`
	Thickness float64  `json:"thickness"`
	Sigma     float64  `json:"sigma,omitzero" doc:"0: 20 % of the thickness."`
	Stage     Stage    `json:"stage"`
	PutOn     Day      `json:"put_on,omitzero" doc:"The day it was put on; left out before."`
	Built     float64  `json:"built,omitzero" doc:"As put on; left out where the measurements tell it."`
}

func layersOf(r *room.Record, surface id.Surface, datum id.Datum) []Layer {
	return each(r.LayersOf(surface, datum), func(l room.Layer) Layer {
		out := Layer{ID: l.ID, Name: l.Name, Thickness: l.Thickness, Sigma: l.Sigma, Stage: stageOf(l.Stage)}
		if b := r.BuiltOf(l.ID); b != nil {
			out.PutOn, out.Built = Day(b.PutOn), b.Thickness
		}
		return out
	})
}

func viewDatum(r *room.Record, d room.Datum) Datum {
	return Datum{d.ID, d.Surface, d.Name, d.Kind, d.A, d.B, d.Sigma, d.Lean, d.StaysBare, layersOf(r, d.Surface, d.ID)}
}

// Timber is a joist, rafter, stud or noggin.
type Timber struct {
	ID      id.Timber       `json:"id" format:"uuid"`
	Surface id.Surface      `json:"surface" format:"uuid"`
	Name    string          `json:"name" minLength:"1" maxLength:"120"`
	A       roomsheet.Point `json:"a" doc:"One end of the centre line."`
	B       roomsheet.Point `json:"b"`
	Width   float64         `json:"width" exclusiveMinimum:"0"`
	Depth   float64         `json:"depth,omitzero" doc:"0: not known."`
	Sigma   float64         `json:"sigma,omitzero" doc:"Of where it is, across it; 0: 5."`
}

func viewTimber(t room.Timber) Timber {
	return Timber{t.ID, t.Surface, t.Name, t.A, t.B, t.Width, t.Depth, t.Sigma}
}

func (t Timber) timber() room.Timber {
	return room.Timber{ID: t.ID, Surface: t.Surface, Name: t.Name, A: t.A, B: t.B, Width: t.Width, Depth: t.Depth,
		Sigma: t.Sigma}
}

// Record is a whole room, with what the geometry and the gates say of it.
type Record struct {
	Room
	JobName      string        `json:"job_name"`
	Surfaces     []Surface     `json:"surfaces"`
	SurfaceBuild []SurfaceOwn  `json:"surface_layers" doc:"The layers of the surfaces themselves."`
	Datums       []Datum       `json:"datums"`
	Timbers      []Timber      `json:"timbers"`
	Ways         []WayThrough  `json:"ways" doc:"Cables' ways through timbers, with what each crosses."`
	Positions    []Position    `json:"positions"`
	Measurements []Measurement `json:"measurements" doc:"Those that were struck out too."`
	Photos       []Photo       `json:"photos"`
	Finished     []Finished    `json:"finished"`
	Openings     []Opening     `json:"openings"`
	Snags        []Snag        `json:"snags"`
	Gates        []Gate        `json:"gates" doc:"By stage, in order."`
}

// SurfaceOwn are the layers of a surface itself.
type SurfaceOwn struct {
	Surface id.Surface `json:"surface" format:"uuid"`
	Layers  []Layer    `json:"layers"`
}

func viewRecord(j *standing.Standing) Record {
	r := j.Record
	return Record{
		Room: viewRoom(r.Room), JobName: r.JobName,
		Surfaces: each(r.Surfaces, viewSurface),
		SurfaceBuild: each(r.Surfaces, func(s room.Surface) SurfaceOwn {
			return SurfaceOwn{s.ID, layersOf(r, s.ID, id.Datum{})}
		}),
		Datums:       each(r.Datums, func(d room.Datum) Datum { return viewDatum(r, d) }),
		Timbers:      each(r.Timbers, viewTimber),
		Ways:         waysOf(r),
		Positions:    each(r.Positions, func(p room.Position) Position { return viewPosition(j, p) }),
		Measurements: each(r.Measurements, func(m room.Measurement) Measurement { return viewMeasurement(j, m) }),
		Photos:       each(r.Photos, viewPhoto),
		Finished:     each(r.Finished, viewFinished),
		Openings:     each(r.Openings, func(o room.Opening) Opening { return viewOpening(r, o) }),
		Snags:        each(r.Snags, viewSnag),
		Gates:        gatesOf(j),
	}
}

// recorded answers with the whole room.
func recorded(j *standing.Standing, err error) (*answer[Record], error) {
	if err != nil {
		return nil, err
	}
	return body(viewRecord(j)), nil
}
