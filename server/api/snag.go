package api

import (
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// snags are the addresses of snags and of photos.
func (a *api) snags() {
	route(a, "POST /rooms/{room}/photos", "photo", "Records that a photo was taken, and where it is stored",
		does(a, standsNow, photographed))
	route(a, "POST /rooms/{room}/snags", "noteSnag", "Adds a snag", does(a, standsNow, noted))
	route(a, "PUT /rooms/{room}/snags/{snag}/closed", "closeSnag",
		"Says that a snag was put right; from the foreman and the owner, that it was looked at and is closed", does(a,
			standsNow,
			func(in *struct {
				OfRoom
				Snag id.Snag `path:"snag" format:"uuid"`
			}) (deed.Deed, error) {
				return deed.CloseSnag{Snag: in.Snag}, nil
			}))
	route(a, "PUT /rooms/{room}/snags/{snag}/given", "giveSnag", "Gives a snag to another trade, person or day",
		does(a, standsNow, func(in *struct {
			OfRoom
			Snag id.Snag `path:"snag" format:"uuid"`
			Body struct {
				Trade  words.Trade `json:"trade,omitempty" enum:"electrician,plumber,dry_liner,plasterer,tiler,joiner,decorator"`
				Person id.Member   `json:"person,omitzero" format:"uuid"`
				DueOn  Day         `json:"due_on,omitzero"`
			}
		}) (deed.Deed, error) {
			return deed.GiveSnag{Snag: in.Snag, Trade: in.Body.Trade, Person: in.Body.Person,
				DueOn: time.Time(in.Body.DueOn)}, nil
		}))
	route(a, "PUT /rooms/{room}/snags/{snag}/open", "reopenSnag", "Says that a snag is not put right after all",
		does(a, standsNow, func(in *struct {
			OfRoom
			Snag id.Snag `path:"snag" format:"uuid"`
			Body struct {
				Why string `json:"why" minLength:"1" maxLength:"400"`
			}
		}) (deed.Deed, error) {
			return deed.ReopenSnag{Snag: in.Snag, Why: in.Body.Why}, nil
		}))
}

// Photo is a photo of a surface, a datum, a position, a snag, or else of its stage as
// a whole. Without a picture it is a note of where the photo is kept; else the
// picture's bytes are at /photos/{id}/full, /page and /thumb.
type Photo struct {
	room.Photo
	Says       string    `json:"says"`
	By         id.Member `json:"by" format:"uuid"`
	RecordedAt absent    `json:"recorded_at,omitzero"`
	StruckBy   absent    `json:"struck_by,omitzero"`
	StruckAt   absent    `json:"struck_at,omitzero"`
	StruckWhy  absent    `json:"struck_why,omitzero"`
	Struck     string    `json:"struck,omitempty" doc:"Why it was struck out."`
}

func viewPhoto(p room.Photo) Photo {
	return Photo{Photo: p, Says: p.Says, By: p.By, Struck: p.StruckWhy}
}

func photographed(in *struct {
	OfRoom
	Body struct {
		ID       id.Photo    `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
		Surface  id.Surface  `json:"surface,omitzero" format:"uuid" doc:"What it shows: one of surface, datum, position and snag."`
		Datum    id.Datum    `json:"datum,omitzero" format:"uuid"`
		Position id.Position `json:"position,omitzero" format:"uuid"`
		Snag     id.Snag     `json:"snag,omitzero" format:"uuid"`
		Says     string      `json:"says,omitempty" maxLength:"400" doc:"Where the photo is."`
	}
}) (deed.Deed, error) {
	b := in.Body
	return deed.TakePhoto{ID: b.ID, Surface: b.Surface, Datum: b.Datum, Position: b.Position, Snag: b.Snag, Says: b.Says},
		made("id", b.ID)
}

// Snag is a fault that somebody noted.
type Snag struct {
	room.Snag
	NotedBy id.Member `json:"noted_by" format:"uuid"`
}

func noted(in *struct {
	OfRoom
	Body struct {
		ID     id.Snag     `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
		Says   string      `json:"says" minLength:"1" maxLength:"400"`
		Trade  words.Trade `json:"trade,omitempty" enum:"electrician,plumber,dry_liner,plasterer,tiler,joiner,decorator" doc:"Who puts it right; left out: the foreman."`
		Person id.Member   `json:"person,omitzero" format:"uuid" doc:"Who of them; left out: any."`
		DueOn  Day         `json:"due_on,omitzero" doc:"The day by which it is to be done."`
	}
}) (deed.Deed, error) {
	return deed.NoteSnag{Snag: room.Snag{ID: in.Body.ID, Says: in.Body.Says, Trade: in.Body.Trade, Person: in.Body.Person,
		DueOn: time.Time(in.Body.DueOn)}}, made("id", in.Body.ID)
}
