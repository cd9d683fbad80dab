package deed

import (
	"context"

	"lathmark/domain/room"
)

// ChangeRoom changes a room's own fields; surfaces keep theirs. Faults: BadInput,
// Conflict (the version), Obstacle (first fix is signed off).
type ChangeRoom struct {
	Version int64       `json:"version,omitzero"` // the room's; 0: any
	Change  room.Change `json:"change"`
}

func (d ChangeRoom) do(ctx context.Context, t *Taking) error {
	old, c := t.Record.Room, d.Change
	want := room.Draft{ID: old.ID, Job: old.Job, Name: old.Name, Place: old.Place, Use: old.Use,
		Outline: old.Outline, Height: old.Height, Wet: old.Wet}
	if c.Name != nil {
		want.Name = *c.Name
	}
	if c.Place != nil {
		want.Place = *c.Place
	}
	if c.Use != nil {
		want.Use = *c.Use
	}
	if c.Outline != nil {
		want.Outline = c.Outline
	}
	if c.Height != nil {
		want.Height = *c.Height
	}
	if c.Wet != nil {
		want.Wet = c.Wet
	}
	r, err := want.Room()
	if err == nil {
		err = r.Sense(&old)
	}
	if err != nil {
		return err
	}
	if r.Same(old) && (d.Version == 0 || d.Version == old.Version) {
		return nil // nothing to change
	}
	t.both(func() error { return t.Tx.UpdateRoom(ctx, r, d.Version) }, func() {
		now := r
		now.CreatedAt, now.Revision, now.Version = old.CreatedAt, old.Revision, old.Version+1
		t.Record.Room = now
	})
	// A name that was signed is followed by its own lines: see proof.
	if old.Name != r.Name {
		says := old.Name + " is now called " + r.Name + "."
		if err := t.Note(ActRename, nil, says, Renamed{old.Name, r.Name}); err != nil {
			return err
		}
		if old.Name = r.Name; r.Same(old) {
			return nil
		}
	}
	return t.Note("change_room", nil, old.Name+" was changed.", changed[room.Room]{old, r})
}
