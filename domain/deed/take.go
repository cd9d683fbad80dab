package deed

import (
	"context"
	"encoding/json"
	"errors"
	"strings"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Answered returns the answers that are final of acts that came before: those
// that were Kept, or are Both. Acts of other people are left out. The people on
// site may ask. Faults: Refused.
func (k *Desk) Answered(ctx context.Context, by firm.Person, acts []id.Act) (map[id.Act]Answer, error) {
	if err := firm.MayRecord(by); err != nil {
		return nil, err
	}
	out := map[id.Act]Answer{}
	return out, k.look(ctx, by, func(tx Tx) error {
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
func (k *Desk) Take(ctx context.Context, by firm.Person, a Act) (Answer, error) {
	if err := firm.MayRecord(by); err != nil {
		return Answer{}, err
	}
	answer, err := k.take(ctx, by, a)
	var f *fault.Error
	if !errors.As(err, &f) || passing(err) {
		return answer, err
	}
	return k.refuse(ctx, by, a, f)
}

func (k *Desk) take(ctx context.Context, by firm.Person, a Act) (answer Answer, err error) {
	text, err := Encode(a.Deed)
	if err != nil {
		return answer, err
	}
	_, err = k.write(ctx, by, a.Room, func(w *Writing) error {
		old, err := before(ctx, w.Tx, by, a)
		if err != nil || old != nil && old.Answer.Word != Refused {
			if old != nil {
				answer = old.Answer
			}
			return err
		}
		w.AsOf(a.Made, by.ID)
		w.act = a.ID
		t := &Taking{Writing: w, phone: true}
		if t.others, err = since(ctx, w, by.ID, a.Copy); err != nil {
			return err
		}
		if err := a.Deed.do(ctx, t); err != nil {
			return err
		}
		kept := storedAct(w, by, a, text)
		if kept.Answer, kept.Clash, err = t.answer(a); err != nil {
			return err
		}
		answer = kept.Answer
		return w.Tx.SaveAct(ctx, kept)
	})
	return answer, err
}

// before returns what is kept of an act that came before, nil where it did not.
// Faults: Conflict, where its id is that of another act.
func before(ctx context.Context, tx Tx, by firm.Person, a Act) (*StoredAct, error) {
	old, err := tx.Act(ctx, a.ID)
	if fault.KindOf(err) == fault.NotFound {
		return nil, nil //nolint:nilnil // it did not come before
	}
	if err == nil && (old.Member != by.ID || old.Room != a.Room || old.Kind != KindOf(a.Deed)) {
		return nil, &fault.Error{Kind: fault.Conflict, Msg: "Something else was sent with this id."}
	}
	return &old, err
}

func storedAct(w *Writing, by firm.Person, a Act, text json.RawMessage) StoredAct {
	return StoredAct{ID: a.ID, Room: a.Room, Member: by.ID, Kind: KindOf(a.Deed), Made: a.Made, Done: w.Made, Came: w.Now,
		Copy: max(a.Copy, 0), Deed: text}
}

// AlreadyThere is the answer to an act that had nothing to add.
const AlreadyThere = "It was saved already."

// answer is what came of an act that was done.
func (t *Taking) answer(a Act) (Answer, json.RawMessage, error) {
	out := Answer{Act: a.ID, Word: Kept, Says: AlreadyThere}
	if says := t.Says(); len(says) > 0 {
		out.Says = strings.Join(says, " ")
	}
	if !t.is() {
		return out, nil, nil
	}
	out.Word, out.Mine, out.Theirs = Both, strings.Join(t.mine, " "), strings.Join(t.theirs, " ")
	out.Says = "Somebody else recorded this too. Both count until one is chosen."
	if len(t.clash.Held) > 0 {
		out.Says = "Somebody else changed this meanwhile. Their record counts until one is chosen."
	}
	kept, err := pack(t.clash)
	if err != nil {
		return out, nil, err
	}
	return out, kept, t.Note("both", nil, "Two records, to choose from: "+out.Mine+" Or: "+out.Theirs,
		aboutAct{a.ID, KindOf(a.Deed)})
}

// aboutAct is what the diary keeps of an act that is not simply on record.
type aboutAct struct {
	Act  id.Act `json:"act"`
	Kind Kind   `json:"kind"`
}

// refuse keeps a refusal, after everything that the act wrote was taken back.
// Where it cannot be kept, as in a room that is not there, it is the answer all
// the same. The diary has a refusal once, however often the act is sent.
func (k *Desk) refuse(ctx context.Context, by firm.Person, a Act, f *fault.Error) (Answer, error) {
	answer := refusal(a.ID, f)
	text, err := Encode(a.Deed)
	if err != nil {
		return answer, err
	}
	_, err = k.write(ctx, by, a.Room, func(w *Writing) error {
		old, err := before(ctx, w.Tx, by, a)
		if err != nil {
			return err
		}
		if old != nil && old.Answer.Word != Refused { // it was sent twice at once, and one went through
			answer = old.Answer
			return nil
		}
		w.AsOf(a.Made, by.ID)
		kept := storedAct(w, by, a, text)
		kept.Answer = answer
		if err := w.Tx.SaveAct(ctx, kept); err != nil || old != nil && old.Answer.Says == answer.Says {
			return err
		}
		return w.Note("refused", nil, "Not taken, "+Kinds[KindOf(a.Deed)].Brought+": "+answer.Says,
			aboutAct{a.ID, KindOf(a.Deed)})
	})
	if fault.KindOf(err) != "" && !passing(err) {
		err = nil
	}
	return answer, err
}

// passing reports whether an error is of the moment: the records are down, or many
// write at once, a serialisation failure, a deadlock, or a lock that was not to be had
// (PostgreSQL's classes 40 and 55P03). Such an act is not refused; it waits.
func passing(err error) bool {
	if fault.KindOf(err) == fault.Down {
		return true
	}
	var state interface{ SQLState() string }
	return errors.As(err, &state) && (strings.HasPrefix(state.SQLState(), "40") || state.SQLState() == "55P03")
}
