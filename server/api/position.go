package api

import (
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
)

// positions are the addresses of positions on the schedule.
func (a *api) positions() {
	const at = "/rooms/{room}/positions/{position}"
	route(a, "GET "+at, "position", "One position",
		reads(a, func(in *OfPosition, j *standing.Standing) (*versioned[Position], error) {
			return tagged(positionIn(in, j))
		}))
	route(a, "PUT "+at, "changePosition", "Changes what the schedule says of a position", changes(a, positionIn,
		func(in *PositionBody[PositionWords], seen int64) deed.Deed {
			in.Body.PositionDraft.ID = in.Position
			return deed.ChangePosition{Position: in.Position, Version: seen, Draft: in.Body.PositionDraft}
		}))
	route(a, "POST "+at+"/hold", "hold", "Holds a position: no hole is cut for it", changes(a, positionIn,
		func(in *PositionBody[Reason], seen int64) deed.Deed {
			return deed.Hold{Position: in.Position, Version: seen, Why: in.Body.Reason}
		}))
	route(a, "POST "+at+"/release", "release", "Takes a position off hold", changes(a, positionIn,
		func(in *SeenPosition, seen int64) deed.Deed {
			return deed.Release{Position: in.Position, Version: seen}
		}))
	route(a, "POST "+at+"/omit", "omit", "Records that the client left a position out", changes(a, positionIn,
		func(in *PositionBody[Omission], seen int64) deed.Deed {
			return deed.Omit{Position: in.Position, Version: seen, Why: in.Body.Reason.Reason, Reopen: in.Body.Reopen}
		}))
	route(a, "POST "+at+"/want-again", "wantAgain", "Puts a position that was left out back on the schedule",
		changes(a, positionIn,
			func(in *wantAgain, seen int64) deed.Deed {
				return deed.WantAgain{Position: in.Position, Version: seen, Reopen: in.Body != nil && in.Body.Reopen}
			}))
	route(a, "PUT "+at+"/tail-seen", "seeTail", "Records that a tail was seen free", does(a, standsNow,
		func(in *OfPosition) (deed.Deed, error) {
			return deed.SeeTails{Positions: []id.Position{in.Position}}, nil
		}))
	route(a, "DELETE "+at+"/tail-seen", "unseeTail", "Undoes that a tail was seen free", does(a, standsNow,
		func(in *OfPosition) (deed.Deed, error) { return deed.UnseeTail{Position: in.Position}, nil }))
}

// Omission is why the client leaves a position out. It has a name of its own,
// because the document calls a body after its type.
type Omission struct {
	Reason
	mayReopen
}

// wantAgain may do without a body.
type wantAgain struct {
	SeenPosition
	Body *mayReopen
}

func (w wantAgain) yours() any { return w.Body }

// PositionWords are what the schedule says of a position.
type PositionWords struct {
	room.PositionDraft
	ID absent `json:"id,omitzero"`
}

// Position is a position on the schedule, with what the geometry says of it.
// The set-out says more.
type Position struct {
	room.Position
	Kind     string    `json:"kind"`
	Held     bool      `json:"held"`
	SeenFree time.Time `json:"seen_free,omitzero" doc:"When its tail was seen free."`

	Determinate bool              `json:"determinate" doc:"Its own measurements fix where it is."`
	Ambiguous   []roomsheet.Point `json:"ambiguous,omitempty" doc:"The two places that fit, where two do."`
	Checked     bool              `json:"checked" doc:"An error in any one of its measurements would show."`
	At          *roomsheet.Point  `json:"at,omitempty" doc:"Where it is."`
	Hit         float64           `json:"hit" doc:"The worst chance that its hole, unmoved, cuts a timber."`
}

func (p Position) version() int64 { return p.Version }

func viewPosition(j *standing.Standing, p room.Position) Position {
	out := Position{Position: p, Kind: p.Kind, Held: p.Held}
	if t := j.Record.SeenOf(p.ID); t != nil {
		out.SeenFree = t.At
	}
	a, _ := j.Position(p.ID)
	if a == nil {
		return out
	}
	out.Determinate, out.Checked = a.Determinate, a.Checked
	for _, v := range a.Ambiguous {
		out.Ambiguous = append(out.Ambiguous, roomsheet.Point{v.U, v.V})
	}
	if a.Determinate {
		out.At = &roomsheet.Point{a.At.U, a.At.V}
	}
	for _, t := range a.Timbers {
		out.Hit = max(out.Hit, t.Hit)
	}
	return out
}

// positionIn finds the position that a request is about.
func positionIn[I interface{ position() id.Position }](in *I, j *standing.Standing) (Position, error) {
	p, err := j.Record.Position((*in).position())
	if err != nil {
		return Position{}, err
	}
	return viewPosition(j, *p), nil
}
