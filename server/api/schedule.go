package api

import (
	"context"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// schedule are the addresses by which positions come onto the schedule.
func (a *api) schedule() {
	route(a, "POST /rooms/{room}/surfaces/{surface}/positions", "schedule", "Adds positions to the schedule",
		does(a, recorded, func(in *struct {
			OfSurface
			Body struct {
				Positions []room.PositionDraft `json:"positions" minItems:"1" maxItems:"500"`
				mayReopen
			}
		}) (deed.Deed, error) {
			return deed.Schedule{Surface: in.Surface, Positions: in.Body.Positions, Reopen: in.Body.Reopen},
				made("positions[#].id",
					each(in.Body.Positions, func(d room.PositionDraft) id.Position { return d.ID })...)
		}))
	route(a, "POST /rooms/{room}/surfaces/{surface}/positions/lines", "pasteSchedule",
		"Adds positions to the schedule, from pasted lines", does(a, recorded, pasted))
	route(a, "POST /rooms/{room}/positions/copies", "copySchedule",
		"Puts the positions of another room on the schedule; names that the room has are left out", a.copySchedule)
	route(a, "GET /rooms/{room}/surfaces/{surface}/grid", "grid",
		"Positions spaced evenly, to be sent as positions; saves nothing", a.grid)
}

// mayReopen says that signed stages may open again by what is added.
type mayReopen struct {
	Reopen bool `json:"reopen,omitzero" doc:"Signed stages may open again by this; without it that is refused with 409."`
}

func pasted(in *struct {
	OfSurface
	Body struct {
		ID    id.Position `json:"id" format:"uuid" doc:"Yours to make, of version 7, for all lines together: the positions' own ids come from it."`
		Lines string      `json:"lines" minLength:"1" maxLength:"100000" doc:"One position a line: name, kind, cut-out, and where it is wanted as two lengths."`
		mayReopen
	}
}) (deed.Deed, error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	drafts, err := room.ParseSchedule(in.Body.Lines)
	for i := range drafts {
		drafts[i].ID = deed.Nth(in.Body.ID, i)
	}
	return deed.Schedule{Surface: in.Surface, Positions: drafts, Reopen: in.Body.Reopen}, err
}

// Grid is a proposal for the schedule.
type Grid struct {
	Positions []room.PositionDraft `json:"positions" doc:"With ids, as the schedule takes them."`
	Stuck     []string             `json:"stuck" doc:"Those that no move within half a bay brings off the timbers."`
}

func (a *api) grid(ctx context.Context, by firm.Person, in *struct {
	OfSurface
	Rows       int     `query:"rows" minimum:"1" maximum:"500" required:"true"`
	Columns    int     `query:"columns" minimum:"1" maximum:"500" required:"true"`
	Prefix     string  `query:"prefix" maxLength:"20" doc:"D: D1, D2 ..."`
	From       int     `query:"from" minimum:"0" maximum:"100000" doc:"The first number; 0: 1."`
	Kind       string  `query:"kind" maxLength:"60"`
	Cutout     float64 `query:"cutout" minimum:"0" maximum:"1000"`
	OffTimbers bool    `query:"off_timbers" doc:"Move each by the least that brings it off the timbers."`
}) (*answer[Grid], error) {
	drafts, stuck, err := a.Desk.Grid(ctx, by, in.Room, in.Surface,
		room.Grid{Rows: in.Rows, Columns: in.Columns, Prefix: in.Prefix, From: in.From, Kind: in.Kind, Cutout: in.Cutout},
		in.OffTimbers)
	return shown(func(drafts []room.PositionDraft) Grid {
		return Grid{each(drafts, func(d room.PositionDraft) room.PositionDraft {
			d.ID, d.Trade = id.New[id.Position](), words.TradeOfKind(d.Kind)
			return d
		}), each(stuck, same)}
	})(drafts, err)
}

// ScheduleCopy asks for the positions of another room. It has a name of its
// own, because the document calls a body after its type.
type ScheduleCopy struct {
	ID   id.Position `json:"id" format:"uuid" doc:"Yours to make, of version 7, for all positions together: their own ids come from it."`
	From id.Room     `json:"from" format:"uuid" doc:"The room whose schedule it is."`
	mayReopen
}

func (a *api) copySchedule(ctx context.Context, by firm.Person, in *RoomBody[ScheduleCopy]) (*answer[Record], error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	return recorded(a.Desk.CopySchedule(ctx, by, in.Room, in.Body.From, in.Body.ID, in.Body.Reopen))
}
