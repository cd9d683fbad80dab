package stage

import (
	"context"
	"slices"
	"strings"
	"time"
	"unicode/utf8"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
)

// Hole is a hole that was cut, as somebody writes it down.
type Hole struct {
	ID       id.Opening
	Position id.Position
	Outcome  words.Outcome
	Says     string
	At       time.Time // when it was cut; zero: now
	// Tail is where the tail really was: offsets from faces and lines as they
	// are now. Empty where nobody measured.
	Tail []TailAt
	// OwePatch: the hole has to be made good.
	OwePatch bool
	// NewPosition goes onto the schedule in its place. This reopens first fix.
	NewPosition *room.PositionDraft
}

// TailAt is one offset of a found tail. State names the outermost layer that
// was on the face, and is empty for what is on today.
type TailAt struct {
	ID    id.Measurement
	From  id.Datum
	State string
	Value float64 // mm
	By    string
}

// Open writes down a hole with its outcome. The people on site may. A repeat
// with the same id adds nothing. Faults: BadInput, NotFound, Conflict (the
// position is held or given up, or the id is taken), Obstacle (second fix
// waits or is signed off).
func (s *Service) Open(ctx context.Context, by firm.Person, of id.Room, h Hole) (*standing.Standing, error) {
	return s.book.Write(ctx, by, of, firm.MayRecord, func(w *writing) error { return Open(ctx, w, h) })
}

// Open is Service.Open inside a writing.
func Open(ctx context.Context, w *deed.Writing, h Hole) error {
	if err := h.check(); err != nil {
		return err
	}
	p, err := w.Record.Position(h.Position)
	if err != nil {
		return err
	}
	if old, err := w.Record.Opening(h.ID); err == nil {
		if old.Position != h.Position || old.Outcome != h.Outcome {
			return &fault.Error{Kind: fault.Conflict, Msg: "Another hole was written down under this id."}
		}
		return nil
	}
	if err := begun(w.Record, words.SecondFix); err != nil {
		return err
	}
	if p.Held || !p.OmittedAt.IsZero() {
		return &fault.Error{Kind: fault.Conflict, Msg: p.Name + " is held or was given up: no hole is cut for it."}
	}
	o := room.Opening{ID: id.OrNew(h.ID), Position: h.Position, Outcome: h.Outcome, Says: strings.TrimSpace(h.Says),
		By: w.MadeBy,
		At: h.At.UTC().Truncate(time.Microsecond), RecordedAt: w.Now}
	if h.At.IsZero() {
		o.At = w.Made
	}
	if o.At.After(w.Now) {
		return bad("at", "the time is still to come", "Give when the hole was cut")
	}
	return open(ctx, w, h, o, p.Name)
}

// check refuses what can be told from the hole alone.
func (h Hole) check() error {
	if !slices.Contains(words.Outcomes, h.Outcome) {
		return bad("outcome", "there is no such outcome", "Give found, hooked_out, not_found or on_timber")
	}
	if utf8.RuneCountInString(h.Says) > 400 {
		return bad("says", "the note is over 400 characters", "Keep it short")
	}
	return nil
}

func open(ctx context.Context, w *writing, h Hole, o room.Opening, name string) error {
	if err := w.InsertOpening(ctx, w.Record.ID, o); err != nil {
		return err
	}
	says := name + " was opened: " + o.Outcome.String() + "."
	if o.Says != "" {
		says += " " + o.Says
	}
	if err := w.Note("open", &secondFix, says, o); err != nil {
		return err
	}
	return left(ctx, w, h, o, name)
}

// left writes down what a hole leaves besides its outcome: where the tail was,
// the patch that is owed, the position that takes its place.
func left(ctx context.Context, w *writing, h Hole, o room.Opening, name string) error {
	for _, t := range h.Tail {
		if err := tail(ctx, w, h.Position, t); err != nil {
			return err
		}
	}
	owed := slices.ContainsFunc(w.Record.Patches, func(p room.Patch) bool { return p.Opening == o.ID })
	if h.OwePatch && !owed {
		if err := w.SavePatch(ctx, w.Record.ID, room.Patch{Opening: o.ID, OwedAt: w.Made}); err != nil {
			return err
		}
		if err := w.Note("owe_patch", &secondFix, "A patch is owed at "+name+".",
			struct{ Opening id.Opening }{o.ID}); err != nil {
			return err
		}
	}
	if h.NewPosition == nil {
		return nil
	}
	p, err := w.Record.Position(h.Position)
	if err != nil {
		return err
	}
	fresh, err := w.Schedule(ctx, p.Surface, []room.PositionDraft{*h.NewPosition})
	if err != nil || len(fresh) != 1 {
		return err
	}
	o.NewPosition = fresh[0].ID
	return w.UpdateOpening(ctx, o)
}

// tail records where a found tail was, as an offset: so it teaches the layers, and with them every
// hole still to be cut.
func tail(ctx context.Context, w *writing, position id.Position, t TailAt) error {
	d, err := w.Record.Datum(t.From)
	if err != nil {
		return err
	}
	r := room.Reading{ID: t.ID, Kind: words.Offset, Of: position, From: t.From, Value: t.Value, Sigma: geometry.FoundSigma,
		By: t.By}
	if d.Kind == words.Face {
		if r.State = t.State; r.State == "" {
			r.State = w.Record.Now(w.Record.LayersOf(d.Surface, d.ID))
		}
		if d.Lean != 0 {
			r.SurfaceState = w.Record.Now(w.Record.LayersOf(d.Surface, id.Datum{}))
		}
	}
	_, err = w.Measure(ctx, r)
	return err
}

// CorrectOutcome puts right what was written down of a hole. The people on
// site may. Faults: BadInput, NotFound, Obstacle (second fix is signed off).
func (s *Service) CorrectOutcome(ctx context.Context, by firm.Person, of id.Room, opening id.Opening,
	outcome words.Outcome, says string) (*standing.Standing, error) {
	return s.book.Write(ctx, by, of, firm.MayRecord,
		func(w *writing) error { return CorrectOutcome(ctx, w, opening, outcome, says) })
}

// CorrectOutcome is Service.CorrectOutcome inside a writing.
func CorrectOutcome(ctx context.Context, w *deed.Writing, opening id.Opening, outcome words.Outcome,
	says string) error {
	if !slices.Contains(words.Outcomes, outcome) || utf8.RuneCountInString(says) > 400 {
		return bad("outcome", "there is no such outcome", "Give found, hooked_out, not_found or on_timber")
	}
	old, err := w.Record.Opening(opening)
	if err != nil {
		return err
	}
	o := *old
	o.Outcome, o.Says = outcome, strings.TrimSpace(says)
	if o == *old {
		return nil
	}
	if err := w.UpdateOpening(ctx, o); err != nil {
		return err
	}
	return w.Note("correct_outcome", &secondFix, "A hole's outcome was put right: "+outcome.String()+".",
		struct{ Before, After room.Opening }{*old, o})
}

// Replace puts a hole in the place of one that somebody else wrote down for the
// same position: the outcome becomes this one's, and what else it left comes
// onto the record. The hole's own id is not used. Faults as for Open.
func Replace(ctx context.Context, w *deed.Writing, opening id.Opening, h Hole) error {
	if err := h.check(); err != nil {
		return err
	}
	if err := CorrectOutcome(ctx, w, opening, h.Outcome, h.Says); err != nil {
		return err
	}
	o, err := w.Record.Opening(opening)
	if err != nil {
		return err
	}
	p, err := w.Record.Position(h.Position)
	if err != nil {
		return err
	}
	return left(ctx, w, h, *o, p.Name)
}
