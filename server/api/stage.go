package api

import (
	"context"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// stages are the addresses of a room's stages and of what they leave behind.
func (a *api) stages() {
	const at = "/rooms/{room}/stages/{stage}"
	route(a, "POST /rooms/{room}/as-built", "putOn", "Records build-ups as built", does(a, recorded,
		func(in *struct {
			OfRoom
			Body struct {
				PutOn []PutOn `json:"put_on" minItems:"1" maxItems:"200"`
			}
		}) (deed.Deed, error) {
			return deed.PutOn{List: each(in.Body.PutOn, PutOn.coat)}, made("put_on[#].id",
				each(in.Body.PutOn, func(p PutOn) id.Measurement { return p.ID })...)
		}))
	route(a, "PUT "+at+"/finished", "finish", "Records the day a stage's work was finished", does(a, standsNow,
		func(in *struct {
			OfStage
			Body struct {
				On Day `json:"on"`
			}
		}) (deed.Deed, error) {
			return deed.Finish{Stage: in.Stage.stage(), On: time.Time(in.Body.On)}, nil
		}))
	route(a, "POST "+at+"/offer", "offer", "Offers a stage for sign-off", does(a, standsNow,
		func(in *OfStage) (deed.Deed, error) { return deed.Offer{Stage: in.Stage.stage()}, nil }))
	route(a, "POST "+at+"/sign-off", "signOff", "Signs a stage off, with reasons for the soft obstacles accepted",
		does(a, standsNow, signedOff))
	route(a, "POST "+at+"/reopen", "reopen", "Reopens a signed stage and those that follow it", does(a, standsNow,
		func(in *struct {
			OfStage
			Body Reason
		}) (deed.Deed, error) {
			return deed.Reopen{Stage: in.Stage.stage(), Reason: in.Body.Reason}, nil
		}))
	route(a, "GET /rooms/{room}/sign-offs", "signOffs", "Every sign-off of a room, with what it was based on",
		func(ctx context.Context, by firm.Person, in *OfRoom) (*answer[list[room.SignOff]], error) {
			return listed(same[room.SignOff])(a.Desk.SignOffs(ctx, by, in.Room))
		})
}

// PutOn is a build-up as it was put on: its thickness was measured, or a span
// across the room.
type PutOn struct {
	deed.Coat
	On Day `json:"on,omitzero" doc:"Left out: today."`
}

func (p PutOn) coat() deed.Coat {
	p.Coat.On = time.Time(p.On)
	return p.Coat
}

// Acceptance is a soft obstacle that is accepted, and why.
type Acceptance struct {
	Code   string    `json:"code"`
	Kind   gate.Kind `json:"kind" doc:"The kind of record it is about."`
	ID     string    `json:"id,omitempty" doc:"That record's id, as the obstacle gives it."`
	Wrong  string    `json:"wrong" doc:"What is wrong, in the obstacle's own words: it is accepted in those words alone."`
	Reason string    `json:"reason" minLength:"1" maxLength:"400"`
}

func signedOff(in *struct {
	OfStage
	Body struct {
		Revision int64        `json:"revision" minimum:"1" doc:"The room's, as it was read with its stages: what was seen is signed off."`
		Accepted []Acceptance `json:"accepted" maxItems:"5000" doc:"Each soft obstacle of the stage, with the reason."`
	}
}) (deed.Deed, error) {
	accepted := each(in.Body.Accepted, func(x Acceptance) gate.Acceptance {
		return gate.Acceptance{Code: x.Code, About: gate.About{Kind: x.Kind, ID: x.ID}, Wrong: x.Wrong, Reason: x.Reason}
	})
	return deed.SignOff{Stage: in.Stage.stage(), Revision: in.Body.Revision, Accepted: accepted}, nil
}

// Finished is the day a stage's work was finished.
type Finished struct {
	Stage words.Stage `json:"stage"`
	On    Day         `json:"on"`
	By    id.Member   `json:"by" format:"uuid"`
}

// StageGate is one stage with what stands in its way.
type StageGate struct {
	room.Gate
	State     string     `json:"state" enum:"waiting,in_hand,offered,signed_off"`
	Obstacles []Obstacle `json:"obstacles" doc:"Of a stage that is in hand or offered; one that waits lists none."`
}

// Obstacle is a rule that is not met.
type Obstacle struct {
	gate.Obstacle
	About About `json:"about"`
}

// About is the record that something is about.
type About struct {
	Kind gate.Kind `json:"kind"`
	ID   string    `json:"id,omitempty"`
	Name string    `json:"name,omitempty"`
}

func viewObstacle(o gate.Obstacle) Obstacle { return Obstacle{o, About(o.About)} }

func gatesOf(j *standing.Standing) []StageGate {
	return each(j.Record.Gates[:], func(g room.Gate) StageGate {
		out := StageGate{g, g.State.Code(), []Obstacle{}}
		if g.State == words.InHand || g.State == words.Offered {
			out.Obstacles = each(j.Obstacles(g.Stage), viewObstacle)
		}
		return out
	})
}

// Standing is how a room stands after something was done in it.
type Standing struct {
	Room     id.Room     `json:"room" format:"uuid"`
	Revision int64       `json:"revision"`
	Stages   []StageGate `json:"stages" doc:"In order."`
}

// standsNow answers with how the room stands.
var standsNow = shown(func(j *standing.Standing) Standing {
	return Standing{j.Record.ID, j.Record.Revision, gatesOf(j)}
})
