package visit

import (
	"context"
	"encoding/json"
	"fmt"
	"slices"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
)

// Open returns what waits for the choice of the person who asks, the oldest
// first. The people on site may ask. Faults: Refused.
func (s *Service) Open(ctx context.Context, by firm.Person) ([]Pending, error) {
	return s.open(ctx, by, by.ID, id.Room{})
}

// OpenIn returns what waits in one room for a choice that the person who asks may
// make: the foreman every one, others their own. Who and faults as for Open.
func (s *Service) OpenIn(ctx context.Context, by firm.Person, in id.Room) ([]Pending, error) {
	of := by.ID
	if firm.MayRunJobs(by) == nil {
		of = id.Member{}
	}
	return s.open(ctx, by, of, in)
}

func (s *Service) open(ctx context.Context, by firm.Person, of id.Member, in id.Room) (out []Pending, err error) {
	if err := firm.MayRecord(by); err != nil {
		return nil, err
	}
	err = s.look(ctx, by, func(tx Tx) error {
		all, err := tx.OpenActs(ctx, of, in)
		for i := range all {
			a := &all[i]
			out = append(out, Pending{Act: a.ID, Kind: a.Kind, Job: a.Job, Room: a.Room, RoomName: a.RoomName, By: a.Member,
				Done: a.Done,
				Mine: a.Answer.Mine, Theirs: a.Answer.Theirs, May: a.may()})
		}
		return err
	})
	return out, err
}

// may returns what can be chosen: two records can both stand where they are
// readings, or two holes that were cut.
func (a *Stored) may() []Choice {
	var c clash
	if json.Unmarshal(a.Clash, &c) == nil && (len(c.Held) == 0 || a.Kind == KindOpen) {
		return Choices
	}
	return []Choice{Mine, Theirs}
}

// Choose says which of two records of the same thing is to stand. The person
// whose act it was may, and the foreman. The same choice once more changes
// nothing. It returns the room it is about. Faults: Refused, NotFound, BadInput
// (no such choice), Conflict (another was chosen already), Obstacle (what would
// change is signed off).
func (s *Service) Choose(ctx context.Context, by firm.Person, act id.Act, choice Choice) (of id.Room, err error) {
	if err := firm.MayRecord(by); err != nil {
		return of, err
	}
	err = s.look(ctx, by, func(tx Tx) error {
		a, err := tx.Act(ctx, act)
		if of = a.Room; err == nil && a.Member != by.ID && firm.MayRunJobs(by) != nil {
			return &fault.Error{Kind: fault.Refused, Msg: "The one who wrote it down chooses, or the foreman."}
		}
		return err
	})
	if err != nil {
		return of, err
	}
	_, err = deed.WriteWith(ctx, s.book, s.in, by, of, func(tx Tx, w *deed.Writing) error {
		a, err := tx.Act(ctx, act) // as it is under the room's lock
		if err != nil {
			return err
		}
		return choose(ctx, tx, w, &a, choice)
	})
	return of, err
}

func choose(ctx context.Context, tx Tx, w *deed.Writing, a *Stored, choice Choice) error {
	switch {
	case a.Answer.Word != Both:
		return &fault.Error{Kind: fault.Conflict, Msg: "There is nothing to choose: nobody else wrote about it."}
	case a.Choice == choice && choice != "":
		return nil
	case a.Choice != "":
		return &fault.Error{Kind: fault.Conflict, Msg: "It was chosen already, and otherwise. Look at it as it stands now."}
	case !slices.Contains(a.may(), choice):
		return &fault.Error{Kind: fault.BadInput, Msg: "This cannot be chosen.",
			Fields: []fault.Field{{Path: "choice", Wrong: "it does not say which is to stand",
				Mend: "Choose one of those that are offered"}}}
	}
	if err := apply(ctx, w, a, choice); err != nil {
		return err
	}
	if err := tx.ChooseAct(ctx, a.ID, choice, w.By.ID, w.Now); err != nil {
		return err
	}
	return w.Note("choose", nil, chosen(a, choice), struct {
		entry
		Choice Choice
	}{entry{a.ID, a.Kind}, choice})
}

// chosen is a choice in a sentence.
func chosen(a *Stored, choice Choice) string {
	switch choice {
	case Mine:
		return fmt.Sprintf("Of two records, this one stands: %s Not: %s", a.Answer.Mine, a.Answer.Theirs)
	case Theirs:
		return fmt.Sprintf("Of two records, this one stands: %s Not: %s", a.Answer.Theirs, a.Answer.Mine)
	}
	return fmt.Sprintf("Two records both stand: %s And: %s", a.Answer.Mine, a.Answer.Theirs)
}

// apply makes the record what was chosen.
func apply(ctx context.Context, w *deed.Writing, a *Stored, choice Choice) error {
	var c clash
	if err := json.Unmarshal(a.Clash, &c); err != nil {
		return err
	}
	switch choice {
	case Mine:
		if err := strike(ctx, w, c.Theirs); err != nil || len(c.Held) == 0 {
			return err
		}
		return asDone(w, a, func() error {
			d, err := deedOf(a.Kind, a.Deed)
			if err != nil {
				return err
			}
			return d.force(ctx, w, c)
		})
	case Theirs:
		return strike(ctx, w, c.Mine)
	}
	if a.Kind != KindOpen {
		return nil
	}
	return asDone(w, a, func() error {
		d, err := deedOf(a.Kind, a.Deed)
		if err != nil {
			return err
		}
		return d.(OpenHole).beside(ctx, w)
	})
}

// asDone runs do as of when, and by whom, the act was done.
func asDone(w *deed.Writing, a *Stored, do func() error) error {
	w.AsOf(a.Done, a.Member)
	defer w.AsOf(w.Now, w.By.ID)
	return do()
}

// strike strikes out readings that were not chosen; those that were struck out
// since stay so.
func strike(ctx context.Context, w *deed.Writing, all []id.Measurement) error {
	for _, m := range all {
		if err := w.Strike(ctx, m, 0, "Another record of the same thing was chosen."); err != nil {
			return err
		}
	}
	return nil
}
