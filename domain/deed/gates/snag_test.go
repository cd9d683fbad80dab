package gates_test

import (
	"errors"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// A snag is given only to somebody who is on the job: not to a client, to a trade of another job, to one who has left,
// or to nobody.
func TestASnagIsForSomebodyOnTheJob(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	of := s.Utility(t, "D1").Record.ID
	elsewhere, left := s.AddTo(t, "Per Dahl", firm.Trade, words.Tiler), s.Add(t, "Ines Roth", firm.Trade, words.Tiler)
	if err := s.Firm.EndMember(ctx, s.Owner, left.ID); err != nil {
		t.Fatal(err)
	}
	note := func(who id.Member) error {
		_, err := s.Desk.Do(ctx, s.Foreman, of, deed.NoteSnag{Snag: room.Snag{Says: "a chip in a tile", Trade: words.Tiler,
			Person: who}})
		return err
	}
	for what, who := range map[string]id.Member{"a client": s.Add(t, "Wim Haas", firm.Client, "").ID,
		"a trade of another job": elsewhere.ID, "one who left": left.ID, "nobody": id.New[id.Member]()} {
		f := (*fault.Error)(nil)
		if err := note(who); !errors.As(err, &f) || f.Kind != fault.BadInput || f.Fields[0].Path != "person" {
			t.Errorf("given to %s: %v", what, err)
		}
	}
	j, err := s.Desk.Read(ctx, s.Foreman, of)
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Firm.AddToJob(ctx, s.Owner, elsewhere.ID, j.Record.Job); err != nil {
		t.Fatal(err)
	}
	if err := note(elsewhere.ID); err != nil {
		t.Errorf("given to somebody on the job: %v", err)
	}
	s.Holds(t)
}
