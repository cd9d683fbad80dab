package deed

import (
	"cmp"
	"context"
	"strconv"
	"strings"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// AddSurface adds a surface and the faces round it. A repeat with the same id
// adds nothing. Faults: BadInput, Conflict, Obstacle (first fix is signed off).
type AddSurface struct {
	Surface room.SurfaceDraft `json:"surface"`
}

// readAddSurface reads a surface with what goes on it.
func readAddSurface(s *Sent) (Deed, error) {
	o := &outline{f: s.Form}
	d := room.SurfaceDraft{ID: NewID[id.Surface](s.Form, 0), Name: s.Get("name"), Kind: s.Get("kind"),
		Outline: o.corners("outline")}
	if kind, wall, ok := strings.Cut(d.Kind, " "); ok {
		d.Kind = kind
		d.Wall, _ = strconv.Atoi(wall) // 0 is refused
	}
	if d.Kind == "" {
		s.Bad("kind", "it does not say what it is", "Choose ceiling, floor, a wall or a slope")
	}
	if d.Kind == "slope" {
		d.Pitch, d.Length = s.Degrees("pitch"), s.Needed("length", "length up the slope")
	}
	if layers := s.Chosen("build_up", "layers"); len(layers) > 0 {
		return inTurn{AddSurface{d}, Plan{Surface: d.ID, Layers: layers}}, nil
	}
	return AddSurface{d}, nil
}

func (d AddSurface) do(ctx context.Context, t *Taking) error {
	if old, err := t.Record.Surface(d.Surface.ID); err == nil {
		if old.Kind != d.Surface.Kind || d.Surface.Name != "" && old.Name != d.Surface.Name {
			return otherRecord()
		}
		return nil
	}
	had, round := len(t.Record.Surfaces), len(t.Record.Datums)
	if err := t.addSurface(ctx, d.Surface, had+1); err != nil {
		return err
	}
	err := t.Note("add_surface", nil, "The "+d.Surface.Kind+" of "+t.Record.Name+" was drawn.", addedSurface{d.Surface,
		drawn{t.Record.Surfaces[had:], t.Record.Datums[round:]}})
	on := t.Record.Surfaces[had].ID
	drawn := []room.Appearance{{Surface: on}}
	for _, face := range t.Record.Datums[round:] {
		drawn = append(drawn, room.Appearance{Surface: on, Datum: face.ID})
	}
	for _, a := range drawn {
		err = cmp.Or(err, t.inherit(ctx, a))
	}
	return err
}

func (w *Writing) addSurface(ctx context.Context, d room.SurfaceDraft, place int) error {
	if d.Name == "" && d.Kind == "wall" && len(d.Outline) == 0 {
		d.Name = w.Record.FaceName(d.Wall)
	}
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

// addedSurface is what the diary keeps of a new surface.
type addedSurface struct {
	room.SurfaceDraft
	Drawn drawn `json:"drawn"`
}
