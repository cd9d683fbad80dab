package programme

import (
	"context"
	"encoding/json"
	"fmt"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/words"
)

// The acts of the diary that say what the programme rests on. Codes never change.
const (
	ActPromise  = "promise"
	ActPin      = "pin"
	ActUnpin    = "unpin"
	ActOwed     = "owed"
	ActDropOwed = "drop_owed"
	ActThrough  = "through"
	ActComing   = "coming"
)

// version is that of the details below. They last: what is changed gets another version.
const version = 1

// PromiseDetail is the detail of ActPromise.
type PromiseDetail struct {
	V         int         `json:"v"`
	ID        id.Promise  `json:"id"`
	Room      id.Room     `json:"room,omitzero"`
	To        words.Trade `json:"to"`
	Stage     words.Stage `json:"stage"`
	On        string      `json:"on"`
	InPlaceOf id.Promise  `json:"in_place_of,omitzero"`
	Why       string      `json:"why,omitempty"`
}

// PinDetail is the detail of ActPin and, without a day, of ActUnpin.
type PinDetail struct {
	V     int         `json:"v"`
	Room  id.Room     `json:"room"`
	Stage words.Stage `json:"stage"`
	Trade words.Trade `json:"trade"`
	On    string      `json:"on,omitempty"`
}

// OwedDetail is the detail of ActOwed: all of it as it is from then on. That of ActDropOwed
// has the id alone.
type OwedDetail struct {
	V     int         `json:"v"`
	ID    id.Owed     `json:"id"`
	Room  id.Room     `json:"room"`
	Stage words.Stage `json:"stage"`
	What  string      `json:"what"`
	Lead  int         `json:"lead"`
	By    words.Trade `json:"by"`
	Since string      `json:"since,omitempty"`
	Came  string      `json:"came,omitempty"`
}

// DropDetail is the detail of ActDropOwed.
type DropDetail struct {
	V  int     `json:"v"`
	ID id.Owed `json:"id"`
}

// ThroughDetail is the detail of ActThrough: all the rooms through which one is reached.
type ThroughDetail struct {
	V    int       `json:"v"`
	Room id.Room   `json:"room"`
	By   []id.Room `json:"by"`
}

// ComingDetail is the detail of ActComing.
type ComingDetail struct {
	V    int     `json:"v"`
	Crew id.Crew `json:"crew"`
	On   string  `json:"on"`
}

// dateOf is a day as it stands in a detail; empty for none.
func dateOf(day time.Time) string {
	if day.IsZero() {
		return ""
	}
	return day.Format(time.DateOnly)
}

// Detailed returns the details of what is on record, as the entries that wrote it have
// them; instead is the promise in whose place it was given.
func (p *Promise) Detailed(instead id.Promise) PromiseDetail {
	return PromiseDetail{version, p.ID, p.Room, p.To, p.Stage, dateOf(p.On), instead, p.Why}
}

// Detailed returns the detail of a pin.
func (p *Pin) Detailed() PinDetail {
	return PinDetail{version, p.Piece.Room, p.Piece.Stage, p.Piece.Trade, dateOf(p.On)}
}

// Detailed returns the detail of what is owed.
func (o *Owed) Detailed() OwedDetail {
	return OwedDetail{version, o.ID, o.Room, o.For, o.What, o.Lead, o.By, dateOf(o.Since), dateOf(o.Came)}
}

// Detailed returns the detail of a crew's word.
func (c *Coming) Detailed() ComingDetail { return ComingDetail{version, c.Crew, dateOf(c.On)} }

// WayDetail returns the detail of the rooms through which one is reached.
func WayDetail(of id.Room, by []id.Room) ThroughDetail {
	return ThroughDetail{version, of, append([]id.Room{}, by...)}
}

// Ways returns the rooms through which others are reached, by those.
func (g *Given) Ways() map[id.Room][]id.Room {
	out := map[id.Room][]id.Room{}
	for _, t := range g.Through {
		if out[t.Room] == nil {
			out[t.Room] = g.through(t.Room)
		}
	}
	return out
}

// ReadDetail reads a detail in every version that there was. What was written by a program
// to come is an error that says so.
func ReadDetail[T any](text json.RawMessage) (d T, err error) {
	var head struct{ V int }
	if err := json.Unmarshal(text, &head); err != nil {
		return d, err
	}
	if head.V != version {
		return d, fmt.Errorf("it is of version %d, and this program reads up to %d", head.V, version)
	}
	return d, json.Unmarshal(text, &d)
}

// note writes a line of a job's diary. It comes last in a transaction.
func note(ctx context.Context, tx Tx, by firm.Person, of id.Job, room id.Room, stage, act, says string, detail any,
	at time.Time) error {
	e, err := diary.New(by, of, room, stage, act, says, detail, at)
	if err == nil {
		_, err = diary.Append(ctx, tx, e)
	}
	return err
}
