package deed

import (
	"context"
	"fmt"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"reflect"
)

// AddWay records a cable's way through timbers. The people on site may. A way
// that is there already under its id is left alone. Faults: BadInput, NotFound
// (the surface), Conflict, Obstacle (first fix is signed off).
func (s *Service) AddWay(ctx context.Context, by firm.Person, roomID id.Room, way room.Way) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, roomID, firm.MayRecord, func(w *Writing) error {
		if err := way.Check(); err != nil {
			return err
		}
		if old, err := w.Record.Way(way.ID); err == nil {
			if !reflect.DeepEqual(*old, way) {
				return otherRecord()
			}
			return nil
		}
		on, err := w.Record.Surface(way.Surface)
		if err != nil {
			return err
		}
		way.ID = id.OrNew(way.ID)
		if err := w.InsertWay(ctx, roomID, way); err != nil {
			return err
		}
		return w.Note("add_way", nil, fmt.Sprintf("The cable's way %s was recorded on %s: %s.", way.Name, on.Name,
			way.CutWords()), way)
	})
}

// RemoveWay takes a way out. The people on site may. Faults: NotFound, Obstacle
// (first fix is signed off).
func (s *Service) RemoveWay(ctx context.Context, by firm.Person, roomID id.Room, way id.Way) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, roomID, firm.MayRecord, func(w *Writing) error {
		old, err := w.Record.Way(way)
		if err != nil {
			return err
		}
		if err := w.DeleteWay(ctx, way); err != nil {
			return err
		}
		return w.Note("remove_way", nil, "The cable's way "+old.Name+" was taken out.", old)
	})
}
