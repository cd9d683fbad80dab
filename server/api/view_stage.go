package api

import (
	"slices"
	"time"

	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Gate is the gate of one stage with what stands in its way.
type Gate struct {
	Stage     Stage      `json:"stage"`
	State     string     `json:"state" enum:"waiting,in_hand,offered,signed_off"`
	OfferedBy id.Member  `json:"offered_by,omitzero" format:"uuid"`
	OfferedAt time.Time  `json:"offered_at,omitzero"`
	SignOff   id.SignOff `json:"sign_off,omitzero" format:"uuid"`
	SignedBy  id.Member  `json:"signed_by,omitzero" format:"uuid"`
	SignedAt  time.Time  `json:"signed_at,omitzero"`
	Initials  string     `json:"initials,omitempty"`
	Obstacles []Obstacle `json:"obstacles" doc:"Of a gate that is in hand or offered; a gate that waits lists none."`
}

// Obstacle is a rule that is not met.
type Obstacle struct {
	Code  string      `json:"code"`
	Hard  bool        `json:"hard" doc:"Nobody can sign off while it stands; otherwise it can be accepted with a reason."`
	About About       `json:"about"`
	Wrong string      `json:"wrong"`
	Mend  string      `json:"mend"`
	Trade words.Trade `json:"trade" doc:"Who mends it."`
}

// About is the record that something is about.
type About struct {
	Kind gate.Kind `json:"kind"`
	ID   string    `json:"id,omitempty"`
	Name string    `json:"name,omitempty"`
}

func viewAbout(a gate.About) About { return About{a.Kind, a.ID, a.Name} }

func viewObstacle(o gate.Obstacle) Obstacle {
	return Obstacle{o.Code, o.Hard, viewAbout(o.About), o.Wrong, o.Mend, o.Trade}
}

func gatesOf(j *standing.Standing) []Gate {
	return each(j.Record.Gates[:], func(g room.Gate) Gate {
		out := Gate{stageOf(g.Stage), g.State.Code(), g.OfferedBy, g.OfferedAt, g.SignOff, g.SignedBy, g.SignedAt, g.Initials,
			[]Obstacle{}}
		if g.State == words.InHand || g.State == words.Offered {
			out.Obstacles = each(j.Obstacles(g.Stage), viewObstacle)
		}
		return out
	})
}

// Standing is how a room stands after something was done in it.
type Standing struct {
	Room     id.Room `json:"room" format:"uuid"`
	Revision int64   `json:"revision"`
	Gates    []Gate  `json:"gates" doc:"By stage, in order."`
}

// standsNow answers with how the room stands.
func standsNow(j *standing.Standing, err error) (*answer[Standing], error) {
	if err != nil {
		return nil, err
	}
	return body(Standing{j.Record.ID, j.Record.Revision, gatesOf(j)}), nil
}

// Finished is the day a stage's work was finished.
type Finished struct {
	Stage Stage     `json:"stage"`
	On    Day       `json:"on"`
	By    id.Member `json:"by" format:"uuid"`
}

func viewFinished(f room.Finished) Finished { return Finished{stageOf(f.Stage), Day(f.On), f.By} }

// Opening is a hole that was cut, with what it showed.
type Opening struct {
	ID          id.Opening    `json:"id" format:"uuid"`
	Position    id.Position   `json:"position" format:"uuid"`
	Outcome     words.Outcome `json:"outcome" enum:"found,hooked_out,not_found,on_timber"`
	NewPosition id.Position   `json:"new_position,omitzero" format:"uuid" doc:"What takes its place."`
	Says        string        `json:"says"`
	By          id.Member     `json:"by" format:"uuid"`
	At          time.Time     `json:"at" doc:"When it was cut."`
	RecordedAt  time.Time     `json:"recorded_at"`
	Patch       *Patch        `json:"patch,omitempty" doc:"Where one is owed."`
}

// Patch is the making good of a hole.
type Patch struct {
	OwedAt   time.Time `json:"owed_at"`
	FilledAt time.Time `json:"filled_at,omitzero"`
	DryAt    time.Time `json:"dry_at,omitzero"`
}

func viewOpening(r *room.Record, o room.Opening) Opening {
	out := Opening{ID: o.ID, Position: o.Position, Outcome: o.Outcome, NewPosition: o.NewPosition, Says: o.Says, By: o.By,
		At: o.At, RecordedAt: o.RecordedAt}
	if i := slices.IndexFunc(r.Patches, func(p room.Patch) bool { return p.Opening == o.ID }); i >= 0 {
		p := r.Patches[i]
		out.Patch = &Patch{p.OwedAt, p.FilledAt, p.DryAt}
	}
	return out
}

// Snag is a fault that somebody noted.
type Snag struct {
	ID       id.Snag     `json:"id" format:"uuid"`
	Says     string      `json:"says"`
	Trade    words.Trade `json:"trade,omitempty" doc:"Who puts it right."`
	NotedBy  id.Member   `json:"noted_by" format:"uuid"`
	NotedAt  time.Time   `json:"noted_at"`
	ClosedBy id.Member   `json:"closed_by,omitzero" format:"uuid"`
	ClosedAt time.Time   `json:"closed_at,omitzero"`
}

func viewSnag(s room.Snag) Snag {
	return Snag{s.ID, s.Says, s.Trade, s.NotedBy, s.NotedAt, s.ClosedBy, s.ClosedAt}
}
