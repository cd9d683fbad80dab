package deed

import (
	"context"
	"fmt"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// AddWay records a cable run through timbers. A way that is there already under
// its id is left alone. Faults: BadInput, NotFound (the surface), Conflict,
// Obstacle (first fix is signed off).
type AddWay struct {
	Way room.Way `json:"way"`
}

func readAddWay(s *Sent) (Deed, error) {
	surface, err := id.Parse[id.Surface](s.One)
	w := room.Way{ID: NewID[id.Way](s.Form, 0), Surface: surface,
		Name: s.Named("way_name", "the run has no name", "Say where it leads: to D4"),
		Kind: room.WayKind(s.Get("way_kind")), Size: s.Needed("way_size", "size"), Height: s.Number("way_height")}
	if w.Kind != room.HoleWay && w.Kind != room.NotchWay {
		s.Bad("way_kind", "it does not say what is cut", "Choose hole or notch")
	}
	w.A, w.B = s.Ends("way_from", "way_to", "the run needs both ends", "Give both in mm: 900 0")
	return AddWay{Way: w}, err
}

func (d AddWay) do(ctx context.Context, t *Taking) error {
	way := d.Way
	if err := way.Check(); err != nil {
		return err
	}
	if old, err := t.Record.Way(way.ID); err == nil {
		return sameAs(*old, way)
	}
	on, err := t.Record.Surface(way.Surface)
	if err != nil {
		return err
	}
	way.ID = id.OrNew(way.ID)
	put(ctx, t.Writing, &t.Record.Ways, way, Tx.InsertWay)
	return t.Note("add_way", nil, fmt.Sprintf("The cable run %s was recorded on %s: %s.", way.Name, on.Name,
		way.CutWords()), way)
}

// RemoveWay takes a cable run out. Faults: NotFound, Obstacle (first fix is
// signed off).
type RemoveWay struct {
	Way id.Way `json:"way"`
}

func (d RemoveWay) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Way(d.Way)
	if err != nil {
		return err
	}
	drop(ctx, t.Writing, &t.Record.Ways, d.Way, Tx.DeleteWay)
	return t.Note("remove_way", nil, "The cable run "+old.Name+" was removed.", old)
}
