package stage

import (
	"context"
	"fmt"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// PutOn is a build-up as it was put on: on a face, or on the surface itself
// where Datum is none. Either its thickness was measured, or a span across the
// room, from which it is worked out.
type PutOn struct {
	// ID of the measurement it makes, so that a repeat adds nothing.
	ID      id.Measurement
	Surface id.Surface
	Datum   id.Datum
	// Through names the outermost layer that is on now.
	Through string
	// Thickness in mm from From to Through; From is "bare" where it is empty.
	Thickness float64
	From      string
	// Span in mm to the face SpanTo, whose outermost layer is SpanToState.
	Span        float64
	SpanTo      id.Datum
	SpanToState string
	Sigma       float64 // mm; 0: the instrument's
	By          string  // tape, laser, rule
	On          time.Time
}

// PutOn records build-ups as they were put on. The people on site may. Faults:
// BadInput, NotFound, Conflict, Obstacle (the layers' stage waits or is signed
// off).
func (s *Service) PutOn(ctx context.Context, by firm.Person, of id.Room, list []PutOn) (*standing.Standing, error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error {
		for _, p := range list {
			if err := RecordPutOn(ctx, w, p); err != nil {
				return err
			}
		}
		return nil
	})
}

// RecordPutOn is Service.PutOn for one build-up inside a writing.
func RecordPutOn(ctx context.Context, w *deed.Writing, p PutOn) error {
	if p.On.IsZero() {
		p.On = w.Made
	}
	if day := dayOf(p.On); day.After(w.Now) {
		return bad("on", "the day is still to come", "Give the day it was put on")
	}
	if !(p.Thickness >= 0 && p.Thickness <= 1000) || !(p.Span >= 0) || (p.Thickness > 0) == (p.Span > 0) {
		return bad("thickness", "neither a thickness nor a span was measured, or both",
			"Give the one that was measured, in millimetres")
	}
	if p.Datum.IsZero() {
		if p.Span > 0 {
			return bad("span", "a span goes from one face to another", "Give a thickness, or the face")
		}
		return layersOn(ctx, w, p.Surface, id.Datum{}, p.Through, p.Thickness, p)
	}
	if _, err := w.Record.Measurement(p.ID); err == nil {
		_, err = w.Measure(ctx, p.reading()) // a repeat, or a conflict
		return err
	}
	if err := layersOn(ctx, w, p.Surface, p.Datum, p.Through, 0, p); err != nil {
		return err
	}
	if p.Span > 0 && p.SpanToState != roomsheet.Bare && p.SpanToState != "" {
		if err := layersOn(ctx, w, p.Surface, p.SpanTo, p.SpanToState, 0, p); err != nil {
			return err
		}
	}
	_, err := w.Measure(ctx, p.reading())
	return err
}

// reading is the measurement that tells the thickness.
func (p PutOn) reading() room.Reading {
	r := room.Reading{ID: p.ID, Surface: p.Surface, Kind: words.Thickness, From: p.Datum, State: p.Through,
		FromState: p.From,
		Value:     p.Thickness, Sigma: p.Sigma, By: p.By}
	if p.Span > 0 {
		r.Kind, r.FromState, r.To, r.ToState, r.Value = words.Span, "", p.SpanTo, p.SpanToState, p.Span
		if r.ToState == "" {
			r.ToState = roomsheet.Bare
		}
	}
	return r
}

// layersOn records the layers up to through as put on, those that are not yet;
// the outermost anew. thickness is kept for a surface's own layers only, and
// is then that of the outermost.
func layersOn(ctx context.Context, w *writing, surface id.Surface, datum id.Datum, through string, thickness float64,
	p PutOn) error {
	var name string
	if !datum.IsZero() {
		d, err := w.Record.Datum(datum)
		if err != nil {
			return err
		}
		name, surface = d.Name, d.Surface
	} else if s, err := w.Record.Surface(surface); err != nil {
		return err
	} else {
		name = s.Name
	}
	layers := w.Record.LayersOf(surface, datum)
	last := -1
	for i, l := range layers {
		if l.Name == through {
			last = i
		}
	}
	if last < 0 {
		return bad("through", name+" has no layer called "+through, "Give the outermost layer that is on")
	}
	for i, l := range layers[:last+1] {
		on := w.Record.BuiltOf(l.ID) != nil
		if on && (i < last || thickness == 0) {
			continue
		}
		if err := begun(w.Record, l.Stage); err != nil {
			return err
		}
		b := room.AsBuilt{Layer: l.ID, Stage: l.Stage, PutOn: dayOf(p.On), By: w.MadeBy, At: w.Made}
		if i == last {
			b.Thickness = thickness
			b.Sigma = p.Sigma
			if thickness == 0 {
				b.Sigma = 0
			}
		}
		if err := w.SaveAsBuilt(ctx, w.Record.ID, b); err != nil {
			return err
		}
		says := fmt.Sprintf("The %s on the %s was put on.", l.Name, name)
		if b.Thickness > 0 {
			says = fmt.Sprintf("The %s on the %s was put on, %g mm.", l.Name, name, b.Thickness)
		}
		if err := w.Note("put_on", &l.Stage, says, b); err != nil {
			return err
		}
	}
	return nil
}
