package stage

import (
	"context"
	"fmt"
	"strings"
	"time"
	"unicode/utf8"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// SeeTail notes that a position's tail was seen free, by name, before the
// boards. The people on site may. Seen already is no error. Faults: NotFound,
// Obstacle (boarding is signed off).
func (s *Service) SeeTail(ctx context.Context, by firm.Person, of id.Room, position id.Position) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error { return SeeTail(ctx, w, position) })
}

// SeeTails is SeeTail for several tails, all of them or none.
func (s *Service) SeeTails(ctx context.Context, by firm.Person, of id.Room,
	positions []id.Position) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error {
		for _, p := range positions {
			if err := SeeTail(ctx, w, p); err != nil {
				return err
			}
		}
		return nil
	})
}

// SeeTail is Service.SeeTail inside a writing.
func SeeTail(ctx context.Context, w *deed.Writing, position id.Position) error {
	p, err := w.Record.Position(position)
	if err != nil {
		return err
	}
	for _, t := range w.Record.Seen {
		if t.Position == position {
			return nil
		}
	}
	seen := room.TailSeen{Position: position, By: w.MadeBy, At: w.Made}
	if err := w.InsertTailSeen(ctx, w.Record.ID, seen); err != nil {
		return err
	}
	return w.Note("see_tail", &boarding, "The tail of "+p.Name+" was seen free.", OnTail{position})
}

// OnTail is what the diary keeps of a tail that was seen free, or is not after
// all.
type OnTail struct{ Position id.Position }

// UnseeTail takes that back: the tail was trapped after all. Who and faults as
// for SeeTail.
func (s *Service) UnseeTail(ctx context.Context, by firm.Person, of id.Room, position id.Position) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error {
		p, err := w.Record.Position(position)
		if err != nil {
			return err
		}
		if err := w.DeleteTailSeen(ctx, position); err != nil {
			return err
		}
		return w.Note("unsee_tail", &boarding, "The tail of "+p.Name+" is not free after all.", OnTail{position})
	})
}

var boarding, secondFix, decoration = words.Boarding, words.SecondFix, words.Decoration

// Finish writes down the day a stage's work was finished. The people on site
// may; once more with another day puts it right. Faults: BadInput (a day to
// come, or years ago), Obstacle (the stage is signed off, or waits).
func (s *Service) Finish(ctx context.Context, by firm.Person, of id.Room, stage words.Stage,
	on time.Time) (*standing.Standing,
	error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error { return Finish(ctx, w, stage, on) })
}

// Finish is Service.Finish inside a writing.
func Finish(ctx context.Context, w *deed.Writing, stage words.Stage, on time.Time) error {
	day := dayOf(on)
	if day.After(w.Now) || w.Now.Sub(day) > 5*365*24*time.Hour {
		return bad("on", "the day is still to come, or years ago", "Give the day the work was finished")
	}
	if err := begun(w.Record, stage); err != nil {
		return err
	}
	for _, old := range w.Record.Finished {
		if old.Stage == stage && old.On.Equal(day) {
			return nil
		}
	}
	f := room.Finished{Stage: stage, On: day, By: w.MadeBy, At: w.Made}
	if err := w.SaveFinished(ctx, w.Record.ID, f); err != nil {
		return err
	}
	return w.Note("finish", &stage, fmt.Sprintf("%s in %s was finished on %s.", words.Capital(stage.String()),
		w.Record.Name,
		words.Day(day)), f)
}

// dayOf is the day of a time, as a date is stored.
func dayOf(t time.Time) time.Time {
	y, m, d := t.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, time.UTC)
}

// begun refuses what belongs to a stage that waits or is signed off.
func begun(r *room.Record, s words.Stage) error {
	switch r.Gates[s].State {
	case words.Waiting:
		before, _ := s.Before()
		return &fault.Error{Kind: fault.Obstacle, Msg: fmt.Sprintf("%s in %s waits: %s is not signed off yet.",
			words.Capital(s.String()), r.Name, before)}
	case words.SignedOff:
		return &fault.Error{Kind: fault.Obstacle, Msg: fmt.Sprintf("%s in %s is signed off. Reopen it first.",
			words.Capital(s.String()), r.Name)}
	}
	return nil
}

func bad(path, wrong, mend string) error {
	return &fault.Error{Kind: fault.BadInput, Msg: words.Capital(wrong) + ".",
		Fields: []fault.Field{{Path: path, Wrong: wrong, Mend: mend}}}
}

func oneReason(why string) (string, error) {
	why = strings.TrimSpace(why)
	if why == "" || utf8.RuneCountInString(why) > 400 {
		return "", bad("says", "there are no words, or over 400 characters of them", "Say it in a sentence")
	}
	return why, nil
}
