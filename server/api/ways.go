package api

import (
	"context"

	"lathmark/domain/caution"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
)

// Way is a cable's way through the timbers of a surface: a straight run.
type Way struct {
	ID      id.Way          `json:"id" format:"uuid"`
	Surface id.Surface      `json:"surface" format:"uuid"`
	Name    string          `json:"name" minLength:"1" maxLength:"60" doc:"Where it leads."`
	Kind    room.WayKind    `json:"kind" enum:"hole,notch" doc:"What is cut where it crosses a timber; a notch is in the upper edge."`
	A       roomsheet.Point `json:"a" doc:"Where it begins."`
	B       roomsheet.Point `json:"b" doc:"Where it ends."`
	Size    float64         `json:"size" exclusiveMinimum:"0" maximum:"2000" doc:"The diameter of a hole, the depth of a notch."`
	Height  float64         `json:"height,omitzero" minimum:"0" maximum:"2000" doc:"Of a hole's centre above the timber's bottom; 0: not noted."`
}

// WayThrough is a way with what it crosses, as the cable runs.
type WayThrough struct {
	Way
	Crossings []Crossing `json:"crossings"`
}

// Crossing is where a way goes through a timber.
type Crossing struct {
	Timber     id.Timber `json:"timber" format:"uuid"`
	At         float64   `json:"at" doc:"From the nearer end of the timber."`
	Span       float64   `json:"span" doc:"The timber's length on the drawing, taken for its span."`
	Share      float64   `json:"share" doc:"at as a share of span, 0 to 0.5."`
	NeedsDepth bool      `json:"needs_depth" doc:"Nothing can be said before the joist's depth is recorded."`
	Cautions   []Caution `json:"cautions" doc:"Of every published rule; none where the cut keeps to all."`
}

// Caution is guidance with its source.
type Caution struct {
	Code   string `json:"code"`
	Says   string `json:"says"`
	Source string `json:"source"`
	Decide string `json:"decide" doc:"Who decides, whatever is said here."`
}

func viewCaution(c caution.Caution) Caution {
	return Caution{c.Code, c.Text, c.Source.String(), caution.Decide}
}

// waysOf are the ways of a room, surface by surface.
func waysOf(r *room.Record) []WayThrough {
	out := []WayThrough{}
	for _, s := range r.Surfaces {
		out = append(out, each(r.Through(s.ID), viewWay)...)
	}
	return out
}

func viewWay(w room.WayThrough) WayThrough {
	return WayThrough{Way{w.ID, w.Surface, w.Name, w.Kind, w.A, w.B, w.Size, w.Height},
		each(w.Crossings, func(c room.Crossing) Crossing {
			return Crossing{c.Timber.ID, c.At, c.Span, c.Share(), c.NeedsDepth, each(c.Cautions, viewCaution)}
		})}
}

func (a *api) addWay(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Body Way
}) (*answer[Record], error) {
	w := in.Body
	if err := made("id", w.ID); err != nil {
		return nil, err
	}
	return recorded(a.Room.AddWay(ctx, by, in.Room, room.Way{ID: w.ID, Surface: w.Surface, Name: w.Name, Kind: w.Kind,
		A: w.A, B: w.B, Size: w.Size, Height: w.Height}))
}

func (a *api) removeWay(ctx context.Context, by firm.Person, in *struct {
	OfRoom
	Way id.Way `path:"way" format:"uuid"`
}) (*answer[Standing], error) {
	return standsNow(a.Room.RemoveWay(ctx, by, in.Room, in.Way))
}

// JoistLimits is what one published rule lets be cut in timbers of one depth
// and length. Places are from the nearer end; 0 is none.
type JoistLimits struct {
	Timbers       []id.Timber `json:"timbers" format:"uuid"`
	Depth         float64     `json:"depth"`
	Span          float64     `json:"span" doc:"The timbers' length on the drawing."`
	Rule          string      `json:"rule"`
	Source        string      `json:"source"`
	AskEngineer   bool        `json:"ask_engineer" doc:"The timbers are deeper than the rule goes."`
	Hole          float64     `json:"hole" doc:"The largest diameter."`
	HoleFrom      float64     `json:"hole_from"`
	HoleTo        float64     `json:"hole_to" doc:"0: anywhere."`
	HoleEdge      float64     `json:"hole_edge" doc:"Timber left above and below; 0: the hole is on the centre line."`
	Notch         float64     `json:"notch" doc:"The greatest depth."`
	NotchLength   float64     `json:"notch_length" doc:"0: the rule does not say."`
	NotchFrom     float64     `json:"notch_from"`
	NotchTo       float64     `json:"notch_to"`
	GreatestDepth float64     `json:"greatest_depth" doc:"Of a joist that the rule is for; 0: it does not say."`
}

func (a *api) joistLimits(ctx context.Context, by firm.Person, in *OfSurface) (*answer[list[JoistLimits]], error) {
	j, err := a.Room.Read(ctx, by, in.Room)
	if err != nil {
		return nil, err
	}
	if _, err := j.Record.Surface(in.Surface); err != nil {
		return nil, err
	}
	return items(j.Record.JoistLimits(in.Surface), func(l room.JoistLimits) JoistLimits {
		r := l.Rule
		return JoistLimits{each(l.Timbers, func(t room.Timber) id.Timber { return t.ID }), l.Depth, l.Span, r.Name,
			r.Source.String(),
			r.MaxDepth > 0 && l.Depth > r.MaxDepth, l.MaxHole, l.HoleFrom, l.HoleTo, r.HoleEdge, l.MaxNotch, l.MaxNotchLength,
			l.NotchFrom, l.NotchTo, r.MaxDepth}
	}), nil
}
