package api

import (
	"context"
	"crypto/sha256"
	"fmt"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// OfPosition is a request about one position of a room.
type OfPosition struct {
	OfRoom
	Position id.Position `path:"position" format:"uuid"`
}

func (a *api) schedule(ctx context.Context, by firm.Person, in *struct {
	OfSurface
	Body struct {
		Positions []PositionDraft `json:"positions" minItems:"1" maxItems:"500"`
	}
}) (*answer[Record], error) {
	for i, p := range in.Body.Positions {
		if err := made(fmt.Sprintf("positions[%d].id", i), p.ID); err != nil {
			return nil, err
		}
	}
	return recorded(a.Room.Schedule(ctx, by, in.Room, in.Surface, each(in.Body.Positions, PositionDraft.draft)))
}

func (a *api) pasteSchedule(ctx context.Context, by firm.Person, in *struct {
	OfSurface
	Body struct {
		ID    id.Position `json:"id" format:"uuid" doc:"Yours to make, of version 7, for all lines together: the positions' own ids come from it."`
		Lines string      `json:"lines" minLength:"1" maxLength:"100000" doc:"One position a line: name, kind, cut-out, and where it is wanted as two lengths."`
	}
}) (*answer[Record], error) {
	if err := made("id", in.Body.ID); err != nil {
		return nil, err
	}
	drafts, err := room.ParseSchedule(in.Body.Lines)
	if err != nil {
		return nil, err
	}
	for i := range drafts {
		drafts[i].ID = nth(in.Body.ID, i)
	}
	return recorded(a.Room.Schedule(ctx, by, in.Room, in.Surface, drafts))
}

// nth is the id of record i of those that one id stands for: of version 7
// (RFC 9562), of the same time, the rest a hash.
func nth[T ~[16]byte](all T, i int) T {
	sum := sha256.Sum256(fmt.Appendf(nil, "%x %d", all[:], i))
	out := T(sum[:16])
	copy(out[:6], all[:6])
	out[6] = out[6]&0x0f | 0x70
	out[8] = out[8]&0x3f | 0x80
	return out
}

// Grid is a proposal for the schedule.
type Grid struct {
	Positions []PositionDraft `json:"positions" doc:"With ids, as the schedule takes them."`
	Stuck     []string        `json:"stuck" doc:"Those that no move within half a bay brings off the timbers."`
}

func (a *api) grid(ctx context.Context, by firm.Person, in *struct {
	OfSurface
	Rows       int     `query:"rows" minimum:"1" maximum:"500" required:"true"`
	Columns    int     `query:"columns" minimum:"1" maximum:"500" required:"true"`
	Prefix     string  `query:"prefix" maxLength:"20" doc:"D: D1, D2 ..."`
	From       int     `query:"from" minimum:"0" maximum:"100000" doc:"The first number; 0: 1."`
	Kind       string  `query:"kind" maxLength:"120"`
	Cutout     float64 `query:"cutout" minimum:"0"`
	OffTimbers bool    `query:"off_timbers" doc:"Move each by the least that brings it off the timbers."`
}) (*answer[Grid], error) {
	drafts, stuck, err := a.Room.Grid(ctx, by, in.Room, in.Surface,
		room.Grid{Rows: in.Rows, Columns: in.Columns, Prefix: in.Prefix, From: in.From, Kind: in.Kind, Cutout: in.Cutout},
		in.OffTimbers)
	if err != nil {
		return nil, err
	}
	return body(Grid{each(drafts, func(d room.PositionDraft) PositionDraft {
		d.ID = id.New[id.Position]()
		d.Trade = words.TradeOfKind(d.Kind)
		return viewDraft(d)
	}), append([]string{}, stuck...)}), nil
}

func (a *api) position(ctx context.Context, by firm.Person, in *OfPosition) (*versioned[Position], error) {
	j, err := a.Room.Read(ctx, by, in.Room)
	if err != nil {
		return nil, err
	}
	p, err := j.Record.Position(in.Position)
	if err != nil {
		return nil, err
	}
	return tagged(viewPosition(j, *p)), nil
}

// SeenPosition is a write to one position that somebody saw.
type SeenPosition struct {
	OfPosition
	IfMatch
}

// changed answers with the position after a write that saw a version of it.
func (a *api) changed(ctx context.Context, by firm.Person, in SeenPosition, yours any,
	write func(seen int64) (*standing.Standing, error)) (*versioned[Position], error) {
	seen, err := in.version()
	if err != nil {
		return nil, err
	}
	j, err := write(seen)
	if err != nil {
		return nil, stale(ctx, a, by, in.Room, err, seen, yours, positionIn(in.Position))
	}
	p, _ := positionIn(in.Position)(j)
	return tagged(p), nil
}

func (a *api) changePosition(ctx context.Context, by firm.Person, in *struct {
	SeenPosition
	Body PositionWords
}) (*versioned[Position], error) {
	return a.changed(ctx, by, in.SeenPosition, in.Body, func(seen int64) (*standing.Standing, error) {
		return a.Room.ChangePosition(ctx, by, in.Room, in.Position, seen, in.Body.draft(in.Position))
	})
}

// Reason is why something is done.
type Reason struct {
	Reason string `json:"reason" minLength:"1" maxLength:"400"`
}

// atPositionWhy is a write to one position with a reason.
type atPositionWhy struct {
	SeenPosition
	Body Reason
}

func (a *api) hold(ctx context.Context, by firm.Person, in *atPositionWhy) (*versioned[Position], error) {
	return a.changed(ctx, by, in.SeenPosition, in.Body, func(seen int64) (*standing.Standing, error) {
		return a.Room.Hold(ctx, by, in.Room, in.Position, seen, in.Body.Reason)
	})
}

func (a *api) release(ctx context.Context, by firm.Person, in *SeenPosition) (*versioned[Position], error) {
	return a.changed(ctx, by, *in, nil, func(seen int64) (*standing.Standing, error) {
		return a.Room.Release(ctx, by, in.Room, in.Position, seen)
	})
}

func (a *api) omit(ctx context.Context, by firm.Person, in *atPositionWhy) (*versioned[Position], error) {
	return a.changed(ctx, by, in.SeenPosition, in.Body, func(seen int64) (*standing.Standing, error) {
		return a.Room.Omit(ctx, by, in.Room, in.Position, seen, in.Body.Reason)
	})
}

func (a *api) wantAgain(ctx context.Context, by firm.Person, in *SeenPosition) (*versioned[Position], error) {
	return a.changed(ctx, by, *in, nil, func(seen int64) (*standing.Standing, error) {
		return a.Room.WantAgain(ctx, by, in.Room, in.Position, seen)
	})
}
