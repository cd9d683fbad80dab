package api

import (
	"context"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// OfOpening is a request about one hole of a room.
type OfOpening struct {
	OfRoom
	Opening id.Opening `path:"opening" format:"uuid"`
}

// ToOpen is one hole that is still to be cut. The set-out says where.
type ToOpen struct {
	Position id.Position `json:"position" format:"uuid"`
	Name     string      `json:"name"`
	Surface  id.Surface  `json:"surface" format:"uuid"`
	First    bool        `json:"first" doc:"Open it before all others, to prove the set-out."`
	Cutout   float64     `json:"cutout,omitzero"`
	From     []string    `json:"from" doc:"The two datums to mark from."`
	Offsets  []float64   `json:"offsets" doc:"What to mark from each, moved off the timbers."`
	Find     float64     `json:"find" doc:"The chance that the tail is within reach."`
	Hit      float64     `json:"hit" doc:"The worst chance of cutting a timber, after the move."`
	Clears   bool        `json:"clears" doc:"The hole keeps clear of every timber."`
}

func viewToOpen(h standing.ToOpen) ToOpen {
	datums, from := h.Solved.Surface.Datums, h.Answer.Mark.From
	return ToOpen{Position: h.Position.ID, Name: h.Position.Name, Surface: h.Surface.ID, First: h.First,
		Cutout: h.Position.Cutout,
		From:   []string{datums[from[0]].ID, datums[from[1]].ID}, Offsets: h.Answer.Plan.Offsets[:],
		Find: h.Answer.Plan.Find, Hit: h.Answer.Plan.Hit, Clears: h.Answer.Plan.Clears}
}

func (a *api) holes(ctx context.Context, by firm.Person, in *OfRoom) (*answer[list[ToOpen]], error) {
	j, err := a.Room.Read(ctx, by, in.Room)
	if err != nil {
		return nil, err
	}
	return items(j.Holes, viewToOpen), nil
}

// Hole is a hole as somebody writes it down.
type Hole struct {
	ID          id.Opening     `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Position    id.Position    `json:"position" format:"uuid"`
	Outcome     words.Outcome  `json:"outcome" enum:"found,hooked_out,not_found,on_timber"`
	Says        string         `json:"says,omitempty" maxLength:"400"`
	At          time.Time      `json:"at,omitzero" doc:"When it was cut; left out: now."`
	Tail        []TailAt       `json:"tail,omitempty" maxItems:"4" doc:"Where the tail really was."`
	OwePatch    bool           `json:"owe_patch,omitempty" doc:"The hole has to be made good."`
	NewPosition *PositionDraft `json:"new_position,omitempty" doc:"Goes onto the schedule in its place. This reopens first fix."`
}

// TailAt is one offset of a found tail, from a face as it is now.
type TailAt struct {
	ID    id.Measurement `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	From  id.Datum       `json:"from" format:"uuid"`
	Value float64        `json:"value"`
	By    string         `json:"by,omitempty" enum:"tape,laser,rule"`
}

func (h Hole) hole() stage.Hole {
	out := stage.Hole{ID: h.ID, Position: h.Position, Outcome: h.Outcome, Says: h.Says, At: h.At, OwePatch: h.OwePatch,
		Tail: each(h.Tail, func(t TailAt) stage.TailAt {
			return stage.TailAt{ID: t.ID, From: t.From, Value: t.Value,
				By: t.By}
		})}
	if h.NewPosition != nil {
		d := h.NewPosition.draft()
		out.NewPosition = &d
	}
	return out
}

func (a *api) openHole(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Body Hole
}) (*answer[Standing], error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	return standsNow(a.Stage.Open(ctx, by, in.Room, in.Body.hole()))
}

func (a *api) correctOutcome(ctx context.Context, by firm.Person, in *struct {
	OfOpening
	Body struct {
		Outcome words.Outcome `json:"outcome" enum:"found,hooked_out,not_found,on_timber"`
		Says    string        `json:"says,omitempty" maxLength:"400"`
	}
}) (*answer[Standing], error) {
	return standsNow(a.Stage.CorrectOutcome(ctx, by, in.Room, in.Opening, in.Body.Outcome, in.Body.Says))
}

// When is a time; left out: now.
type When struct {
	At time.Time `json:"at,omitzero" doc:"Left out: now."`
}

func (a *api) owePatch(ctx context.Context, by firm.Person, in *OfOpening) (*answer[Standing], error) {
	return standsNow(a.Stage.OwePatch(ctx, by, in.Room, in.Opening))
}

func (a *api) fillPatch(ctx context.Context, by firm.Person, in *struct {
	OfOpening
	Body When
}) (*answer[Standing], error) {
	return standsNow(a.Stage.FillPatch(ctx, by, in.Room, in.Opening, in.Body.At))
}

func (a *api) dryPatch(ctx context.Context, by firm.Person, in *struct {
	OfOpening
	Body When
}) (*answer[Standing], error) {
	return standsNow(a.Stage.DryPatch(ctx, by, in.Room, in.Opening, in.Body.At))
}

func (a *api) noteSnag(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Body struct {
		ID    id.Snag     `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
		Says  string      `json:"says" minLength:"1" maxLength:"400"`
		Trade words.Trade `json:"trade,omitempty" enum:"electrician,plumber,dry_liner,plasterer,tiler,joiner,decorator" doc:"Who puts it right; left out: the foreman sees to it."`
	}
}) (*answer[Standing], error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	return standsNow(a.Stage.NoteSnag(ctx, by, in.Room, room.Snag{ID: in.Body.ID, Says: in.Body.Says,
		Trade: in.Body.Trade}))
}

func (a *api) closeSnag(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Snag id.Snag `path:"snag" format:"uuid"`
}) (*answer[Standing], error) {
	return standsNow(a.Stage.CloseSnag(ctx, by, in.Room, in.Snag))
}
