package deed

import (
	"context"
	"fmt"
	"slices"

	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
)

// PendingIn returns what waits in one room, or in all where it is none, for a choice
// that the person who asks may make, the oldest first: for the foreman every one,
// for others their own. The people on site may ask. Faults: Refused.
func (k *Desk) PendingIn(ctx context.Context, by firm.Person, in id.Room) (out []Pending, err error) {
	if err := firm.MayRecord(by); err != nil {
		return nil, err
	}
	of := by.ID
	if firm.MayRunJobs(by) == nil {
		of = id.Member{}
	}
	err = k.look(ctx, by, func(tx Tx) error {
		all, err := tx.OpenActs(ctx, of, in)
		for i := range all {
			a := &all[i]
			may, err := a.may()
			if in.IsZero() && fault.KindOf(err) == fault.Unreadable {
				continue // its room says so, and is in no other's way
			}
			if err != nil {
				return err
			}
			out = append(out, Pending{*a, may})
		}
		return err
	})
	return out, err
}

// may returns what can be chosen: two records can both stand where they are
// readings, or two holes that were cut.
func (a *StoredAct) may() ([]Choice, error) {
	c, d, err := a.held()
	if err != nil {
		return nil, err
	}
	if _, two := d.(besides); two || len(c.Held) == 0 {
		return Choices, nil
	}
	return []Choice{Mine, Theirs}, nil
}

// held reads what there is to choose between, and the deed.
func (a *StoredAct) held() (c clash, d Deed, err error) {
	if a.Clash == nil {
		return c, nil, nil
	}
	if c, err = Unpack[clash](a.Clash); err == nil {
		d, err = Decode(a.Kind, a.Deed)
	}
	if err != nil {
		err = room.Unreadable("what came from a phone", fmt.Errorf("the act %s: %w", a.ID, err))
	}
	return c, d, err
}

// Choose says which of two records of the same thing is to stand. The person
// whose act it was may, and the foreman. The same choice once more changes
// nothing. It returns the room it is about. Faults: Refused, NotFound, BadInput
// (no such choice), Conflict (another was chosen already), Obstacle (what would
// change is signed off).
func (k *Desk) Choose(ctx context.Context, by firm.Person, act id.Act, choice Choice) (of id.Room, err error) {
	if err := firm.MayRecord(by); err != nil {
		return of, err
	}
	err = k.look(ctx, by, func(tx Tx) error {
		a, err := tx.Act(ctx, act)
		if of = a.Room; err == nil && a.Member != by.ID && firm.MayRunJobs(by) != nil {
			return &fault.Error{Kind: fault.Refused, Msg: "Only the person who recorded it, or the foreman, can choose."}
		}
		return err
	})
	if err != nil {
		return of, err
	}
	_, err = k.write(ctx, by, of, func(w *Writing) error {
		a, err := w.Tx.Act(ctx, act) // as it is under the room's lock
		if err != nil {
			return err
		}
		return choose(ctx, w, &a, choice)
	})
	return of, err
}

func choose(ctx context.Context, w *Writing, a *StoredAct, choice Choice) error {
	may, err := a.may()
	if err != nil {
		return err
	}
	switch {
	case a.Answer.Word != Both:
		return &fault.Error{Kind: fault.Conflict, Msg: "There is nothing to choose: nobody else recorded it."}
	case a.Choice == choice && choice != "":
		return nil
	case a.Choice != "":
		return &fault.Error{Kind: fault.Conflict, Msg: "Somebody already chose the other one. Look at it as it is now."}
	case !slices.Contains(may, choice):
		return &fault.Error{Kind: fault.BadInput, Msg: "This cannot be chosen.",
			Fields: []fault.Field{{Path: "choice", Wrong: "it does not say which one counts",
				Mend: "Choose one of those offered"}}}
	}
	if err := apply(ctx, w, a, choice); err != nil {
		return err
	}
	if err := w.Tx.ChooseAct(ctx, a.ID, choice, w.By.ID, w.Now); err != nil {
		return err
	}
	return w.Note("choose", nil, chosen(a, choice), struct {
		aboutAct
		Choice Choice `json:"choice"`
	}{aboutAct{a.ID, a.Kind}, choice})
}

// chosen is a choice in a sentence.
func chosen(a *StoredAct, choice Choice) string {
	switch choice {
	case Mine:
		return fmt.Sprintf("Of two records, this one counts: %s Not: %s", a.Answer.Mine, a.Answer.Theirs)
	case Theirs:
		return fmt.Sprintf("Of two records, this one counts: %s Not: %s", a.Answer.Theirs, a.Answer.Mine)
	}
	return fmt.Sprintf("Two records both count: %s And: %s", a.Answer.Mine, a.Answer.Theirs)
}

// apply makes the record what was chosen.
func apply(ctx context.Context, w *Writing, a *StoredAct, choice Choice) error {
	c, d, err := a.held()
	if err != nil {
		return err
	}
	switch choice {
	case Mine:
		if err := w.strikeAll(ctx, c.Theirs); err != nil || len(c.Held) == 0 {
			return err
		}
		return asDone(w, a, func() error { return d.(forced).force(ctx, w, c) })
	case Theirs:
		return w.strikeAll(ctx, c.Mine)
	}
	if two, ok := d.(besides); ok {
		return asDone(w, a, func() error { return two.beside(ctx, w) })
	}
	return nil
}

// asDone runs do as of when, and by whom, the act was done.
func asDone(w *Writing, a *StoredAct, do func() error) error {
	w.AsOf(a.Done, a.Member)
	defer w.AsOf(w.Now, w.By.ID)
	return do()
}

// strikeAll strikes out readings that were not chosen; those that were struck out
// since stay so.
func (w *Writing) strikeAll(ctx context.Context, all []id.Measurement) error {
	for _, m := range all {
		if err := w.strike(ctx, m, 0, "Another record of the same thing was chosen."); err != nil {
			return err
		}
	}
	return nil
}
