package deed

import (
	"context"
	"fmt"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// Finish writes down the day a stage's work was finished; once more with another
// day puts it right. Faults: BadInput (a day to come, or years ago, or
// before the stage before was signed off), Obstacle
// (the stage is signed off, or waits).
type Finish struct {
	Stage words.Stage `json:"stage"`
	On    time.Time   `json:"on"`
}

func readFinish(s *Sent) (Deed, error) {
	day, err := time.Parse(time.DateOnly, s.Get("date"))
	if err != nil {
		s.Bad("date", "there is no day", "Write it as 2026-11-25")
	}
	return Finish{Stage: words.Plaster, On: day}, nil
}

// do is held back where others wrote down another day.
func (d Finish) do(ctx context.Context, t *Taking) error {
	var theirs room.Finished
	e, found, err := t.last(func(e diary.Entry) (_ bool, err error) {
		theirs, err = detail[room.Finished](e)
		return theirs.Stage == d.Stage, err
	}, "finish")
	if err != nil {
		return err
	}
	if found && !theirs.On.Equal(d.On) {
		t.hold(0, fmt.Sprintf("%s was finished on %s.", words.Capital(d.Stage.String()), words.Day(d.On)), e)
		return nil
	}
	return d.force(ctx, t.Writing, clash{})
}

func (d Finish) force(ctx context.Context, w *Writing, _ clash) error {
	day := words.UTC.Day(d.On)
	if day.After(w.Record.Zone.Day(w.Now)) || w.Now.Sub(day) > 5*365*24*time.Hour {
		return bad("on", "the day is still to come, or years ago", "Give the day the work was finished")
	}
	if err := begun(w.Record, d.Stage); err != nil {
		return err
	}
	if _, err := w.Record.InOrder(room.WasFinished, room.Subject{Stage: d.Stage}, day, true); err != nil {
		return err
	}
	if old := w.Record.FinishedOf(d.Stage); old != nil && old.On.Equal(day) {
		return nil
	}
	f := room.Finished{Stage: d.Stage, On: day, By: w.MadeBy, At: w.Made}
	put(ctx, w, &w.Record.Finished, f, Tx.SaveFinished)
	return w.Note("finish", &d.Stage, fmt.Sprintf("%s in %s was finished on %s.", words.Capital(d.Stage.String()),
		w.Record.Name, words.Day(day)), f)
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
