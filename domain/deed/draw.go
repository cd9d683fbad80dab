package deed

import (
	"context"
	"fmt"
	"reflect"
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// AddDatum adds something to measure from: a steel, a stack, a further face.
// The people on site may. A repeat with the same id adds nothing. Faults:
// BadInput, NotFound (the surface), Conflict, Obstacle (first fix is signed off).
func (s *Service) AddDatum(ctx context.Context, by firm.Person, roomID id.Room, d room.Datum) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, roomID, firm.MayRecord, func(w *Writing) error {
		if old, err := w.Record.Datum(d.ID); err == nil {
			d.Place = old.Place
			if *old != d {
				return otherRecord()
			}
			return nil
		}
		if _, err := w.Record.Surface(d.Surface); err != nil {
			return err
		}
		d.ID, d.Place = id.OrNew(d.ID), len(w.Record.Datums)+1
		if err := w.InsertDatum(ctx, roomID, d); err != nil {
			return err
		}
		return w.Note("add_datum", nil, d.Name+" was drawn as a datum.", d)
	})
}

// RemoveDatum takes a datum out that nothing was ever measured from and no
// layer is planned on. The owner and the foreman may. Faults: NotFound,
// Conflict (it is used), Obstacle (first fix is signed off).
func (s *Service) RemoveDatum(ctx context.Context, by firm.Person, roomID id.Room, datum id.Datum) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, roomID, firm.MayRunJobs, func(w *Writing) error {
		d, err := w.Record.Datum(datum)
		if err != nil {
			return err
		}
		used := slices.IndexFunc(w.Record.Measurements,
			func(m room.Measurement) bool { return m.From == datum || m.To == datum })
		if used >= 0 {
			return &fault.Error{Kind: fault.Conflict,
				Msg: d.Name + " stays: " + w.Record.Measurements[used].Name + " was measured from it."}
		}
		if err := w.ReplaceLayers(ctx, roomID, d.Surface, datum, nil); err != nil {
			return err
		}
		if err := w.DeleteDatum(ctx, datum); err != nil {
			return err
		}
		return w.Note("remove_datum", nil, d.Name+" was taken out.", d)
	})
}

// SetStaysBare says that nothing will go on a face, or takes that back. The
// owner and the foreman may. Faults: NotFound, BadInput (it is no face, or has
// layers planned), Obstacle (first fix is signed off).
func (s *Service) SetStaysBare(ctx context.Context, by firm.Person, roomID id.Room, datum id.Datum,
	stays bool) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, roomID, firm.MayRunJobs, func(w *Writing) error {
		d, err := w.Record.Datum(datum)
		if err != nil {
			return err
		}
		if d.Kind != words.Face || stays && len(w.Record.LayersOf(d.Surface, d.ID)) > 0 {
			return badFace(d.Name)
		}
		if d.StaysBare == stays {
			return nil
		}
		if err := w.UpdateStaysBare(ctx, datum, stays); err != nil {
			return err
		}
		says := d.Name + " stays bare."
		if !stays {
			says = d.Name + " does not stay bare after all."
		}
		return w.Note("stays_bare", nil, says, struct{ Datum, StaysBare any }{d.ID, stays})
	})
}

func badFace(name string) error {
	return &fault.Error{Kind: fault.BadInput, Msg: name + " cannot stay bare: it is no face, or layers are planned on it.",
		Fields: []fault.Field{{Path: "stays_bare", Wrong: "layers are planned on " + name + ", or it is no face",
			Mend: "Take the layers out first"}}}
}

// Plan is a build-up planned on faces, or on a surface itself.
type Plan struct {
	Surface id.Surface
	Datums  []id.Datum // the faces it goes on; none: the surface itself
	Layers  []firm.Layer
}

// PlanBuildUp plans layers, in place of those planned before. No layers takes
// the plan back. The owner and the foreman may. Faults: BadInput, NotFound,
// Conflict (a measurement names a layer that would go, or one is on already),
// Obstacle (first fix is signed off).
func (s *Service) PlanBuildUp(ctx context.Context, by firm.Person, roomID id.Room, p Plan) (*standing.Standing, error) {
	if b := (firm.BuildUp{Name: "plan", Layers: p.Layers}); len(p.Layers) > 0 {
		if err := b.Check(); err != nil {
			return nil, err
		}
	}
	return s.book.Write(ctx, by, roomID, firm.MayRunJobs, func(w *Writing) error {
		surface, err := w.Record.Surface(p.Surface)
		if err != nil {
			return err
		}
		names := ""
		for _, datum := range p.Datums {
			d, err := w.Record.Datum(datum)
			if err != nil || d.Surface != p.Surface {
				return room.Missing("datum")
			}
			if d.Kind != words.Face || d.StaysBare && len(p.Layers) > 0 {
				return &fault.Error{Kind: fault.BadInput, Msg: "Nothing goes on " + d.Name + ": it is no face, or is to stay bare.",
					Fields: []fault.Field{{Path: "datums", Wrong: d.Name + " is no face, or is to stay bare", Mend: "Leave it out"}}}
			}
			if p.planned(w.Record.LayersOf(p.Surface, datum)) {
				continue // sent twice, or planned on this one already
			}
			if err := replaceLayers(ctx, w, p, datum); err != nil {
				return err
			}
			names += ", " + d.Name
		}
		if len(p.Datums) == 0 && !p.planned(w.Record.LayersOf(p.Surface, id.Datum{})) {
			names = ", the surface itself"
			if err := replaceLayers(ctx, w, p, id.Datum{}); err != nil {
				return err
			}
		}
		if names == "" {
			return nil
		}
		return w.Note("plan_build_up", nil, fmt.Sprintf("%s, %s: %s planned.", surface.Name, names[2:], layerWords(p.Layers)),
			p)
	})
}

// planned reports whether layers are those of the plan.
func (p *Plan) planned(on []room.Layer) bool {
	return slices.EqualFunc(on, p.Layers, func(a room.Layer, b firm.Layer) bool {
		return a.Name == b.Name && a.Thickness == b.Thickness && a.Sigma == b.Sigma && a.Stage == b.Stage
	})
}

func replaceLayers(ctx context.Context, w *Writing, p Plan, datum id.Datum) error {
	for _, l := range w.Record.LayersOf(p.Surface, datum) {
		if by := w.Record.Naming(&l); by != "" {
			return &fault.Error{Kind: fault.Conflict, Msg: "The " + l.Name + " stays planned: " + by + "."}
		}
	}
	var layers []room.Layer
	for i, l := range p.Layers {
		layers = append(layers, room.Layer{ID: id.New[id.Layer](), Surface: p.Surface, Datum: datum, Place: i + 1,
			Name:      l.Name,
			Thickness: l.Thickness, Sigma: l.Sigma, Stage: l.Stage})
	}
	return w.ReplaceLayers(ctx, w.Record.ID, p.Surface, datum, layers)
}

func layerWords(layers []firm.Layer) string {
	out := ""
	for _, l := range layers {
		out += fmt.Sprintf(", %s %g mm", l.Name, l.Thickness)
	}
	if out == "" {
		return "no layers"
	}
	return out[2:]
}

// AddTimbers draws joists, rafters, studs or noggins. The people on site may.
// Those that are there already under their id are skipped. Faults: BadInput,
// NotFound (the surface), Conflict, Obstacle (first fix is signed off).
func (s *Service) AddTimbers(ctx context.Context, by firm.Person, roomID id.Room,
	timbers []room.Timber) (*standing.Standing, error) {
	return s.book.Write(ctx, by, roomID, firm.MayRecord, func(w *Writing) error {
		n := 0
		for _, t := range timbers {
			if old, err := w.Record.Timber(t.ID); err == nil {
				if !reflect.DeepEqual(*old, t) {
					return otherRecord()
				}
				continue
			}
			if _, err := w.Record.Surface(t.Surface); err != nil {
				return err
			}
			t.ID = id.OrNew(t.ID)
			if err := w.InsertTimber(ctx, roomID, t); err != nil {
				return err
			}
			n++
		}
		if n == 0 {
			return nil
		}
		return w.Note("add_timbers", nil, fmt.Sprintf("%d timbers were drawn in %s.", n, w.Record.Name), timbers)
	})
}

// RemoveTimber takes a timber out. The people on site may. Faults: NotFound,
// Obstacle (first fix is signed off).
func (s *Service) RemoveTimber(ctx context.Context, by firm.Person, roomID id.Room,
	timber id.Timber) (*standing.Standing, error) {
	return s.book.Write(ctx, by, roomID, firm.MayRecord, func(w *Writing) error {
		t, err := w.Record.Timber(timber)
		if err != nil {
			return err
		}
		if err := w.DeleteTimber(ctx, timber); err != nil {
			return err
		}
		return w.Note("remove_timber", nil, t.Name+" was taken out.", t)
	})
}
