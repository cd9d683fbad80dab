package deed

import (
	"context"
	"slices"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// NoteSnag notes a fault that has to be put right. A repeat with the same id
// adds nothing. Faults: BadInput, Conflict, Obstacle (decoration is signed off).
type NoteSnag struct {
	Snag room.Snag `json:"snag"`
}

func readNoteSnag(s *Sent) (Deed, error) {
	says := s.Get("what")
	if says == "" {
		s.Bad("what", "it does not say what is wrong", "Say it in a few words")
	}
	if where := s.Get("where"); where != "" {
		says += ", " + where
	}
	return NoteSnag{Snag: room.Snag{ID: NewID[id.Snag](s.Form, 0), Says: says}}, nil
}

func (d NoteSnag) do(ctx context.Context, t *Taking) error {
	says, trade := strings.TrimSpace(d.Snag.Says), d.Snag.Trade
	if says == "" || words.Characters(says) > longest {
		return bad("says", "there are no words, or over 400 characters of them", "Say it in a sentence")
	}
	if trade != "" && (!slices.Contains(words.Trades, trade) || trade == words.Foreman || trade == words.Client) {
		return bad("trade", "there is no such trade", "Give who puts it right, or leave it out")
	}
	if old, err := t.Record.Snag(d.Snag.ID); err == nil {
		if old.Says != says || old.Trade != trade {
			return &fault.Error{Kind: fault.Conflict, Msg: "Another snag was noted under this id."}
		}
		return nil
	}
	n := room.Snag{ID: id.OrNew(d.Snag.ID), Says: says, Trade: trade, NotedBy: t.MadeBy, NotedAt: t.Made}
	put(ctx, t.Writing, &t.Record.Snags, n, Tx.InsertSnag)
	return t.Note("snag", &decoration, "Snag in "+t.Record.Name+": "+says, n)
}

// CloseSnag says that a snag was put right. Closed already is no error. Faults:
// NotFound, Obstacle (decoration is signed off).
type CloseSnag struct {
	Snag id.Snag `json:"snag"`
}

func (d CloseSnag) do(ctx context.Context, t *Taking) error {
	old, err := t.Record.Snag(d.Snag)
	if err != nil || !old.ClosedAt.IsZero() {
		return err
	}
	now := *old
	now.ClosedBy, now.ClosedAt = t.MadeBy, t.told(room.WasClosed, room.Subject{Snag: d.Snag})
	put(ctx, t.Writing, &t.Record.Snags, now, func(tx Tx, ctx context.Context, _ id.Room, n room.Snag) error {
		return tx.CloseSnag(ctx, n.ID, n.ClosedBy, n.ClosedAt)
	})
	return t.Note("close_snag", &decoration, "Put right in "+t.Record.Name+": "+old.Says, d)
}
