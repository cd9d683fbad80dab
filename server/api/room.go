package api

import (
	"context"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
)

// OfRoom is a request about one room.
type OfRoom struct {
	Room id.Room `path:"room" format:"uuid"`
}

// RoomDraft is a room as somebody asks for it.
type RoomDraft struct {
	ID       id.Room           `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Name     string            `json:"name" minLength:"1" maxLength:"120"`
	Place    int               `json:"place,omitempty" minimum:"0" maximum:"10000" doc:"Where one comes to it, walking through the house."`
	Outline  []roomsheet.Point `json:"outline,omitempty" maxItems:"100" doc:"The corners in order; or"`
	Walls    []Wall            `json:"walls,omitempty" maxItems:"100" doc:"the walls in order, with the room on the left."`
	Height   float64           `json:"height" exclusiveMinimum:"0"`
	Wet      []room.Wet        `json:"wet,omitempty" maxItems:"20" doc:"Baths and showers."`
	Surfaces []SurfaceDraft    `json:"surfaces,omitempty" maxItems:"50"`
}

// Wall is one wall: its length, and how far one turns at its end.
type Wall struct {
	Length float64 `json:"length" exclusiveMinimum:"0"`
	Turn   float64 `json:"turn" doc:"Degrees to the left; -90 where a chimney breast comes into the room."`
}

// SurfaceDraft is a surface as somebody asks for it.
type SurfaceDraft struct {
	ID      id.Surface        `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Name    string            `json:"name,omitempty" maxLength:"120" doc:"Left out: the kind, with the wall's number."`
	Kind    string            `json:"kind" enum:"ceiling,slope,wall,floor"`
	Outline []roomsheet.Point `json:"outline,omitempty" maxItems:"100" doc:"Left out: the room's, or that of the wall."`
	Wall    int               `json:"wall,omitempty" minimum:"1" doc:"wall, slope: which of the room's, from 1."`
	Pitch   float64           `json:"pitch,omitempty" doc:"slope: degrees from level."`
	Length  float64           `json:"length,omitempty" doc:"slope: up the slope."`
}

func (d SurfaceDraft) draft() room.SurfaceDraft {
	return room.SurfaceDraft{ID: d.ID, Name: d.Name, Kind: d.Kind, Outline: d.Outline, Wall: d.Wall, Pitch: d.Pitch,
		Length: d.Length}
}

// roomItself is the view that a room's version is of.
func roomItself(j *standing.Standing) (Room, bool) { return viewRoom(j.Record.Room), true }

func (a *api) room(ctx context.Context, by firm.Person, in *OfRoom) (*versioned[Room], error) {
	j, err := a.Room.Read(ctx, by, in.Room)
	if err != nil {
		return nil, err
	}
	return tagged(viewRoom(j.Record.Room)), nil
}

func (a *api) record(ctx context.Context, by firm.Person, in *OfRoom) (*answer[Record], error) {
	return recorded(a.Room.Read(ctx, by, in.Room))
}

// RoomChange is what changes of a room; what is left out stays.
type RoomChange struct {
	Name    *string           `json:"name,omitempty" minLength:"1" maxLength:"120"`
	Place   *int              `json:"place,omitempty" minimum:"0" maximum:"10000"`
	Outline []roomsheet.Point `json:"outline,omitempty" maxItems:"100"`
	Height  *float64          `json:"height,omitempty" exclusiveMinimum:"0"`
	Wet     []room.Wet        `json:"wet,omitempty" maxItems:"20"`
}

func (a *api) changeRoom(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	IfMatch
	Body RoomChange
}) (*versioned[Room], error) {
	seen, err := in.version()
	if err != nil {
		return nil, err
	}
	j, err := a.Room.ChangeRoom(ctx, by, in.Room, seen, room.Change(in.Body))
	if err != nil {
		return nil, stale(ctx, a, by, in.Room, err, seen, in.Body, roomItself)
	}
	return tagged(viewRoom(j.Record.Room)), nil
}

func (a *api) addSurface(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Body SurfaceDraft
}) (*answer[Record], error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	return recorded(a.Room.AddSurface(ctx, by, in.Room, in.Body.draft()))
}
