package acts_test

import (
	"context"
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence"
)

// The stage was signed off while the phone had no signal: what it froze is
// refused with the reason, waits, and is taken once the stage is open again.
func TestRefusedUntilReopened(t *testing.T) {
	s := at(t, words.FirstFix)
	copied := s.seq()
	s.r = s.SignFirstFix(t, s.r)
	m := s.r.Record.Measurements[0]
	a := s.act(deed.Correct{Reading: s.reading(m, 590)})
	a.Copy = copied
	if d, ok := a.Deed.(deed.Correct); !ok || d.Reading.ID != m.ID {
		t.Fatal("no correction")
	}
	before := s.read()
	for range 3 {
		if got := s.came(deed.Refused, s.Electrician, a); got.Says == "" {
			t.Errorf("%+v", got)
		}
	}
	s.same("a refused act", before)
	if n := s.entries()["refused"]; n != 1 {
		t.Errorf("the diary has the refusal %d times", n)
	}
	if done, err := s.Desk.Answered(t.Context(), s.Electrician, []id.Act{a.ID}); err != nil || len(done) != 0 {
		t.Errorf("a refusal is final: %v, %v", done, err)
	}
	s.must(s.Desk.Do(t.Context(), s.Foreman, s.room, deed.Reopen{Stage: words.FirstFix, Reason: "D1 was read wrong"}))
	s.came(deed.Kept, s.Electrician, a)
	if got := s.read().Measurements[0].Value; got != 590 {
		t.Errorf("it reads %g", got)
	}
	if done, err := s.Desk.Answered(t.Context(), s.Electrician, []id.Act{a.ID}); err != nil ||
		done[a.ID].Word != deed.Kept {
		t.Errorf("%v, %v", done, err)
	}
}

// A stage that was opened again since is not offered by who does not know.
func TestAnOfferThatCameTooLate(t *testing.T) {
	s := at(t, words.Boarding)
	offer := s.act(deed.Offer{Stage: words.FirstFix})
	s.must(s.Desk.Do(t.Context(), s.Foreman, s.room, deed.Reopen{Stage: words.FirstFix, Reason: "D2 has to move"}))
	s.came(deed.Refused, s.Electrician, offer)
	if got := s.read().Gates[words.FirstFix].State; got != words.InHand {
		t.Errorf("first fix is %s", got)
	}
	s.came(deed.Kept, s.Electrician, s.act(deed.Offer{Stage: words.FirstFix})) // after a look
}

// What cannot be: each is refused in words, and none is an error of the house.
func TestWhatCannotBe(t *testing.T) {
	s := at(t, words.FirstFix)
	other := s.Found(t, "Marl & Sons")
	nowhere := s.act(s.offset(0, "south wall", 600))
	nowhere.Room = id.New[id.Room]()
	strange := s.act(deed.Strike{Measurement: id.New[id.Measurement](), Why: "x"})
	nul := s.act(deed.NoteSnag{Snag: room.Snag{ID: id.New[id.Snag](), Says: "a\x00b"}})
	waits := s.act(deed.OpenHole{Hole: deed.Hole{ID: id.New[id.Opening](), Position: s.position(0),
		Outcome: words.Found}})
	for what, c := range map[string]struct {
		by firm.Person
		a  deed.Act
	}{
		"no such room": {s.Electrician, nowhere}, "another firm's room": {other, s.act(s.offset(0, "south wall", 600))},
		"no such reading": {s.Electrician, strange}, "a character that cannot be kept": {s.Electrician, nul},
		"a stage that waits": {s.Electrician, waits},
		"another's stage":    {s.DryLiner, s.act(deed.Offer{Stage: words.FirstFix})},
	} {
		before := s.read()
		if got := s.came(deed.Refused, c.by, c.a); got.Says == "" {
			t.Errorf("%s: %+v", what, got)
		}
		s.same(what, before)
	}
	// Somebody else's act of the same firm tells nothing of itself.
	a := s.act(s.offset(0, "south wall", 600))
	s.came(deed.Kept, s.Electrician, a)
	if got := s.came(deed.Refused, s.Plumber, a); got.Mine != "" || got.Says != "Something else was sent with this id." {
		t.Errorf("%+v", got)
	}
	if done, err := s.Desk.Answered(t.Context(), s.Plumber, []id.Act{a.ID}); err != nil || len(done) != 0 {
		t.Errorf("%v, %v", done, err)
	}
	if _, err := s.Desk.Choose(t.Context(), other, a.ID, deed.Mine); fault.KindOf(err) != fault.NotFound {
		t.Errorf("another firm chose: %v", err)
	}
	if _, err := s.Desk.Choose(t.Context(), s.Electrician, a.ID, deed.Mine); fault.KindOf(err) != fault.Conflict {
		t.Errorf("nothing to choose: %v", err)
	}
	client := s.Add(t, "Cora Lind", firm.Client, "")
	if _, err := s.Desk.Take(t.Context(), client, a); fault.KindOf(err) != fault.Refused {
		t.Errorf("the client took part: %v", err)
	}
}

// The phone's clock is wrong, or says when a thing was done hours ago: times
// count between the room's drawing and now, and the diary says both.
func TestTheClockOfThePhone(t *testing.T) {
	s := at(t, words.FirstFix)
	s.Clock.Pass(48 * time.Hour)
	drawn := s.read().CreatedAt
	for what, c := range map[string]struct {
		made, from, to time.Time
		late           bool
	}{
		"an hour ago": {s.Clock.Now().Add(-time.Hour), s.Clock.Now().Add(-61 * time.Minute),
			s.Clock.Now().Add(-59 * time.Minute), true},
		"years ago":     {time.Date(1, 1, 1, 0, 0, 0, 0, time.UTC), drawn, drawn, true},
		"a minute ago":  {s.Clock.Now().Add(-time.Minute), s.Clock.Now().Add(-2 * time.Minute), s.Clock.Now(), false},
		"still to come": {s.Clock.Now().AddDate(1, 0, 0), s.Clock.Now(), s.Clock.Now().Add(time.Hour), false},
		"the far future": {time.Date(9999, 12, 31, 23, 59, 59, 0, time.UTC), s.Clock.Now(), s.Clock.Now().Add(time.Hour),
			false},
		"another zone": {s.Clock.Now().Add(-time.Hour).In(time.FixedZone("", 5*3600)), s.Clock.Now().Add(-61 * time.Minute),
			s.Clock.Now().Add(-59 * time.Minute), true},
	} {
		d := s.offset(0, "south wall", 600)
		a := s.act(d)
		a.Made = c.made
		got := s.came(deed.Kept, s.Electrician, a)
		m, err := s.read().Measurement(d.Reading.ID)
		if err != nil || m.TakenAt.Before(c.from) || m.TakenAt.After(c.to) {
			t.Errorf("%s: taken at %s, want %s to %s (%v)", what, m.TakenAt, c.from, c.to, err)
		}
		es, err := s.Diary.Read(t.Context(), s.Foreman, s.r.Record.Job, s.r.Seq-1)
		if err != nil || len(es) != 1 || es[0].At.Before(m.TakenAt) || es[0].At.Before(s.Clock.Now().Add(-time.Minute)) {
			t.Errorf("%s: the diary has %+v, %v", what, es, err)
		}
		if said := words.DayTime(m.TakenAt); strings.Contains(got.Says, said) != c.late {
			t.Errorf("%s: %q; when it was done: %s", what, got.Says, said)
		}
	}
}

// One batch, cut at every moment in turn and then sent whole, leaves what it
// leaves when nothing cuts it.
func TestABatchCutInTheMiddle(t *testing.T) {
	s := at(t, words.FirstFix)
	var acts []deed.Act
	for i := range 6 {
		acts = append(acts, s.act(s.offset(i%2, []string{"south wall", "west wall", "north wall"}[i/2], float64(600+i))))
	}
	acts = append(acts, s.act(deed.NoteSnag{Snag: room.Snag{ID: id.New[id.Snag](), Says: "the sill is loose"}}))
	for cut := 1; ; cut++ {
		ctx, leave := context.WithCancel(t.Context())
		readings := 0
		svc := persistence.NewServices(s.DB, func() time.Time { // read once in every act, under the room's lock
			if readings++; readings == cut {
				leave()
			}
			return s.Clock.Now()
		})
		done := 0
		for _, a := range acts {
			got, err := svc.Desk.Take(ctx, s.Electrician, a)
			if err != nil {
				break
			}
			if done++; got.Word != deed.Kept {
				t.Fatalf("cut at %d: %+v", cut, got)
			}
		}
		leave()
		if done == len(acts) {
			break
		}
	}
	r, lines := s.read(), s.entries()
	if len(r.Measurements) != 6 || len(r.Snags) != 1 || lines["measure"] != 6 || lines["snag"] != 1 ||
		lines["refused"]+lines["both"] > 0 {
		t.Errorf("%d readings, %d snags, diary %v", len(r.Measurements), len(r.Snags), lines)
	}
	for i, m := range r.Measurements {
		if m.Value != float64(600+i) {
			t.Errorf("reading %d is %g", i, m.Value)
		}
	}
}
