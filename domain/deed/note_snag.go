package deed

import (
	"context"
	"slices"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// KindSnag is a fault that has to be put right.
const KindSnag Kind = "snag"

var noteSnagSort = Sort{Kind: KindSnag, May: firm.MayRecord, At: "snags", Brought: "a snag",
	form: readNoteSnag, json: stored[NoteSnag], names: []string{"says", "what"}}

// NoteSnag notes a fault that has to be put right. A repeat with the same id
// adds nothing. Faults: BadInput, Conflict, Obstacle (decoration is signed off).
type NoteSnag struct {
	Snag room.Snag `json:"snag"`
}

// Kind is Deed.
func (NoteSnag) Kind() Kind { return KindSnag }

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
	says := strings.TrimSpace(d.Snag.Says)
	if says == "" || words.Characters(says) > longest {
		return bad("says", "there are no words, or over 400 characters of them", "Say it in a sentence")
	}
	if trade := d.Snag.Trade; trade != "" && (!slices.Contains(words.Trades, trade) || trade == words.Foreman ||
		trade == words.Client) {
		return bad("trade", "there is no such trade", "Give who puts it right, or leave it out")
	}
	if old, err := t.Record.Snag(d.Snag.ID); err == nil {
		if old.Says != says || old.Trade != d.Snag.Trade {
			return &fault.Error{Kind: fault.Conflict, Msg: "Another snag was noted under this id."}
		}
		return nil
	}
	n := room.Snag{ID: id.OrNew(d.Snag.ID), Says: says, Trade: d.Snag.Trade, NotedBy: t.MadeBy, NotedAt: t.Made}
	if err := t.InsertSnag(ctx, t.Record.ID, n); err != nil {
		return err
	}
	return t.Note("snag", &decoration, "Snag in "+t.Record.Name+": "+says, n)
}
