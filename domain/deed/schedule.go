package deed

import (
	"context"
	"fmt"

	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Schedule puts positions on a surface's schedule. Where first fix is signed off this reopens it, and what follows,
// if Reopen says that whoever asks knows: the diary says so. Those that are there already under their id are skipped.
// Faults: BadInput, NotFound (the surface), Conflict (a name or an id is taken; stages would open again, unasked).
type Schedule struct {
	Surface   id.Surface           `json:"surface"`
	Positions []room.PositionDraft `json:"positions"`
	Reopen    bool                 `json:"reopen,omitzero"`
}

func (d Schedule) do(ctx context.Context, t *Taking) error {
	_, err := t.schedule(ctx, d.Surface, d.Positions, d.Reopen)
	return err
}

// schedule returns what was added.
func (w *Writing) schedule(ctx context.Context, surface id.Surface, drafts []room.PositionDraft,
	reopen bool) ([]room.Position, error) {
	on, err := w.Record.Surface(surface)
	if err != nil {
		return nil, err
	}
	if err := room.CheckPositions(drafts); err != nil {
		return nil, err
	}
	var fresh []room.Position
	for _, d := range drafts {
		p := d.Position(surface)
		if old, err := w.Record.Position(p.ID); err == nil {
			if old.Version == 1 && !old.Asked(p) {
				return nil, otherRecord()
			}
			continue
		}
		p.AddedAt = w.Now
		fresh = append(fresh, p)
	}
	if len(fresh) == 0 {
		return nil, nil
	}
	names, err := w.freeNames(fresh)
	if err != nil {
		return nil, err
	}
	after, stages := gate.AddPosition(w.Record.Gates)
	if err := w.opens(ctx, after, stages, reopen, "Adding", names, words.List(names)+" came onto the schedule.",
		"a position was added"); err != nil {
		return nil, err
	}
	for _, p := range fresh {
		put(ctx, w, &w.Record.Positions, p, Tx.InsertPosition)
	}
	return fresh, w.Note("add_positions", nil, fmt.Sprintf("%s came onto the schedule of %s.", words.List(names),
		words.InWords(on.Name)), fresh)
}

// freeNames returns the names of new positions. Faults: Conflict, with each name
// that is taken already or comes twice.
func (w *Writing) freeNames(fresh []room.Position) ([]string, error) {
	taken := map[string]bool{}
	for _, p := range w.Record.Positions {
		taken[p.Name] = true
	}
	var names, twice []string
	for _, p := range fresh {
		if taken[p.Name] {
			twice = append(twice, p.Name)
		}
		taken[p.Name] = true
		names = append(names, p.Name)
	}
	if len(twice) == 0 {
		return names, nil
	}
	return nil, &fault.Error{Kind: fault.Conflict, Msg: "The room has " + words.List(twice) + " already.",
		Fields: []fault.Field{{Path: "name", Wrong: "the room has " + words.List(twice) + " already",
			Mend: "Give another name, or leave it out of the list"}}}
}
