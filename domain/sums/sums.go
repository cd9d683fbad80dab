// Package sums is what a phone works out of a room while it is without signal:
// what the acts that are not yet sent give, by the same rules and the same
// adjustment as on the server. The answer is the server's once it has the acts.
package sums

import (
	"encoding/json"
	"errors"
	"strings"
	"time"

	"lathmark/domain/fault"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/verdict"
)

// Format is the only value of a room's format field. A phone that kept a room
// of another format has no sums until it has signal again.
const Format = "lathmark-sums/2"

// Room is a room as a phone keeps it for the sums.
type Room struct {
	Format string       `json:"format"`
	Record *room.Record `json:"record"`
}

// Of is a room for the sums: the record without what bears on none.
func Of(r *room.Record) *Room {
	kept := *r
	kept.Ways, kept.Seen, kept.Photos, kept.Finished, kept.Patches, kept.Snags = nil, nil, nil, nil, nil, nil
	return &Room{Format, &kept}
}

// Asked is what a phone asks: a room as it was kept, and the acts since, in
// order.
type Asked struct {
	Room Room  `json:"room"`
	Acts []Act `json:"acts"`
}

// Answer is what the sums give.
type Answer struct {
	// Verdict is that on the last act; none where it was no reading, or was
	// not taken.
	Verdict *verdict.Verdict `json:"verdict,omitempty"`
	// Wrong is what has to be mended for the last act to be taken.
	Wrong []fault.Field `json:"wrong,omitempty"`
	// Holes are those still to open, in order, by all that is known now.
	Holes []Hole `json:"holes"`
	// SetOut is the set-out of the room, as the server sends it.
	SetOut *roomsheet.Answer `json:"setout"`
}

// Hole is a hole that is still to be opened.
type Hole struct {
	Position string         `json:"position"` // id
	Name     string         `json:"name"`
	Marks    []verdict.Mark `json:"marks"` // where to mark it, moves off timbers allowed for
	// PlusMinus is how far from there the tail may be, mm, 19 times in 20.
	PlusMinus float64 `json:"plusMinus"`
	Checked   bool    `json:"checked"`
	First     bool    `json:"first"` // to be opened before all others
}

// Work answers what a phone asks, both as JSON. Faults: BadInput where the
// room cannot be read.
func Work(asked []byte) ([]byte, error) {
	var in Asked
	if err := json.Unmarshal(asked, &in); err != nil {
		return nil, &fault.Error{Kind: fault.BadInput, Msg: "The room on this phone cannot be read.", Err: err}
	}
	if in.Room.Format != Format || in.Room.Record == nil {
		return nil, &fault.Error{Kind: fault.BadInput,
			Msg: "This phone has the room from another version. Open it once with signal."}
	}
	out, err := in.answer()
	if err != nil {
		return nil, err
	}
	return json.Marshal(out)
}

// answer takes the acts one after the other. One that the room does not take
// leaves no trace; the server will say so too.
func (in *Asked) answer() (*Answer, error) {
	r, now := in.Room.Record, time.Time{}
	out := &Answer{Holes: []Hole{}}
	j, err := standing.Of(r, now)
	if err != nil {
		return nil, err
	}
	for i := range in.Acts {
		a := &in.Acts[i]
		if a.Made.After(now) {
			now = a.Made
		}
		next, asked, err := take(j, a, now)
		out.Verdict, out.Wrong = asked, wrong(err)
		if err == nil {
			j = next
		}
	}
	for _, h := range j.Holes {
		out.Holes = append(out.Holes, Hole{Position: h.Position.ID.String(), Name: h.Position.Name, First: h.First,
			Marks: verdict.Planned(j.Record, &h.Position, h.Answer, h.Solved), PlusMinus: verdict.PlusMinus(h.Answer),
			Checked: h.Answer.Checked})
	}
	out.SetOut = j.SetOut()
	return out, nil
}

// wrong is what has to be mended.
func wrong(err error) []fault.Field {
	if err == nil {
		return nil
	}
	var f *fault.Error
	switch {
	case !errors.As(err, &f):
		return []fault.Field{{Wrong: "this cannot be worked out on the phone"}}
	case len(f.Fields) == 0:
		return []fault.Field{{Wrong: strings.TrimSuffix(f.Msg, ".")}}
	}
	return f.Fields
}
