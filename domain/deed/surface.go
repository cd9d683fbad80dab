package deed

import (
	"context"

	"lathmark/domain/room"
)

// AddSurface adds a surface and the faces round it. A repeat with the same id
// adds nothing. Faults: BadInput, Conflict, Obstacle (first fix is signed off).
type AddSurface struct {
	Surface room.SurfaceDraft `json:"surface"`
}

func (d AddSurface) do(ctx context.Context, t *Taking) error {
	if old, err := t.Record.Surface(d.Surface.ID); err == nil {
		if old.Kind != d.Surface.Kind || d.Surface.Name != "" && old.Name != d.Surface.Name {
			return otherRecord()
		}
		return nil
	}
	if err := t.addSurface(ctx, d.Surface, len(t.Record.Surfaces)+1); err != nil {
		return err
	}
	return t.Note("add_surface", nil, "The "+d.Surface.Kind+" of "+t.Record.Name+" was drawn.", d.Surface)
}

func (w *Writing) addSurface(ctx context.Context, d room.SurfaceDraft, place int) error {
	surface, round, err := w.Record.Drawn(d, place)
	if err != nil {
		return err
	}
	put(ctx, w, &w.Record.Surfaces, surface, Tx.InsertSurface)
	for _, face := range round {
		put(ctx, w, &w.Record.Datums, face, Tx.InsertDatum)
	}
	return w.err
}
