package gates_test

import (
	"context"
	"errors"
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// walk is one room on its way through the stages.
type walk struct {
	*dbtest.Site
	t   *testing.T
	ctx context.Context
	at  *standing.Standing
}

func (w *walk) ok(j *standing.Standing, err error) {
	w.t.Helper()
	if err != nil {
		w.t.Fatalf("%v (%v)", err, errors.Unwrap(err))
	}
	w.at = j
}

func (w *walk) is(err error, kind fault.Kind) {
	w.t.Helper()
	if fault.KindOf(err) != kind {
		w.t.Fatalf("want %s, got: %v", kind, err)
	}
}

// snag has a snag given again, put right, opened again, put right, looked at and closed.
func (w *walk) snag(of id.Room, snag id.Snag) {
	w.t.Helper()
	as := func() room.Snag { return w.at.Record.Snags[0] }
	due := time.Date(2026, 12, 24, 0, 0, 0, 0, time.UTC)
	_, err := w.Desk.Do(w.ctx, w.Decorator, of, deed.GiveSnag{Snag: snag, Trade: words.Electrician})
	w.is(err, fault.Refused)
	_, err = w.Desk.Do(w.ctx, w.Foreman, of, deed.GiveSnag{Snag: snag, Trade: "wizard"})
	w.is(err, fault.BadInput)
	w.ok(w.Desk.Do(w.ctx, w.Foreman, of, deed.GiveSnag{Snag: snag, Trade: words.Decorator, Person: w.Decorator.ID,
		DueOn: due}))
	told := func(p firm.Person) (out string) {
		for _, task := range w.at.Gate.TasksFor(standing.TradeOf(p), p.ID) {
			if task.Code == gate.CodeSnagOpen {
				out += task.Why + ". " + task.What + "."
			}
		}
		return out
	}
	const assigned = "a snag is open: scratch on the sill. Put it right by Thursday 24 December; the foreman looks " +
		"at it and closes it."
	if got := told(w.Decorator); got != assigned || told(w.Foreman) != "" {
		w.t.Errorf("the decorator reads %q, the foreman %q", got, told(w.Foreman))
	}
	other := w.Decorator
	other.ID = w.Plumber.ID
	if got := told(other); got != "" {
		w.t.Errorf("another decorator reads %q", got)
	}
	w.ok(w.Desk.Do(w.ctx, w.Decorator, of, deed.CloseSnag{Snag: snag}))
	if n := as(); n.Open() != true || n.DoneBy != w.Decorator.ID || w.hard(words.Decoration)["snag_open"] != 1 {
		w.t.Errorf("put right by the decorator it is %+v", n)
	}
	const looks = "a snag is put right and nobody has looked at it: scratch on the sill. Look at it and close it, or " +
		"open it again."
	if got := told(w.Foreman); got != looks || told(w.Decorator) != "" {
		w.t.Errorf("the foreman reads %q, the decorator %q", got, told(w.Decorator))
	}
	_, err = w.Desk.Do(w.ctx, w.Decorator, of, deed.ReopenSnag{Snag: snag, Why: "no"})
	w.is(err, fault.Refused)
	_, err = w.Desk.Do(w.ctx, w.Foreman, of, deed.ReopenSnag{Snag: snag, Why: " "})
	w.is(err, fault.BadInput)
	w.ok(w.Desk.Do(w.ctx, w.Foreman, of, deed.ReopenSnag{Snag: snag, Why: "it still shows"}))
	if n := as(); !n.DoneAt.IsZero() || n.Person != w.Decorator.ID || !n.DueOn.Equal(due) {
		w.t.Errorf("open again it is %+v", n)
	}
	w.ok(w.Desk.Do(w.ctx, w.Decorator, of, deed.CloseSnag{Snag: snag}))
	w.ok(w.Desk.Do(w.ctx, w.Foreman, of, deed.TakePhoto{Snag: snag, Says: "as it is now"}))
	w.ok(w.Desk.Do(w.ctx, w.Foreman, of, deed.CloseSnag{Snag: snag}))
	if n := as(); n.Open() || n.ClosedBy != w.Foreman.ID {
		w.t.Errorf("closed it is %+v", n)
	}
}

// codes of the hard obstacles of a stage.
func (w *walk) hard(s words.Stage) map[string]int {
	out := map[string]int{}
	for _, o := range w.at.Obstacles(s) {
		if o.Hard {
			out[o.Code]++
		}
	}
	return out
}

func (w *walk) measure(position id.Position, from string, value float64) {
	w.t.Helper()
	v, err := w.Desk.Verdict(w.ctx, w.Electrician, w.at.Record.ID,
		deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: position,
			From: dbtest.Datum(w.t, w.at, from), State: "bare", Value: value}})
	if err != nil {
		w.t.Fatal(err)
	}
	w.at = v.Standing
}

// sign signs off a stage, accepting every soft obstacle.
func (w *walk) sign(s words.Stage) {
	w.t.Helper()
	if w.at.Record.Gates[s].State == words.InHand { // something was mended since it was offered
		w.ok(w.Desk.Do(w.ctx, w.Foreman, w.at.Record.ID, deed.Offer{Stage: s}))
	}
	w.ok(w.Desk.Do(w.ctx, w.Foreman, w.at.Record.ID, deed.SignOff{Stage: s, Revision: w.at.Record.Revision,
		Accepted: dbtest.Accept(w.at, s)}))
}

// A room from the schedule to decoration: at every gate once refused, mended,
// and through.
func TestARoomFromTheScheduleToDecoration(t *testing.T) {
	site := dbtest.New(t)
	w := &walk{Site: site, t: t, ctx: t.Context(), at: site.Utility(t, "D1")}
	of := w.at.Record.ID
	ceiling := w.at.Record.Surfaces[0]
	w.ok(w.Desk.Do(w.ctx, w.Foreman, of, deed.Schedule{Surface: ceiling.ID,
		Positions: []room.PositionDraft{{Name: "D2", Kind: "downlight", Cutout: 76},
			{Name: "F1", Kind: "fan", Cutout: 100}}}))
	d1, d2, f1 := w.at.Record.Positions[0].ID, w.at.Record.Positions[1].ID, w.at.Record.Positions[2].ID
	for p, at := range map[id.Position][2]float64{d1: {900, 600}, d2: {2700, 600}, f1: {1800, 1200}} {
		w.measure(p, "west wall", at[0])
		w.measure(p, "south wall", at[1])
		w.measure(p, "east wall", 3600-at[0])
		w.measure(p, "north wall", 2400-at[1])
	}
	w.ok(w.Desk.Do(w.ctx, w.Electrician, of, deed.Offer{Stage: words.FirstFix}))
	w.sign(words.FirstFix)

	// Boarding.
	_, err := w.Desk.Do(w.ctx, w.Electrician, of, deed.Offer{Stage: words.Boarding})
	w.is(err, fault.Refused)
	w.ok(w.Desk.Do(w.ctx, w.DryLiner, of, deed.Offer{Stage: words.Boarding}))
	_, err = w.Desk.Do(w.ctx, w.Foreman, of, deed.SignOff{Stage: words.Boarding,
		Revision: w.at.Record.Revision})
	w.is(err, fault.Obstacle)
	if h := w.hard(words.Boarding); h["tail_not_seen"] != 3 || h["not_as_built"] != 4 {
		t.Errorf("boarding: %v", h)
	}
	for _, p := range []id.Position{d1, d2, f1} {
		w.ok(w.Desk.Do(w.ctx, w.Electrician, of, deed.SeeTails{Positions: []id.Position{p}}))
	}
	if s := w.at.Record.Gates[words.Boarding].State; s != words.InHand {
		t.Errorf("after what was offered has changed it is %s", s)
	}
	w.ok(w.Photo.Take(w.ctx, w.Foreman, of,
		photo.Draft{TakePhoto: deed.TakePhoto{Surface: ceiling.ID, Says: "on the foreman's phone"}}))
	w.ok(w.Desk.Do(w.ctx, w.DryLiner, of, deed.PutOn{List: []deed.Coat{
		{Datum: dbtest.Datum(t, w.at, "south wall"), Through: "board", Thickness: 28, By: "rule"},
		{Datum: dbtest.Datum(t, w.at, "north wall"), Through: "board", Thickness: 24, By: "rule"},
		{Datum: dbtest.Datum(t, w.at, "west wall"), Through: "board", Span: 3546, By: "laser",
			SpanTo: dbtest.Datum(t, w.at, "east wall"), SpanToState: "board"},
	}}))
	w.sign(words.Boarding)

	// Plaster: the day matters.
	w.ok(w.Desk.Do(w.ctx, w.Plasterer, of, deed.Offer{Stage: words.Plaster}))
	if h := w.hard(words.Plaster); h["not_as_built"] != 4 || h["no_finish_date"] != 1 {
		t.Errorf("plaster: %v", h)
	}
	_, err = w.Desk.Do(w.ctx, w.Plasterer, of, deed.Finish{Stage: words.Plaster, On: w.Clock.Now().AddDate(0, 0, 2)})
	w.is(err, fault.BadInput)
	w.ok(w.Desk.Do(w.ctx, w.Plasterer, of, deed.Finish{Stage: words.Plaster, On: w.Clock.Now()}))
	for _, name := range []string{"south wall", "north wall", "west wall", "east wall"} {
		w.ok(w.Desk.Do(w.ctx, w.Plasterer, of,
			deed.PutOn{List: []deed.Coat{{Datum: dbtest.Datum(t, w.at, name), Through: "skim", From: "board", Thickness: 3,
				By: "rule"}}}))
	}
	w.sign(words.Plaster)

	// Second fix: hold one, lose one, find one.
	w.ok(w.Desk.Do(w.ctx, w.Foreman, of, deed.Hold{Position: f1, Version: 0, Why: "the fan is not chosen"}))
	holes := w.at.Holes
	if len(holes) != 2 || !holes[0].First || holes[1].First {
		t.Fatalf("holes to open: %+v", holes)
	}
	// 28 mm of board and 3 of skim have come onto the south wall.
	for k, d := range holes[0].Solved.Surface.Datums {
		if d.ID == "south wall" {
			if v := holes[0].Answer.SetOut[k].Value; v < 567 || v > 571 {
				t.Errorf("600 from the bare south wall is %.1f today; about 569 was expected", v)
			}
		}
	}
	w.Clock.Pass(24 * time.Hour)
	_, err = w.Desk.Do(w.ctx, w.Electrician, of, deed.OpenHole{Hole: deed.Hole{Position: f1, Outcome: words.Found}})
	w.is(err, fault.Conflict)
	w.ok(w.Desk.Do(w.ctx, w.Electrician, of, deed.OpenHole{Hole: deed.Hole{Position: d1, Outcome: words.Found,
		Tail: []deed.TailAt{{From: dbtest.Datum(t, w.at, "south wall"), Value: 570},
			{From: dbtest.Datum(t, w.at, "west wall"), Value: 871}}}}))
	w.ok(w.Desk.Do(w.ctx, w.Electrician, of, deed.OpenHole{Hole: deed.Hole{Position: d2, Outcome: words.OnTimber}}))
	w.ok(w.Desk.Do(w.ctx, w.Electrician, of, deed.Offer{Stage: words.SecondFix}))
	if h := w.hard(words.SecondFix); h["held"] != 1 || h["lost_hole"] != 1 {
		t.Errorf("second fix: %v", h)
	}
	lost := w.at.Record.Openings[1].ID
	w.ok(w.Desk.Do(w.ctx, w.Electrician, of, deed.OwePatch{Opening: lost}))
	w.ok(w.Desk.Do(w.ctx, w.Foreman, of, deed.Omit{Position: f1, Version: 0, Why: "the client opens the window"}))
	w.sign(words.SecondFix)

	// Decoration.
	w.ok(w.Desk.Do(w.ctx, w.Foreman, of,
		deed.NoteSnag{Snag: room.Snag{Says: "scratch on the sill", Trade: words.Decorator}}))
	w.ok(w.Desk.Do(w.ctx, w.Decorator, of, deed.Offer{Stage: words.Decoration}))
	if h := w.hard(words.Decoration); h["patch_open"] != 1 || h["snag_open"] != 1 {
		t.Errorf("decoration: %v", h)
	}
	w.ok(w.Desk.Do(w.ctx, w.Decorator, of, deed.FillPatch{Opening: lost, At: time.Time{}, DryUnknown: true}))
	w.ok(w.Desk.Do(w.ctx, w.Decorator, of, deed.DryPatch{Opening: lost, At: w.Clock.Now().Add(time.Hour)}))
	w.ok(w.Desk.Do(w.ctx, w.Decorator, of, deed.Offer{Stage: words.Decoration}))
	_, err = w.Desk.Do(w.ctx, w.Foreman, of, deed.SignOff{Stage: words.Decoration,
		Revision: w.at.Record.Revision})
	w.is(err, fault.Obstacle)
	w.Clock.Pass(2 * time.Hour)
	w.snag(of, w.at.Record.Snags[0].ID)
	w.sign(words.Decoration)

	w.Holds(t)
	signed, err := w.Desk.SignOffs(w.ctx, w.Foreman, of)
	if err != nil || len(signed) != 5 {
		t.Errorf("%d sign-offs, %v", len(signed), err)
	}
	// Left out long after: asked first, then second fix and decoration open again.
	omit := deed.Omit{Position: w.at.Record.Positions[0].ID, Why: "the client has changed the plan"}
	_, err = w.Desk.Do(w.ctx, w.Foreman, of, omit)
	if f := (*fault.Error)(nil); !errors.As(err, &f) || f.Kind != fault.Conflict || f.Fields[0].Path != "reopen" ||
		!strings.HasPrefix(f.Msg, "Second fix and decoration in Utility are signed off. Leaving out "+
			w.at.Record.Positions[0].Name+" opens second fix again and everything after it.") {
		t.Errorf("it asks %v", err)
	}
	omit.Reopen = true
	w.ok(w.Desk.Do(w.ctx, w.Foreman, of, omit))
	if got := w.at.Record.Gates[words.SecondFix].State; got != words.InHand {
		t.Errorf("second fix is %s", got)
	}
	// One more, long after: asked first, and nothing has changed; then first fix and all that follows open again.
	more := deed.Schedule{Surface: ceiling.ID,
		Positions: []room.PositionDraft{{Name: "D3", Kind: "downlight", Cutout: 76}}}
	_, err = w.Desk.Do(w.ctx, w.Foreman, of, more)
	w.is(err, fault.Conflict)
	const asks = "First fix, boarding and plaster in Utility are signed off. Adding D3 opens " +
		"first fix again and everything after it."
	if f := (*fault.Error)(nil); !errors.As(err, &f) || !strings.HasPrefix(f.Msg, asks) || f.Fields[0].Path != "reopen" {
		t.Errorf("it asks %v", err)
	}
	if j, err := w.Desk.Read(w.ctx, w.Foreman, of); err != nil || j.Record.Gates != w.at.Record.Gates ||
		len(j.Record.Positions) != len(w.at.Record.Positions) {
		t.Errorf("what was only asked has changed the room: %v", err)
	}
	more.Reopen = true
	w.ok(w.Desk.Do(w.ctx, w.Foreman, of, more))
	for s, want := range map[words.Stage]words.State{words.FirstFix: words.InHand, words.Boarding: words.Waiting,
		words.Decoration: words.Waiting} {
		if got := w.at.Record.Gates[s].State; got != want {
			t.Errorf("%s is %s, want %s", s, got, want)
		}
	}
}
