package deed

import (
	"context"
	"slices"
	"strings"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// SeeTails notes that tails were seen free, by name, before the boards: all of
// them or none. Seen already is no error. Faults: NotFound, Obstacle (boarding is
// signed off).
type SeeTails struct {
	Positions []id.Position `json:"positions"`
}

// onTail is what the diary keeps of a tail that was seen free, or is not after all.
type onTail struct {
	Position id.Position `json:"position"`
}

func readSeeTails(s *Sent) (Deed, error) {
	var d SeeTails
	for _, text := range strings.Fields(strings.Join(s.Values["seen"], " ")) {
		position, err := id.Parse[id.Position](text)
		if err != nil {
			s.Bad("", "one of the tails is not on the schedule", "Open the page once more and tick those that you see free")
			continue
		}
		d.Positions = append(d.Positions, position)
	}
	if len(s.Values["seen"]) == 0 {
		s.Bad("", "no tail is ticked", "Tick those that you see free")
	}
	return d, nil
}

// do holds a tail back that others found trapped since the copy.
func (d SeeTails) do(ctx context.Context, t *Taking) error {
	for i, of := range d.Positions {
		p, err := t.Record.Position(of)
		if err != nil {
			return err
		}
		e, found, err := t.last(func(e diary.Entry) (bool, error) {
			about, err := detail[onTail](e)
			return about.Position == of, err
		}, "see_tail", "unsee_tail")
		if err != nil {
			return err
		}
		if found && e.Act == "unsee_tail" {
			t.hold(i, "The tail of "+p.Name+" was seen free.", e)
		} else if err := t.seeTail(ctx, p); err != nil {
			return err
		}
	}
	return nil
}

func (d SeeTails) force(ctx context.Context, w *Writing, c clash) error {
	for i, of := range d.Positions {
		p, err := w.Record.Position(of)
		if err != nil {
			return err
		}
		if slices.Contains(c.Held, i) {
			if err := w.seeTail(ctx, p); err != nil {
				return err
			}
		}
	}
	return nil
}

func (w *Writing) seeTail(ctx context.Context, p *room.Position) error {
	if w.Record.SeenOf(p.ID) != nil {
		return nil
	}
	put(ctx, w, &w.Record.Seen, room.TailSeen{Position: p.ID, By: w.MadeBy,
		At: w.told(room.WasSeen, room.Subject{Position: p.ID})},
		Tx.InsertTailSeen)
	return w.Note("see_tail", &boarding, "The tail of "+p.Name+" was seen free.", onTail{p.ID})
}

// UnseeTail takes back that a tail was seen free: it was trapped after all.
// Faults as for SeeTails.
type UnseeTail struct {
	Position id.Position `json:"position"`
}

func (d UnseeTail) do(ctx context.Context, t *Taking) error {
	p, err := t.Record.Position(d.Position)
	if err != nil {
		return err
	}
	drop(ctx, t.Writing, &t.Record.Seen, p.ID, Tx.DeleteTailSeen)
	return t.Note("unsee_tail", &boarding, "The tail of "+p.Name+" is not free after all.", onTail{p.ID})
}
