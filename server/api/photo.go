package api

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/room"
)

// Photo is a photo of a surface, a datum, a position, or else of its stage as a
// whole. Without a picture it is a note of where the photo is kept.
type Photo struct {
	ID       id.Photo    `json:"id" format:"uuid"`
	Surface  id.Surface  `json:"surface,omitzero" format:"uuid"`
	Datum    id.Datum    `json:"datum,omitzero" format:"uuid"`
	Position id.Position `json:"position,omitzero" format:"uuid"`
	Stage    Stage       `json:"stage" doc:"In hand when it was put on record; its sign-off freezes it."`
	Says     string      `json:"says"`
	By       id.Member   `json:"by" format:"uuid"`
	At       time.Time   `json:"at" doc:"When it was taken."`
	Picture  *Picture    `json:"picture,omitempty"`
	Struck   string      `json:"struck,omitempty" doc:"Why it was struck out."`
}

// Picture is what is known of a photo's picture. Its bytes are at
// /photos/{id}/full, /page and /thumb.
type Picture struct {
	SHA256 string `json:"sha256"`
	Type   string `json:"type"`
	Width  int    `json:"width"`
	Height int    `json:"height"`
	Bytes  int64  `json:"bytes"`
}

func viewPhoto(p room.Photo) Photo {
	out := Photo{ID: p.ID, Surface: p.Surface, Datum: p.Datum, Position: p.Position, Stage: stageOf(p.Stage), Says: p.Says,
		By: p.By, At: p.At, Struck: p.StruckWhy}
	if !p.Picture.IsZero() {
		out.Picture = &Picture{p.Picture.SHA256.String(), p.Picture.Type, p.Picture.Width, p.Picture.Height, p.Picture.Bytes}
	}
	return out
}

func (a *api) photo(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Body struct {
		ID       id.Photo    `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
		Surface  id.Surface  `json:"surface,omitzero" format:"uuid" doc:"What it shows: one of surface, datum and position."`
		Datum    id.Datum    `json:"datum,omitzero" format:"uuid"`
		Position id.Position `json:"position,omitzero" format:"uuid"`
		Says     string      `json:"says,omitempty" maxLength:"400" doc:"Where the photo is."`
	}
}) (*answer[Standing], error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	return standsNow(a.Photo.Take(ctx, by, in.Room, photo.Draft{ID: in.Body.ID, Surface: in.Body.Surface,
		Datum:    in.Body.Datum,
		Position: in.Body.Position, Says: in.Body.Says}))
}
