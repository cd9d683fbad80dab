package deed

import (
	"context"
	"fmt"
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// BuildUpSort is the form of what will go on one face: a Plan, or that it stays
// bare.
var BuildUpSort = Sort{Kind: KindPlan, May: firm.MayRunJobs, form: readBuildUp, names: onPlan}

// onPlan are the fields of a build-up as its forms call them.
var onPlan = []string{"name", "layers", "datums", "layers"}

// Plan plans a build-up on faces, or on a surface itself, in place of the layers
// planned before. No layers takes the plan back. Faults: BadInput, NotFound,
// Conflict (a measurement names a layer that would go, or one is on already),
// Obstacle (first fix is signed off).
type Plan struct {
	Surface id.Surface   `json:"surface"`
	Datums  []id.Datum   `json:"datums,omitempty"` // the faces it goes on; none: the surface itself
	Layers  []firm.Layer `json:"layers"`
}

// readPlan reads what will go on a surface itself.
func readPlan(s *Sent) (Deed, error) {
	surface, err := id.Parse[id.Surface](s.One)
	return Plan{Surface: surface, Layers: s.Chosen("build_up", "layers")}, err
}

// readBuildUp puts the layers and the mark in the order in which each may be: a
// face that stays bare has no layers.
func readBuildUp(s *Sent) (Deed, error) {
	d, err := ByID(s.Standing.Record.Datum, s.One)
	if err != nil {
		return nil, err
	}
	bare := s.Get("stays_bare") != ""
	p := Plan{Surface: d.Surface, Datums: []id.Datum{d.ID}, Layers: s.Chosen("standard", "layers")}
	if s.Get("others") != "" && !bare {
		for _, o := range Unplanned(s.Standing.Record, d) {
			p.Datums = append(p.Datums, o.ID)
		}
	}
	mark := StaysBare{Datum: d.ID, Stays: bare}
	switch {
	case bare && len(p.Layers) > 0:
		s.Bad("stays_bare", "it is to stay bare, and layers are given", "Take one of the two away")
	case bare:
		return inTurn{p, mark}, nil
	case len(p.Layers) == 0:
		s.Bad("layers", "nothing is given", "Give the layers, or say that it stays bare")
	case d.StaysBare:
		return inTurn{mark, p}, nil
	}
	return p, nil
}

// Unplanned returns the other faces of a face's surface for which nothing is
// planned, and of which nobody said that they stay bare.
func Unplanned(r *room.Record, d *room.Datum) []*room.Datum {
	var out []*room.Datum
	for i := range r.Datums {
		o := &r.Datums[i]
		if o.Surface == d.Surface && o.ID != d.ID && o.Kind == words.Face && !o.StaysBare &&
			len(r.LayersOf(o.Surface, o.ID)) == 0 {
			out = append(out, o)
		}
	}
	return out
}

func (p Plan) do(ctx context.Context, t *Taking) error {
	if b := (firm.BuildUp{Name: "plan", Layers: p.Layers}); len(p.Layers) > 0 {
		if err := b.Check(); err != nil {
			return err
		}
	}
	for i, one := range p.everywhere(t.Record) {
		if i > 0 && len(p.Layers) > 0 && len(one.Datums) > 0 { // it was to stay bare there, and is not to here
			if err := (StaysBare{Datum: one.Datums[0]}).on(ctx, t); err != nil {
				return err
			}
		}
		if err := one.on(ctx, t); err != nil {
			return err
		}
	}
	return nil
}

// everywhere returns the plan, and after it the same for every other place in which the walls that it is for are
// drawn, a plan for each surface: one wall has one build-up.
func (p Plan) everywhere(r *room.Record) []Plan {
	given, plans := p.appearances(), []Plan{p}
	for _, a := range given {
		for _, o := range r.SameWall(a)[1:] {
			if slices.Contains(given, o) {
				continue
			}
			given = append(given, o)
			more := Plan{Surface: o.Surface, Layers: p.Layers}
			if !o.Datum.IsZero() {
				more.Datums = []id.Datum{o.Datum}
			}
			plans = append(plans, more)
		}
	}
	return plans
}

// appearances are the places that the plan names.
func (p Plan) appearances() (out []room.Appearance) {
	for _, d := range p.Datums {
		out = append(out, room.Appearance{Surface: p.Surface, Datum: d})
	}
	if len(out) == 0 {
		out = append(out, room.Appearance{Surface: p.Surface})
	}
	return out
}

// on plans the layers on what the plan names, and nowhere else.
func (p Plan) on(ctx context.Context, t *Taking) error {
	surface, err := t.Record.Surface(p.Surface)
	if err != nil {
		return err
	}
	names := ""
	for _, datum := range p.Datums {
		d, err := t.Record.Datum(datum)
		if err != nil || d.Surface != p.Surface {
			return room.Missing("datum")
		}
		if d.Kind != words.Face || d.StaysBare && len(p.Layers) > 0 {
			return &fault.Error{Kind: fault.BadInput, Msg: "Nothing goes on " + d.Name + ": it is no face, or is to stay bare.",
				Fields: []fault.Field{{Path: "datums", Wrong: d.Name + " is no face, or is to stay bare", Mend: "Leave it out"}}}
		}
		if p.planned(t.Record.LayersOf(p.Surface, datum)) {
			continue // sent twice, or planned on this one already
		}
		if err := p.replace(ctx, t.Writing, datum); err != nil {
			return err
		}
		names += ", " + d.Name
	}
	if len(p.Datums) == 0 && !p.planned(t.Record.LayersOf(p.Surface, id.Datum{})) {
		names = ", the surface itself"
		if err := p.replace(ctx, t.Writing, id.Datum{}); err != nil {
			return err
		}
	}
	if names == "" {
		return nil
	}
	return t.Note("plan_build_up", nil, fmt.Sprintf("%s, %s: %s planned.", surface.Name, names[2:], p.words()), p)
}

// planned reports whether layers are those of the plan.
func (p Plan) planned(on []room.Layer) bool {
	return slices.EqualFunc(on, p.Layers, func(a room.Layer, b firm.Layer) bool {
		return a.Name == b.Name && a.Thickness == b.Thickness && a.Sigma == b.Sigma && a.Stage == b.Stage
	})
}

func (p Plan) replace(ctx context.Context, w *Writing, datum id.Datum) error {
	for _, l := range w.Record.LayersOf(p.Surface, datum) {
		if by := w.Record.Naming(&l); by != "" {
			return &fault.Error{Kind: fault.Conflict, Msg: "The " + l.Name + " stays planned: " + by + "."}
		}
	}
	var layers []room.Layer
	for i, l := range p.Layers {
		layers = append(layers, room.Layer{ID: id.New[id.Layer](), Surface: p.Surface, Datum: datum, Place: i + 1,
			Name: l.Name, Thickness: l.Thickness, Sigma: l.Sigma, Stage: l.Stage})
	}
	w.replaceLayers(ctx, p.Surface, datum, layers)
	return nil
}

func (p Plan) words() string {
	out := ""
	for _, l := range p.Layers {
		out += fmt.Sprintf(", %s %g mm", l.Name, l.Thickness)
	}
	if out == "" {
		return "no layers"
	}
	return out[2:]
}
