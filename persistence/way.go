package persistence

import (
	"context"

	"lathmark/domain/id"
	"lathmark/domain/room"
)

// InsertWay is room.Tx.
func (t *Tx) InsertWay(ctx context.Context, room id.Room, w room.Way) error {
	return t.soon.insert(ctx, insertInto("way",
		"firm_id, id, room_id, surface_id, name, kind, au, av, bu, bv, hole_mm, height_mm"),
		t.firm, w.ID, room, w.Surface, w.Name, w.Kind, w.A[0], w.A[1], w.B[0], w.B[1], w.Size, null(w.Height))
}

var scanWay = fields(func(w *room.Way) []any {
	return []any{&w.ID, &w.Surface, &w.Name, &w.Kind, &w.A[0], &w.A[1], &w.B[0], &w.B[1], &w.Size, opt(&w.Height)}
})

// DeleteWay is room.Tx.
func (t *Tx) DeleteWay(ctx context.Context, way id.Way) error {
	return t.soon.hit(ctx, "way", "delete from way where firm_id = $1 and id = $2", t.firm, way)
}
