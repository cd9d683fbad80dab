package visit

import (
	"context"
	"fmt"
	"slices"

	"lathmark/domain/deed"
	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/stage"
	"lathmark/domain/words"
)

func (d OpenHole) do(ctx context.Context, t *taking) error {
	h := d.Hole
	var theirs id.Opening
	e, clash := t.last(func(e diary.Entry) bool {
		o := detail[room.Opening](e)
		if e.Act == "correct_outcome" {
			o = detail[struct{ After room.Opening }](e).After
		}
		theirs = o.ID
		return o.Position == h.Position
	}, "open", "correct_outcome")
	if !clash {
		return stage.Open(ctx, t.w, h)
	}
	o, err := t.w.Record.Opening(theirs)
	if err != nil {
		return err
	}
	p, err := t.w.Record.Position(h.Position)
	if err != nil {
		return err
	}
	owed := slices.ContainsFunc(t.w.Record.Patches, func(p room.Patch) bool { return p.Opening == theirs })
	if o.Outcome == h.Outcome && h.Says == "" && len(h.Tail) == 0 && h.NewPosition == nil && (owed || !h.OwePatch) {
		return nil // the same, and nothing more
	}
	t.clash.Opening = theirs
	t.hold(0, holeWords(t.w.Record, p.Name, h), e)
	return nil
}

// holeWords says a hole with all that it leaves.
func holeWords(r *room.Record, position string, h stage.Hole) string {
	out := position + " was opened: " + h.Outcome.String() + "."
	if h.Says != "" {
		out += " " + h.Says
	}
	for _, at := range h.Tail {
		if d, err := r.Datum(at.From); err == nil {
			out += fmt.Sprintf(" The tail was %g mm from %s.", at.Value, d.Name)
		}
	}
	if h.OwePatch {
		out += " A patch is owed."
	}
	if h.NewPosition != nil {
		out += " " + h.NewPosition.Name + " takes its place."
	}
	return out
}

// force puts the hole in the place of theirs, and strikes out where they
// measured the tail.
func (d OpenHole) force(ctx context.Context, w *deed.Writing, c clash) error {
	theirs, err := w.Record.Opening(c.Opening)
	if err != nil {
		return err
	}
	if len(d.Hole.Tail) > 0 || d.Hole.Outcome.Lost() {
		for _, m := range w.Record.Measurements {
			if m.Of == d.Hole.Position && m.Stage == words.SecondFix && m.Stands() && m.TakenBy == theirs.By &&
				!m.TakenAt.Before(theirs.At) {
				if err := w.Strike(ctx, m.ID, 0, "Another record of the same hole was chosen."); err != nil {
					return err
				}
			}
		}
	}
	return stage.Replace(ctx, w, c.Opening, d.Hole)
}

// beside writes the hole down as one more: two were cut.
func (d OpenHole) beside(ctx context.Context, w *deed.Writing) error {
	return stage.Open(ctx, w, d.Hole)
}

func (d Finish) do(ctx context.Context, t *taking) error {
	e, clash := t.last(func(e diary.Entry) bool { return detail[room.Finished](e).Stage == d.Stage }, "finish")
	if clash && !detail[room.Finished](e).On.Equal(d.On) {
		t.hold(0, fmt.Sprintf("%s was finished on %s.", words.Capital(d.Stage.String()), words.Day(d.On)), e)
		return nil
	}
	return stage.Finish(ctx, t.w, d.Stage, d.On)
}

func (d Finish) force(ctx context.Context, w *deed.Writing, _ clash) error {
	return stage.Finish(ctx, w, d.Stage, d.On)
}

// do holds a tail back that others found trapped since the copy.
func (d SeeTails) do(ctx context.Context, t *taking) error {
	for i, of := range d.Positions {
		p, err := t.w.Record.Position(of)
		if err != nil {
			return err
		}
		e, found := t.last(func(e diary.Entry) bool { return detail[stage.OnTail](e).Position == of }, "see_tail",
			"unsee_tail")
		if found && e.Act == "unsee_tail" {
			t.hold(i, "The tail of "+p.Name+" was seen free.", e)
			continue
		}
		if err := stage.SeeTail(ctx, t.w, of); err != nil {
			return err
		}
	}
	return nil
}

func (d SeeTails) force(ctx context.Context, w *deed.Writing, c clash) error {
	for i, of := range d.Positions {
		if slices.Contains(c.Held, i) {
			if err := stage.SeeTail(ctx, w, of); err != nil {
				return err
			}
		}
	}
	return nil
}
