package api

import (
	"lathmark/domain/caution"
	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
)

// timbers are the addresses of timbers and of cable runs through them.
func (a *api) timbers() {
	route(a, "POST /rooms/{room}/timbers", "addTimbers", "Adds timbers", does(a, recorded,
		func(in *RoomBody[deed.AddTimbers]) (deed.Deed, error) {
			return in.Body, made("timbers[#].id", each(in.Body.Timbers, func(t room.Timber) id.Timber { return t.ID })...)
		}))
	route(a, "DELETE /rooms/{room}/timbers/{timber}", "removeTimber", "Removes a timber", does(a, standsNow,
		func(in *struct {
			OfRoom
			Timber id.Timber `path:"timber" format:"uuid"`
		}) (deed.Deed, error) {
			return deed.RemoveTimber{Timber: in.Timber}, nil
		}))
	route(a, "POST /rooms/{room}/ways", "addWay", "Records a cable run through timbers", does(a, recorded,
		func(in *RoomBody[room.Way]) (deed.Deed, error) {
			return deed.AddWay{Way: in.Body}, made("id", in.Body.ID)
		}))
	route(a, "DELETE /rooms/{room}/ways/{way}", "removeWay", "Removes a cable run", does(a, standsNow,
		func(in *struct {
			OfRoom
			Way id.Way `path:"way" format:"uuid"`
		}) (deed.Deed, error) {
			return deed.RemoveWay{Way: in.Way}, nil
		}))
	route(a, "GET /rooms/{room}/surfaces/{surface}/joist-limits", "joistLimits",
		"What may be cut in the timbers of a surface, and where, by each published rule", reads(a, joistLimits))
	route(a, "GET /rooms/{room}/surfaces/{surface}/joists", "joists",
		"Joists at even spacing, to be sent as timbers; saves nothing", reads(a, joists))
}

func joists(in *struct {
	OfSurface
	Along   string  `query:"along" enum:"u,v" required:"true" doc:"Which way they run."`
	First   float64 `query:"first" minimum:"0" doc:"From the low side to the first centre line."`
	Spacing float64 `query:"spacing" required:"true" doc:"From centre to centre."`
	Width   float64 `query:"width" required:"true" maximum:"1000"`
	Depth   float64 `query:"depth" minimum:"0" maximum:"2000"`
}, j *standing.Standing) (*answer[list[room.Timber]], error) {
	on, err := j.Record.Surface(in.Surface)
	if err != nil {
		return nil, err
	}
	return listed(func(t room.Timber) room.Timber {
		t.ID, t.Surface = id.New[id.Timber](), in.Surface
		return t
	})(room.Joists(on.Outline, in.Along == "u", in.First, in.Spacing, in.Width, in.Depth))
}

// WayThrough is a way with what it crosses, as the cable runs.
type WayThrough struct {
	room.Way
	Crossings []Crossing `json:"crossings"`
	Cautions  []Caution  `json:"cautions" doc:"Of its run: of one in a wall, outside of the safe zones."`
}

// Crossing is where a way goes through a timber.
type Crossing struct {
	room.Crossing
	Timber   id.Timber `json:"timber" format:"uuid"`
	Share    float64   `json:"share" doc:"at as a share of span, 0 to 0.5."`
	Cautions []Caution `json:"cautions" doc:"Of every published rule; none where the cut keeps to all."`
}

// Caution is guidance with its source.
type Caution struct {
	Code   string `json:"code"`
	Says   string `json:"says"`
	Source string `json:"source"`
	Decide string `json:"decide" doc:"Who decides, whatever is said here."`
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
	return WayThrough{w.Way, each(w.Crossings, func(c room.Crossing) Crossing {
		return Crossing{c, c.Timber.ID, c.Share(), each(c.Cautions, viewCaution)}
	}), each(w.Cautions, viewCaution)}
}

func viewCaution(c caution.Caution) Caution {
	return Caution{c.Code, c.Text, c.Source.String(), caution.Decide}
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

func joistLimits(in *OfSurface, j *standing.Standing) (*answer[list[JoistLimits]], error) {
	_, err := j.Record.Surface(in.Surface)
	return listed(func(l room.JoistLimits) JoistLimits {
		r := l.Rule
		return JoistLimits{each(l.Timbers, func(t room.Timber) id.Timber { return t.ID }), l.Depth, l.Span, r.Name,
			r.Source.String(), r.MaxDepth > 0 && l.Depth > r.MaxDepth, l.MaxHole, l.HoleFrom, l.HoleTo, r.HoleEdge,
			l.MaxNotch, l.MaxNotchLength, l.NotchFrom, l.NotchTo, r.MaxDepth}
	})(j.Record.JoistLimits(in.Surface), err)
}
