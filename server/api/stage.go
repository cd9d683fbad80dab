package api

import (
	"context"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"time"

	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
)

// OfStage is a request about one stage of a room.
type OfStage struct {
	OfRoom
	Stage Stage `path:"stage"`
}

func (a *api) seeTail(ctx context.Context, by firm.Person, in *OfPosition) (*answer[Standing], error) {
	return standsNow(a.Stage.SeeTail(ctx, by, in.Room, in.Position))
}

func (a *api) unseeTail(ctx context.Context, by firm.Person, in *OfPosition) (*answer[Standing], error) {
	return standsNow(a.Stage.UnseeTail(ctx, by, in.Room, in.Position))
}

// PutOn is a build-up as it was put on: its thickness was measured, or a span
// across the room.
type PutOn struct {
	ID          id.Measurement `json:"id" format:"uuid" doc:"Yours to make, of version 7: that of the measurement it makes."`
	Surface     id.Surface     `json:"surface" format:"uuid"`
	Datum       id.Datum       `json:"datum,omitzero" format:"uuid" doc:"The face; left out: the surface itself."`
	Through     string         `json:"through" minLength:"1" maxLength:"120" doc:"The outermost layer that is on now."`
	Thickness   float64        `json:"thickness,omitempty" minimum:"0" doc:"From from to through; or"`
	From        string         `json:"from,omitempty" maxLength:"120" doc:"bare where it is left out."`
	Span        float64        `json:"span,omitempty" minimum:"0" doc:"the span to the face span_to."`
	SpanTo      id.Datum       `json:"span_to,omitzero" format:"uuid"`
	SpanToState string         `json:"span_to_state,omitempty" maxLength:"120"`
	Sigma       float64        `json:"sigma,omitempty" minimum:"0"`
	By          string         `json:"by,omitempty" enum:"tape,laser,rule"`
	On          Day            `json:"on,omitzero" doc:"Left out: today."`
}

func (p PutOn) putOn() stage.PutOn {
	return stage.PutOn{ID: p.ID, Surface: p.Surface, Datum: p.Datum, Through: p.Through, Thickness: p.Thickness,
		From: p.From, Span: p.Span,
		SpanTo: p.SpanTo, SpanToState: p.SpanToState, Sigma: p.Sigma, By: p.By, On: time.Time(p.On)}
}

func (a *api) putOn(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Body struct {
		PutOn []PutOn `json:"put_on" minItems:"1" maxItems:"200"`
	}
}) (*answer[Record], error) {
	for i, p := range in.Body.PutOn {
		if err := made(fmt.Sprintf("put_on[%d].id", i), p.ID); err != nil {
			return nil, err
		}
	}
	return recorded(a.Stage.PutOn(ctx, by, in.Room, each(in.Body.PutOn, PutOn.putOn)))
}

func (a *api) finish(ctx context.Context, by firm.Person, in *struct {
	OfStage
	Body struct {
		On Day `json:"on"`
	}
}) (*answer[Standing], error) {
	return standsNow(a.Stage.Finish(ctx, by, in.Room, in.Stage.stage(), time.Time(in.Body.On)))
}

func (a *api) offer(ctx context.Context, by firm.Person, in *OfStage) (*answer[Standing], error) {
	return standsNow(a.Stage.Offer(ctx, by, in.Room, in.Stage.stage()))
}

// Acceptance is a soft obstacle that is accepted, and why.
type Acceptance struct {
	Code   string    `json:"code"`
	Kind   gate.Kind `json:"kind" doc:"The kind of record it is about."`
	ID     string    `json:"id,omitempty" doc:"That record's id, as the obstacle gives it."`
	Reason string    `json:"reason" minLength:"1" maxLength:"400"`
}

func (x Acceptance) acceptance() gate.Acceptance {
	return gate.Acceptance{Code: x.Code, About: gate.About{Kind: x.Kind, ID: x.ID}, Reason: x.Reason}
}

func (a *api) signOff(ctx context.Context, by firm.Person, in *struct {
	OfStage
	Body struct {
		Accepted []Acceptance `json:"accepted" maxItems:"5000" doc:"Each soft obstacle of the gate, with the reason."`
	}
}) (*answer[Standing], error) {
	return standsNow(a.Stage.SignOff(ctx, by, in.Room, in.Stage.stage(), each(in.Body.Accepted, Acceptance.acceptance)))
}

func (a *api) reopen(ctx context.Context, by firm.Person, in *struct {
	OfStage
	Body Reason
}) (*answer[Standing], error) {
	return standsNow(a.Stage.Reopen(ctx, by, in.Room, in.Stage.stage(), in.Body.Reason))
}

// SignOff is a stage signed off, with what it was based on, word for word.
type SignOff struct {
	ID        id.SignOff      `json:"id" format:"uuid"`
	Stage     Stage           `json:"stage"`
	By        id.Member       `json:"by" format:"uuid"`
	At        time.Time       `json:"at"`
	Accepted  json.RawMessage `json:"accepted"`
	RoomSheet json.RawMessage `json:"room_sheet"`
	SetOut    json.RawMessage `json:"set_out"`
	SHA256    string          `json:"sha256" doc:"Over the three, each but the last followed by a line feed, as they are kept."`
	DiarySeq  int64           `json:"diary_seq"`
}

func viewSignOff(s room.SignOff) SignOff {
	return SignOff{s.ID, stageOf(s.Stage), s.By, s.At, s.Accepted, s.RoomSheet, s.SetOut, hex.EncodeToString(s.SHA256[:]),
		s.DiarySeq}
}

func (a *api) signOffs(ctx context.Context, by firm.Person, in *OfRoom) (*answer[list[SignOff]], error) {
	all, err := a.Stage.SignOffs(ctx, by, in.Room)
	if err != nil {
		return nil, err
	}
	return items(all, viewSignOff), nil
}
