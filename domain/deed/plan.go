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

// Plan plans a build-up on faces, or on a surface itself, in place of the layers
// planned before. No layers takes the plan back. Faults: BadInput, NotFound,
// Conflict (a measurement names a layer that would go, or one is on already),
// Obstacle (first fix is signed off).
type Plan struct {
	Surface id.Surface   `json:"surface"`
	Datums  []id.Datum   `json:"datums,omitempty"` // the faces it goes on; none: the surface itself
	Layers  []firm.Layer `json:"layers"`
}

func (p Plan) do(ctx context.Context, t *Taking) error {
	if b := (firm.BuildUp{Name: "plan", Layers: p.Layers}); len(p.Layers) > 0 {
		if err := b.Check(); err != nil {
			return err
		}
	}
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
