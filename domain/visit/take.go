package visit

import (
	"context"
	"encoding/json"
	"errors"
	"strings"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Service takes acts and keeps their answers.
type Service struct {
	book *deed.Book
	in   InTx
	look InTx
}

// NewService makes the service. in runs transactions that write, look those
// that only read; both as for room.NewBook.
func NewService(book *deed.Book, in, look InTx) *Service { return &Service{book, in, look} }

// Answered returns the answers that are final of acts that came before: those
// that were Kept, or are Both. Acts of other people are left out. The people on
// site may ask. Faults: Refused.
func (s *Service) Answered(ctx context.Context, by firm.Person, acts []id.Act) (map[id.Act]Answer, error) {
	if err := firm.MayRecord(by); err != nil {
		return nil, err
	}
	out := map[id.Act]Answer{}
	return out, s.look(ctx, by, func(tx Tx) error {
		all, err := tx.Acts(ctx, acts)
		for _, a := range all {
			if a.Member == by.ID && a.Answer.Word != Refused {
				out[a.ID] = a.Answer
			}
		}
		return err
	})
}

// Take takes one act, in a transaction of its own. The people on site may. One
// that was taken before gets the same answer and writes nothing; one that was
// Refused before is tried again. What stands in the way of an act is its answer
// and no error. Faults: Refused (who may not take part at all). Any other error
// is of the house: the act is neither taken nor refused, and may be sent again.
func (s *Service) Take(ctx context.Context, by firm.Person, a Act) (Answer, error) {
	if err := firm.MayRecord(by); err != nil {
		return Answer{}, err
	}
	answer, err := s.take(ctx, by, a)
	var f *fault.Error
	if !errors.As(err, &f) || passing(err) {
		return answer, err
	}
	return s.refuse(ctx, by, a, f)
}

func (s *Service) take(ctx context.Context, by firm.Person, a Act) (answer Answer, err error) {
	text, err := json.Marshal(a.Deed)
	if err != nil {
		return answer, err
	}
	_, err = deed.WriteWith(ctx, s.book, s.in, by, a.Room, func(tx Tx, w *deed.Writing) error {
		old, err := before(ctx, tx, by, a)
		if err != nil || old != nil && old.Answer.Word != Refused {
			if old != nil {
				answer = old.Answer
			}
			return err
		}
		w.AsOf(a.Made, by.ID)
		t := &taking{w: w}
		if t.others, err = since(ctx, tx, w, by.ID, a.Copy); err != nil {
			return err
		}
		if err := a.Deed.do(ctx, t); err != nil {
			return err
		}
		kept := stored(w, by, a, text)
		if kept.Answer, kept.Clash, err = t.answer(a); err != nil {
			return err
		}
		answer = kept.Answer
		return tx.SaveAct(ctx, kept)
	})
	return answer, err
}

// before returns what is kept of an act that came before, nil where it did not.
// Faults: Conflict, where its id is that of another act.
func before(ctx context.Context, tx Tx, by firm.Person, a Act) (*Stored, error) {
	old, err := tx.Act(ctx, a.ID)
	if fault.KindOf(err) == fault.NotFound {
		return nil, nil //nolint:nilnil // it did not come before
	}
	if err == nil && (old.Member != by.ID || old.Room != a.Room || old.Kind != KindOf(a.Deed)) {
		return nil, &fault.Error{Kind: fault.Conflict, Msg: "Something else came under this id."}
	}
	return &old, err
}

func stored(w *deed.Writing, by firm.Person, a Act, text json.RawMessage) Stored {
	return Stored{ID: a.ID, Room: a.Room, Member: by.ID, Kind: KindOf(a.Deed), Made: a.Made, Done: w.Made, Came: w.Now,
		Copy: max(a.Copy, 0), Deed: text}
}

// answer is what came of an act that was done.
func (t *taking) answer(a Act) (Answer, json.RawMessage, error) {
	out := Answer{Act: a.ID, Word: Kept, Says: "It was on record already."}
	if says := t.w.Says(); len(says) > 0 {
		out.Says = strings.Join(says, " ")
	}
	if !t.is() {
		return out, nil, nil
	}
	out.Word, out.Mine, out.Theirs = Both, strings.Join(t.mine, " "), strings.Join(t.theirs, " ")
	out.Says = "Somebody else wrote this down too. Both stand until one is chosen."
	if len(t.clash.Held) > 0 {
		out.Says = "Somebody else changed this meanwhile. Theirs stands until one is chosen."
	}
	kept, err := json.Marshal(t.clash)
	if err != nil {
		return out, nil, err
	}
	return out, kept, t.w.Note("both", nil, "Two records, to choose from: "+out.Mine+" Or: "+out.Theirs,
		entry{a.ID, KindOf(a.Deed)})
}

// entry is what the diary keeps of an act that is not simply on record.
type entry struct {
	Act  id.Act
	Kind Kind
}

// refuse keeps a refusal, after everything that the act wrote was taken back.
// Where it cannot be kept, as in a room that is not there, it is the answer all
// the same. The diary has a refusal once, however often the act is sent.
func (s *Service) refuse(ctx context.Context, by firm.Person, a Act, f *fault.Error) (Answer, error) {
	answer := refusal(a.ID, f)
	text, err := json.Marshal(a.Deed)
	if err != nil {
		return answer, err
	}
	_, err = deed.WriteWith(ctx, s.book, s.in, by, a.Room, func(tx Tx, w *deed.Writing) error {
		old, err := before(ctx, tx, by, a)
		if err != nil {
			return err
		}
		if old != nil && old.Answer.Word != Refused { // it was sent twice at once, and one went through
			answer = old.Answer
			return nil
		}
		w.AsOf(a.Made, by.ID)
		kept := stored(w, by, a, text)
		kept.Answer = answer
		if err := tx.SaveAct(ctx, kept); err != nil || old != nil && old.Answer.Says == answer.Says {
			return err
		}
		return w.Note("refused", nil, "Not taken, "+brought[KindOf(a.Deed)]+": "+answer.Says, entry{a.ID, KindOf(a.Deed)})
	})
	if fault.KindOf(err) != "" && !passing(err) {
		err = nil
	}
	return answer, err
}

// passing reports whether an error is of the moment, as when many write at once:
// a serialisation failure, a deadlock, or a lock that was not to be had
// (PostgreSQL's classes 40 and 55P03). Such an act is not refused; it waits.
func passing(err error) bool {
	var state interface{ SQLState() string }
	return errors.As(err, &state) && (strings.HasPrefix(state.SQLState(), "40") || state.SQLState() == "55P03")
}
