package deed

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"time"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/geometry"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// OpenHole writes down a hole with its outcome. A repeat with the same id adds
// nothing. Faults: BadInput, NotFound, Conflict (the position is held or given
// up, or the id is taken), Obstacle (second fix waits or is signed off).
type OpenHole struct {
	Hole Hole `json:"hole"`
}

// Hole is a hole that was cut, as somebody writes it down.
type Hole struct {
	ID       id.Opening    `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	Position id.Position   `json:"position" format:"uuid"`
	Outcome  words.Outcome `json:"outcome" enum:"found,hooked_out,not_found,on_timber"`
	Says     string        `json:"says,omitzero" maxLength:"400"`
	At       time.Time     `json:"at,omitzero" doc:"When it was cut; left out: now."` // when it was cut; zero: now
	// Tail is where the tail really was: offsets from faces and lines as they
	// are now. Empty where nobody measured.
	Tail        []TailAt            `json:"tail,omitempty"`
	OwePatch    bool                `json:"owe_patch,omitzero" doc:"The hole has to be made good."`
	NewPosition *room.PositionDraft `json:"new_position,omitzero" doc:"Takes its place; opens first fix again."`
	// Reopen says that whoever records the hole knows that its new position opens signed stages again; Ask is set
	// where they were asked, or a program has to say so.
	Reopen bool `json:"reopen,omitzero" doc:"The new position may open signed stages; else 409."`
	Ask    bool `json:"-"`
	// Doubt is whether somebody knows that the position's record is in doubt.
	// Empty: nobody was asked, and it is taken.
	Doubt Doubt `json:"doubt,omitzero" enum:"known" doc:"Needed where a reading of it does not fit."`
}

// Doubt says of a record that is in doubt what whoever records the hole said of it.
type Doubt string

// What there is to say. AskDoubt is what a page or a program hands in where nothing
// was said: where the record is in doubt, it is refused.
const (
	KnownDoubt Doubt = "known"
	AskDoubt   Doubt = "ask"
)

// TailAt is one offset of a found tail. State names the outermost layer that
// was on the face, and is empty for what is on today.
type TailAt struct {
	ID    id.Measurement `json:"id" format:"uuid" doc:"Yours to make, of version 7."`
	From  id.Datum       `json:"from" format:"uuid"`
	State string         `json:"state,omitzero"`
	Value float64        `json:"value"` // mm
	By    string         `json:"by,omitzero" enum:"tape,laser,rule"`
}

// Readings are those that it leaves.
func (d OpenHole) Readings() (all []id.Measurement) {
	for _, t := range d.Hole.Tail {
		all = append(all, t.ID)
	}
	return all
}

func readOpenHole(s *Sent) (Deed, error) {
	of, err := id.Parse[id.Position](s.One)
	if err != nil {
		return nil, err
	}
	q, err := s.Standing.Record.Position(of)
	if err != nil {
		return nil, err
	}
	h := Hole{ID: NewID[id.Opening](s.Form, 0), Position: q.ID, Outcome: words.Outcome(s.Get("outcome")),
		Says: s.Get("note"), OwePatch: s.Get("patch") != "", Tail: s.Tails(s.Standing, q), Doubt: Doubt(s.Get("doubt"))}
	if h.Doubt == "" && s.Get("doubt_asked") != "" {
		h.Doubt = AskDoubt
	}
	h.Reopen, h.Ask = s.mayReopen(), s.Get("reopen_asked") != ""
	if name := s.Get("new_name"); name != "" {
		h.NewPosition = &room.PositionDraft{ID: NewID[id.Position](s.Form, 3), Name: name, Kind: q.Kind, Trade: q.Trade,
			Cutout: q.Cutout, Reach: q.Reach, TailSigma: q.TailSigma, Planned: s.Point("new_place")}
	}
	if h.NewPosition != nil && !h.Outcome.Lost() {
		s.Bad("new_name", "the hole is of use, and a new position is given in its place",
			"Leave it empty, or say what was behind it")
	}
	if h.Outcome.Lost() && len(h.Tail) > 0 {
		s.Bad("off_a", "a tail that was not found has no place", "Leave both empty, or say that it was found")
	}
	return OpenHole{Hole: h}, nil
}

// do is held back where others wrote down a hole for the position.
func (d OpenHole) do(ctx context.Context, t *Taking) error {
	h := d.Hole
	if _, err := t.Record.Opening(h.ID); err != nil && h.Ask && !h.Reopen && h.NewPosition != nil {
		if stages := gate.ReopenedBy(t.Record.Gates, words.FirstFix); len(stages) > 0 {
			return mayReopen(t.Record, stages, "Adding", []string{h.NewPosition.Name})
		}
	}
	var about room.Opening
	e, clash, err := t.last(func(e diary.Entry) (_ bool, err error) {
		if e.Act == "correct_outcome" {
			var c changed[room.Opening]
			c, err = detail[changed[room.Opening]](e)
			about = c.After
		} else {
			about, err = detail[room.Opening](e)
		}
		return about.Position == h.Position, err
	}, "open", "correct_outcome")
	if err != nil {
		return err
	}
	if !clash {
		return d.beside(ctx, t.Writing)
	}
	o, err := t.Record.Opening(about.ID)
	if err != nil {
		return err
	}
	p, err := t.Record.Position(h.Position)
	if err != nil {
		return err
	}
	owed := t.Record.PatchOf(o.ID) != nil
	if o.Outcome == h.Outcome && h.Says == "" && len(h.Tail) == 0 && h.NewPosition == nil && (owed || !h.OwePatch) {
		return nil // the same, and nothing more
	}
	t.clash.Opening = o.ID
	t.hold(0, h.words(t.Record, p.Name), e)
	return nil
}

// words says a hole with all that it leaves.
func (h Hole) words(r *room.Record, position string) string {
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
		out += " It needs a patch."
	}
	if h.NewPosition != nil {
		out += " " + h.NewPosition.Name + " takes its place."
	}
	return out
}

// force puts the hole in the place of theirs, and strikes out where they
// measured the tail. The hole's own id is not used.
func (d OpenHole) force(ctx context.Context, w *Writing, c clash) error {
	h := d.Hole
	theirs, err := w.Record.Opening(c.Opening)
	if err != nil {
		return err
	}
	if len(h.Tail) > 0 || h.Outcome.Lost() {
		for _, m := range w.Record.Measurements {
			if m.Of == h.Position && m.Stage == words.SecondFix && m.Stands() && m.TakenBy == theirs.By &&
				!m.TakenAt.Before(theirs.At) {
				if err := w.strike(ctx, m.ID, 0, "Another record of the same hole was chosen."); err != nil {
					return err
				}
			}
		}
	}
	if err := w.correctOutcome(ctx, c.Opening, h.Outcome, h.Says); err != nil {
		return err
	}
	if theirs, err = w.Record.Opening(c.Opening); err != nil {
		return err
	}
	return w.left(ctx, h, *theirs)
}

// beside writes the hole down, as one more where two were cut.
func (d OpenHole) beside(ctx context.Context, w *Writing) error {
	h := d.Hole
	if err := checkOutcome(h.Outcome, h.Says); err != nil {
		return err
	}
	p, err := w.Record.Position(h.Position)
	if err != nil {
		return err
	}
	if old, err := w.Record.Opening(h.ID); err == nil {
		if old.Position != h.Position || old.Outcome != h.Outcome {
			return &fault.Error{Kind: fault.Conflict, Msg: "Another hole was saved with this id."}
		}
		return nil
	}
	if err := begun(w.Record, words.SecondFix); err != nil {
		return err
	}
	doubtful, err := w.doubtful(h)
	if err != nil {
		return err
	}
	if p.Held || !p.OmittedAt.IsZero() {
		return &fault.Error{Kind: fault.Conflict, Msg: p.Name + " is held or left out by the client: no hole is cut for it."}
	}
	o := room.Opening{ID: id.OrNew(h.ID), Position: h.Position, Outcome: h.Outcome, Says: strings.TrimSpace(h.Says),
		By: w.MadeBy, At: h.At.UTC().Truncate(time.Microsecond), RecordedAt: w.Now}
	if h.At.IsZero() {
		o.At = w.Made
	}
	if o.At.After(w.Now) {
		return bad("at", "the time is still to come", "Give when the hole was cut")
	}
	if o.At, err = w.Record.InOrder(room.WasCut, room.Subject{}, o.At, !h.At.IsZero()); err != nil {
		return err
	}
	put(ctx, w, &w.Record.Openings, o, Tx.InsertOpening)
	says := strings.TrimSpace(p.Name + " was opened: " + o.Outcome.String() + ". " + o.Says)
	if doubtful {
		says += " Its record was in doubt, and that was known."
	}
	if err := w.Note("open", &secondFix, says, o); err != nil {
		return err
	}
	return w.left(ctx, h, o)
}

// doubtful reports whether the record of a hole's position is in doubt and whoever
// records the hole knows it. Faults: BadInput, where they were asked and did not say.
func (w *Writing) doubtful(h Hole) (bool, error) {
	if h.Doubt == "" {
		return false, nil
	}
	j := w.before
	if j == nil {
		var err error
		if j, err = w.Standing(); err != nil {
			return false, err
		}
	}
	said := j.Hole(h.Position)
	if said == nil || said.Doubt == "" {
		return false, nil
	}
	if h.Doubt != KnownDoubt {
		return false, bad("doubt", "the record of "+said.Name+" is in doubt: "+words.NoStop(said.Doubt),
			"Say that you know that its record is in doubt, or correct the reading first")
	}
	return true, nil
}

// left writes down what a hole leaves besides its outcome: where the tail was,
// the patch that is owed, the position that takes its place.
func (w *Writing) left(ctx context.Context, h Hole, o room.Opening) error {
	p, err := w.Record.Position(h.Position)
	if err != nil {
		return err
	}
	for _, t := range h.Tail {
		if err := w.tail(ctx, h.Position, t); err != nil {
			return err
		}
	}
	if h.OwePatch && w.Record.PatchOf(o.ID) == nil {
		put(ctx, w, &w.Record.Patches, room.Patch{Opening: o.ID, OwedAt: w.told(room.WasOwed, room.Subject{Opening: o.ID})},
			Tx.SavePatch)
		if err := w.Note("owe_patch", &secondFix, "A patch is needed at "+p.Name+".", OwePatch{o.ID}); err != nil {
			return err
		}
	}
	if h.NewPosition == nil {
		return nil
	}
	fresh, err := w.schedule(ctx, p.Surface, []room.PositionDraft{*h.NewPosition}, true)
	if err != nil || len(fresh) != 1 {
		return err
	}
	o.NewPosition = fresh[0].ID
	w.updateOpening(ctx, o)
	return w.err
}

// tail records where a found tail was, as an offset: so it teaches the layers,
// and with them every hole still to be cut.
func (w *Writing) tail(ctx context.Context, position id.Position, t TailAt) error {
	d, err := w.Record.Datum(t.From)
	if err != nil {
		return err
	}
	r := room.Reading{ID: t.ID, Kind: words.Offset, Of: position, From: t.From, Value: t.Value,
		Sigma: geometry.FoundSigma, By: t.By}
	if d.Kind == words.Face {
		if r.State = t.State; r.State == "" {
			r.State = w.Record.Now(w.Record.LayersOf(d.Surface, d.ID))
		}
		if d.Lean != 0 {
			r.SurfaceState = w.Record.Now(w.Record.LayersOf(d.Surface, id.Datum{}))
		}
	}
	_, err = w.measure(ctx, r)
	return err
}

func checkOutcome(o words.Outcome, says string) error {
	if !slices.Contains(words.Outcomes, o) {
		return bad("outcome", "there is no such outcome", "Give found, hooked_out, not_found or on_timber")
	}
	if words.Characters(says) > longest {
		return bad("says", "the note is over 400 characters", "Keep it short")
	}
	return nil
}
