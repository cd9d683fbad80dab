package gates_test

import (
	"errors"
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// After first fix a wall that nobody had measured from comes into use: its
// boards were never recorded, so with it signed boarding could not be signed.
// The write is refused, and says so, though no record that was signed changes.
func TestASignedStageStaysOneThatCanBeSigned(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.SignFirstFix(t, s.Utility(t, "D1"))
	w := &walk{Site: s, t: t, ctx: ctx, at: r}
	of, d1 := r.Record.ID, r.Record.Positions[0].ID
	w.ok(s.Desk.Do(ctx, s.Electrician, of, deed.SeeTails{Positions: []id.Position{d1}}))
	for _, name := range []string{"south wall", "west wall"} {
		w.ok(s.Desk.Do(ctx, s.DryLiner, of,
			deed.PutOn{List: []deed.Coat{{Datum: dbtest.Datum(t, r, name), Through: "board", Thickness: 25, By: "rule"}}}))
	}
	w.ok(s.Desk.Do(ctx, s.DryLiner, of, deed.Offer{Stage: words.Boarding}))
	w.sign(words.Boarding)
	_, err := s.Desk.Verdict(ctx, s.Electrician, of, deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: d1,
		From: dbtest.Datum(t, r, "north wall"), State: "board", Value: 1770}})
	if fault.KindOf(err) != fault.Obstacle || !strings.HasPrefix(err.Error(),
		"Boarding is signed off, and with this it could not be: the board on the north wall") {
		t.Errorf("a wall whose boards nobody recorded: %v", err)
	}
	if _, err := s.Desk.Verdict(ctx, s.Electrician, of, deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: d1,
		From: dbtest.Datum(t, r, "south wall"), State: "board", Value: 576}}); err != nil {
		t.Errorf("a wall that is in use: %v", err)
	}
	_, err = s.Desk.Verdict(ctx, s.Electrician, of, deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: d1,
		From: dbtest.Datum(t, r, "south wall"), Value: 576}})
	if fault.KindOf(err) != fault.Obstacle {
		t.Errorf("no state after first fix: %v", err)
	}
}

// What a stage's sign-off freezes, the services refuse to change, each in its
// turn; holding and snagging go on.
func TestWhatIsFrozenIsRefused(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1", "D2")
	way := id.New[id.Way]()
	if _, err := s.Desk.Do(ctx, s.Electrician, r.Record.ID,
		deed.AddWay{Way: room.Way{ID: way, Surface: r.Record.Surfaces[0].ID,
			Name: "to D2", Kind: room.HoleWay, B: [2]float64{9, 9}, Size: 20}}); err != nil {
		t.Fatal(err)
	}
	r = s.SignFirstFix(t, r)
	of, surface, d1 := r.Record.ID, r.Record.Surfaces[0].ID, r.Record.Positions[0].ID
	south := dbtest.Datum(t, r, "south wall")
	height := 2500.0
	for what, do := range map[string]func() error{
		"strike": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of, deed.Strike{Measurement: r.Record.Measurements[0].ID, Version: 0,
				Why: "misread"})
			return err
		},
		"plan": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of,
				deed.Plan{Surface: surface, Datums: []id.Datum{dbtest.Datum(t, r, "east wall")}})
			return err
		},
		"bare": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of, deed.StaysBare{Datum: south, Stays: true})
			return err
		},
		"datum": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of,
				deed.AddDatum{Datum: room.Datum{Surface: surface, Name: "stack", Kind: words.Point}})
			return err
		},
		"remove": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of, deed.RemoveDatum{Datum: dbtest.Datum(t, r, "east wall")})
			return err
		},
		"timber": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of,
				deed.AddTimbers{Timbers: []room.Timber{{Surface: surface, Name: "J1", B: [2]float64{9, 9}, Width: 47}}})
			return err
		},
		"way": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of,
				deed.AddWay{Way: room.Way{Surface: surface, Name: "to D1", Kind: room.HoleWay,
					B: [2]float64{9, 9}, Size: 20}})
			return err
		},
		"way out": func() error { _, err := s.Desk.Do(ctx, s.Foreman, of, deed.RemoveWay{Way: way}); return err },
		"surface": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of, deed.AddSurface{Surface: room.SurfaceDraft{Kind: "floor"}})
			return err
		},
		"change": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of, deed.ChangePosition{Position: d1, Version: 0,
				Draft: room.PositionDraft{Name: "D1", Cutout: 90}})
			return err
		},
		"height": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of, deed.ChangeRoom{Change: room.Change{Height: &height}})
			return err
		},
		"plaster before boarding": func() error {
			_, err := s.Desk.Do(ctx, s.Plasterer, of, deed.Finish{Stage: words.Plaster, On: s.Clock.Now()})
			return err
		},
		"skim before boarding": func() error {
			_, err := s.Desk.Do(ctx, s.Plasterer, of,
				deed.PutOn{List: []deed.Coat{{Datum: south, Through: "skim", Thickness: 28, By: "rule"}}})
			return err
		},
		"a hole before plaster": func() error {
			_, err := s.Desk.Do(ctx, s.Electrician, of, deed.OpenHole{Hole: deed.Hole{Position: d1, Outcome: words.Found}})
			return err
		},
	} {
		if err := do(); fault.KindOf(err) != fault.Obstacle && !(what == "bare" && fault.KindOf(err) == fault.BadInput) {
			t.Errorf("%s: %v", what, err)
		}
	}
	for what, do := range map[string]func() error{
		"hold": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of, deed.Hold{Position: d1, Version: 0, Why: "not chosen"})
			return err
		},
		"snag": func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, of, deed.NoteSnag{Snag: room.Snag{Says: "scratch"}})
			return err
		},
		"photo": func() error {
			_, err := s.Photo.Take(ctx, s.Foreman, of, photo.Draft{TakePhoto: deed.TakePhoto{Surface: surface}})
			return err
		},
		"the tail": func() error {
			_, err := s.Desk.Do(ctx, s.Plumber, of, deed.SeeTails{Positions: []id.Position{d1}})
			return err
		},
	} {
		if err := do(); err != nil {
			t.Errorf("%s: %v", what, err)
		}
	}
	if _, err := s.Desk.Do(ctx, s.Foreman, of, deed.Omit{Position: r.Record.Positions[1].ID, Version: 0,
		Why: "not wanted"}); err != nil {
		t.Error(err)
	}
	again := deed.WantAgain{Position: r.Record.Positions[1].ID}
	_, err := s.Desk.Do(ctx, s.Foreman, of, again)
	asked := (*fault.Error)(nil)
	if !errors.As(err, &asked) || asked.Kind != fault.Conflict || asked.Fields[0].Path != deed.Reopening {
		t.Errorf("wanted again on a signed schedule: %v", err)
	}
	again.Reopen = true
	j, err := s.Desk.Do(ctx, s.Foreman, of, again)
	if err != nil || j.Record.Gates[words.FirstFix].State != words.InHand || !j.Record.Positions[1].OmittedAt.IsZero() {
		t.Errorf("wanted again, and first fix may open: %v", err)
	}
}

// Each of the services' methods with each role.
func TestWhoMayDoWhatAtAStage(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	client := s.Add(t, "Wim Haas", firm.Client, "")
	r := s.SignFirstFix(t, s.Utility(t, "D1"))
	of, d1 := r.Record.ID, r.Record.Positions[0].ID
	none := id.New[id.Opening]()
	for _, c := range []struct {
		name, roles string // o f t: refused to the others
		do          func(firm.Person) error
	}{
		{"offer", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.Offer{Stage: words.Boarding})
			return err
		}},
		{"sign off", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.SignOff{Stage: words.Boarding, Accepted: nil})
			return err
		}},
		{"reopen", "of", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.Reopen{Stage: words.Boarding, Reason: "x"})
			return err
		}},
		{"sign-offs", "oft", func(by firm.Person) error { _, err := s.Desk.SignOffs(ctx, by, of); return err }},
		{"see", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.SeeTails{Positions: []id.Position{d1}})
			return err
		}},
		{"unsee", "oft", func(by firm.Person) error {
			_,
				err := s.Desk.Do(ctx, by, of, deed.UnseeTail{Position: d1})
			return err
		}},
		{"photo", "oft", func(by firm.Person) error {
			_, err := s.Photo.Take(ctx, by, of, photo.Draft{TakePhoto: deed.TakePhoto{Surface: r.Record.Surfaces[0].ID}})
			return err
		}},
		{"put on", "oft", func(by firm.Person) error { _, err := s.Desk.Do(ctx, by, of, deed.PutOn{List: nil}); return err }},
		{"finish", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.Finish{Stage: words.Plaster, On: s.Clock.Now()})
			return err
		}},
		{"open", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.OpenHole{Hole: deed.Hole{Position: d1, Outcome: words.Found}})
			return err
		}},
		{"outcome", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.CorrectOutcome{Opening: none, Outcome: words.Found, Says: ""})
			return err
		}},
		{"owe", "oft", func(by firm.Person) error {
			_,
				err := s.Desk.Do(ctx, by, of, deed.OwePatch{Opening: none})
			return err
		}},
		{"fill", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.FillPatch{Opening: none, At: time.Time{}, DryUnknown: true})
			return err
		}},
		{"unfill", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.UnfillPatch{Opening: none})
			return err
		}},
		{"dry", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of, deed.DryPatch{Opening: none, At: time.Time{}})
			return err
		}},
		{"snag", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of,
				deed.NoteSnag{Snag: room.Snag{Says: "x"}})
			return err
		}},
		{"close", "oft", func(by firm.Person) error {
			_, err := s.Desk.Do(ctx, by, of,
				deed.CloseSnag{Snag: id.New[id.Snag]()})
			return err
		}},
		{"overview", "oft", func(by firm.Person) error { _, err := s.Book.Overview(ctx, by); return err }},
		{"tasks", "oft", func(by firm.Person) error { _, err := s.Book.Tasks(ctx, by); return err }},
		{"ready", "oft", func(by firm.Person) error { _, err := s.Book.Ready(ctx, by); return err }},
		{"job sheet", "oft", func(by firm.Person) error { _, err := s.Book.JobSheet(ctx, by, r.Record.Job); return err }},
	} {
		for role, by := range map[string]firm.Person{"o": s.Owner, "f": s.Foreman, "t": s.DryLiner, "c": client} {
			err := c.do(by)
			if refused := fault.KindOf(err) == fault.Refused; refused == strings.Contains(c.roles, role) || err != nil &&
				fault.KindOf(err) == "" {
				t.Errorf("%s by the %s: %v", c.name, by.Role, err)
			}
		}
	}
}

// A position in the place of a lost hole reopens first fix, in the same breath.
func TestANewPositionForALostHole(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.SignFirstFix(t, s.Utility(t, "D1"))
	w := &walk{Site: s, t: t, ctx: ctx, at: r}
	of := r.Record.ID
	w.ok(s.Desk.Do(ctx, s.Electrician, of, deed.SeeTails{Positions: []id.Position{r.Record.Positions[0].ID}}))
	for i, st := range []words.Stage{words.Boarding, words.Plaster} {
		for _, name := range []string{"south wall", "west wall"} {
			w.ok(s.Desk.Do(ctx, s.DryLiner, of,
				deed.PutOn{List: []deed.Coat{{Datum: dbtest.Datum(t, r, name), Through: []string{"board", "skim"}[i],
					From:      []string{"bare", "board"}[i],
					Thickness: []float64{25, 3}[i], By: "rule"}}}))
		}
		w.ok(s.Desk.Do(ctx, s.Plasterer, of, deed.Finish{Stage: st, On: s.Clock.Now()}))
		w.ok(s.Desk.Do(ctx, s.Foreman, of, deed.Offer{Stage: st}))
		w.sign(st)
	}
	hole := deed.Hole{ID: id.New[id.Opening](), Position: r.Record.Positions[0].ID, Outcome: words.OnTimber,
		NewPosition: &room.PositionDraft{ID: id.New[id.Position](), Name: "D1b", Kind: "downlight", Cutout: 76}, Ask: true}
	_, err := s.Desk.Do(ctx, s.Electrician, of, deed.OpenHole{Hole: hole})
	if f := (*fault.Error)(nil); !errors.As(err, &f) || f.Kind != fault.Conflict || f.Fields[0].Path != deed.Reopening {
		t.Errorf("a new position in a signed room is asked about first: %v", err)
	}
	hole.Reopen = true
	for range 2 { // a repeat adds nothing
		w.ok(s.Desk.Do(ctx, s.Electrician, of, deed.OpenHole{Hole: hole}))
	}
	if len(w.at.Record.Positions) != 2 || len(w.at.Record.Openings) != 1 ||
		w.at.Record.Openings[0].NewPosition != hole.NewPosition.ID {
		t.Errorf("%+v", w.at.Record.Openings)
	}
	if w.at.Record.Gates[words.FirstFix].State != words.InHand ||
		w.at.Record.Gates[words.SecondFix].State != words.Waiting {
		t.Errorf("%+v", w.at.Record.Gates)
	}
	for _, o := range w.at.Obstacles(words.SecondFix) {
		if o.Code == "lost_hole" {
			t.Errorf("the lost hole has its new position, and yet: %s", o.Wrong)
		}
	}
}

// Whatever people write, the diary takes it to the byte: Go and the database
// work out the same hash of it.
func TestOddWordsKeepTheChain(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	for _, says := range []string{"\"quoted\" and 'so'", "two\nlines\r\nof it", `back\slash \u0041`, "<b>&amp;",
		"Größe ≥ 3 mm", "𝔘 🛠 ́", "a\u2028b", "tab\there"} {
		if _, err := s.Desk.Do(ctx, s.Foreman, r.Record.ID, deed.NoteSnag{Snag: room.Snag{Says: says}}); err != nil {
			t.Errorf("%q: %v", says, err)
		}
	}
	if _, err := s.Desk.Do(ctx, s.Foreman, r.Record.ID,
		deed.NoteSnag{Snag: room.Snag{Says: "half \xff a rune"}}); fault.KindOf(err) != fault.BadInput {
		t.Errorf("bytes that are no text: %v", err)
	}
	if _, err := s.Desk.Do(ctx, s.Foreman, r.Record.ID,
		deed.NoteSnag{Snag: room.Snag{Says: "a nought \x00 byte"}}); fault.KindOf(err) != fault.BadInput {
		t.Errorf("a nought byte: %v", err)
	}
	s.Holds(t)
}
