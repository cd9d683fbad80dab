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

func (d Measure) do(ctx context.Context, t *taking) error {
	m, err := t.w.Measure(ctx, d.Reading)
	if err != nil {
		return err
	}
	t.compare(m)
	return nil
}

func (Measure) force(context.Context, *deed.Writing, clash) error { return nil } // both stand

// compare looks for readings of the same thing that others took since the copy.
// One that says the very same is no clash.
func (t *taking) compare(m room.Measurement) {
	for _, e := range t.others {
		if e.Act != "measure" {
			continue
		}
		theirs, err := t.w.Record.Measurement(detail[room.Measurement](e).ID)
		if err == nil && theirs.Stands() && sameThing(theirs, &m) && !theirs.Agrees(withID(m, theirs.ID)) {
			t.beside(m, theirs.ID, e)
		}
	}
}

func withID(m room.Measurement, as id.Measurement) room.Measurement {
	m.ID = as
	return m
}

// sameThing reports whether two readings are of the same thing: a position from
// one datum, two positions, one face with the same layer outermost, or the same
// two faces.
func sameThing(a, b *room.Measurement) bool {
	switch {
	case a.Kind != b.Kind:
		return false
	case a.Kind == words.Offset:
		return a.Of == b.Of && a.From == b.From
	case a.Kind == words.Distance:
		return a.Of == b.Of && a.ToPosition == b.ToPosition || a.Of == b.ToPosition && a.ToPosition == b.Of
	case a.Kind == words.Thickness:
		return a.From == b.From && a.State == b.State
	}
	return a.From == b.From && a.To == b.To && a.State == b.State && a.ToState == b.ToState ||
		a.From == b.To && a.To == b.From && a.State == b.ToState && a.ToState == b.State
}

func (d Correct) do(ctx context.Context, t *taking) error {
	e, clash := t.last(changes(d.Reading.ID), "correct", "strike")
	if !clash {
		_, err := t.w.Correct(ctx, 0, d.Reading)
		return err
	}
	m, old, err := t.w.Correction(d.Reading)
	if err != nil || old.Stands() && old.Agrees(m) {
		return err
	}
	t.hold(0, old.Name+" is put right. "+t.w.Record.Says(&m), e)
	return nil
}

func (d Correct) force(ctx context.Context, w *deed.Writing, _ clash) error {
	_, err := w.Restore(ctx, d.Reading)
	return err
}

func (d Strike) do(ctx context.Context, t *taking) error {
	old, err := t.w.Record.Measurement(d.Measurement)
	if err != nil {
		return err
	}
	e, clash := t.last(changes(d.Measurement), "correct")
	if !clash || !old.Stands() {
		return t.w.Strike(ctx, d.Measurement, 0, d.Why)
	}
	t.hold(0, old.Name+" is struck out: "+d.Why, e)
	return nil
}

func (d Strike) force(ctx context.Context, w *deed.Writing, _ clash) error {
	return w.Strike(ctx, d.Measurement, 0, d.Why)
}

// changes looks for entries that changed a reading.
func changes(of id.Measurement) func(diary.Entry) bool {
	return func(e diary.Entry) bool {
		if e.Act == "strike" {
			return detail[room.Measurement](e).ID == of
		}
		return detail[struct{ After room.Measurement }](e).After.ID == of
	}
}

func (d PutOn) do(ctx context.Context, t *taking) error {
	for i, p := range d.List {
		if p.Datum.IsZero() {
			if held, err := t.holdLayer(i, p); err != nil || held {
				if err != nil {
					return err
				}
				continue
			}
		}
		if err := stage.RecordPutOn(ctx, t.w, p); err != nil {
			return err
		}
		if m, err := t.w.Record.Measurement(p.ID); err == nil {
			t.compare(*m)
		}
	}
	return nil
}

// holdLayer holds back the thickness of a surface's own layer, which has one
// place only, where others wrote one since the copy.
func (t *taking) holdLayer(part int, p stage.PutOn) (held bool, err error) {
	on, err := t.w.Record.Surface(p.Surface)
	if err != nil {
		return false, err
	}
	layers := t.w.Record.LayersOf(p.Surface, id.Datum{})
	k := slices.IndexFunc(layers, func(l room.Layer) bool { return l.Name == p.Through })
	if k < 0 {
		return false, nil // it is refused for that
	}
	e, clash := t.last(func(e diary.Entry) bool {
		b := detail[room.AsBuilt](e)
		return b.Layer == layers[k].ID && b.Thickness > 0
	}, "put_on")
	if !clash {
		return false, nil
	}
	if b := t.w.Record.BuiltOf(layers[k].ID); b == nil || b.Thickness != p.Thickness {
		t.hold(part, fmt.Sprintf("The %s on the %s was put on, %g mm.", p.Through, on.Name, p.Thickness), e)
	}
	return true, nil
}

func (d PutOn) force(ctx context.Context, w *deed.Writing, c clash) error {
	for i, p := range d.List {
		if slices.Contains(c.Held, i) {
			if err := stage.RecordPutOn(ctx, w, p); err != nil {
				return err
			}
		}
	}
	return nil
}
