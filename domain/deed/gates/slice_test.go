package gates_test

import (
	"strings"
	"testing"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
)

func TestMain(m *testing.M) { pgtest.Main(m) }

// From an empty room to a signed first fix, with the refusals on the way.
func TestFirstFixIsSignedOffOnlyOnceMeasured(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	of, d1 := r.Record.ID, r.Record.Positions[0].ID

	r, err := s.Desk.Do(ctx, s.Electrician, of, deed.Offer{Stage: words.FirstFix})
	if err != nil {
		t.Fatal(err)
	}
	_, err = s.Desk.Do(ctx, s.Foreman, of, deed.SignOff{Stage: words.FirstFix, Revision: r.Record.Revision})
	if fault.KindOf(err) != fault.Obstacle {
		t.Fatalf("signed off without a record: %v", err)
	}
	if _, err := s.Desk.Do(ctx, s.Electrician, of, deed.SignOff{Stage: words.FirstFix, Accepted: nil}); fault.KindOf(
		err) != fault.Refused {
		t.Fatalf("signed off by a trade: %v", err)
	}
	offset := func(from, state string, value float64) *deed.Verdict {
		t.Helper()
		v, err := s.Desk.Verdict(ctx, s.Electrician, of, deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: d1,
			From: dbtest.Datum(t, r, from), State: state, Value: value}})
		if err != nil {
			t.Fatal(err)
		}
		return v
	}
	if v := offset("south wall", "", 628); len(v.Obstacles) != 3 || v.Obstacles[0].Code != "no_record" ||
		v.Obstacles[1].Code != "unrecorded_datum" {
		t.Errorf("after an offset without a state: %+v", v.Obstacles)
	} else {
		fixed := v.Measurement
		if _, err := s.Desk.Verdict(ctx, s.Electrician, of, deed.Correct{Version: fixed.Version,
			Reading: room.Reading{ID: fixed.ID, Kind: words.Offset,
				Of:   d1,
				From: fixed.From, State: "bare", Value: 628}}); err != nil {
			t.Fatal(err)
		}
	}
	v := offset("west wall", "bare", 900)
	if a, _ := v.Position(d1); !a.Determinate || a.Checked {
		t.Errorf("after two offsets: %+v", a)
	}
	offset("south wall", "bare", 627)
	v = offset("west wall", "bare", 901)
	if a, _ := v.Position(d1); !a.Checked {
		t.Errorf("after four offsets: %+v", a)
	}
	for _, o := range v.Standing.Obstacles(words.FirstFix) {
		if o.Hard {
			t.Errorf("still hard: %s", o.Sentence("utility"))
		}
	}
	r, err = s.Desk.Do(ctx, s.Electrician, of, deed.Offer{Stage: words.FirstFix})
	if err != nil {
		t.Fatal(err)
	}
	signed, err := s.Desk.Do(ctx, s.Foreman, of, deed.SignOff{Stage: words.FirstFix, Revision: r.Record.Revision,
		Accepted: dbtest.Accept(r, words.FirstFix)})
	if err != nil {
		t.Fatal(err)
	}
	if g := signed.Record.Gates; g[words.FirstFix].State != words.SignedOff || g[words.FirstFix].Initials != "BO" ||
		g[words.Boarding].State != words.InHand {
		t.Errorf("gates after the sign-off: %+v", g)
	}
	entries, err := s.Diary.Read(ctx, s.Foreman, r.Record.Job, 0)
	if err != nil {
		t.Fatal(err)
	}
	last := entries[len(entries)-1]
	if last.Act != "sign_off" || last.Stage != "first_fix" || last.Who != "Bram Okafor" {
		t.Errorf("the diary ends with %+v", last)
	}
	s.Holds(t)
	if _, err := s.Desk.Verdict(ctx, s.Electrician, of,
		deed.Correct{Version: 0, Reading: room.Reading{ID: v.Measurement.ID, Kind: words.Offset, Of: d1,
			From: v.Measurement.From, State: "bare", Value: 2600}}); fault.KindOf(err) != fault.Obstacle {
		t.Errorf("a signed measurement was changed: %v", err)
	}
}

// A reading that is put right after the offer takes the offer back, and the gate says who
// changed what. What was read before is not signed, nor accepted in other words.
func TestAChangeAfterTheOfferTakesItBack(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1")
	of, d1 := r.Record.ID, r.Record.Positions[0].ID
	var v *deed.Verdict
	var err error
	for from, value := range map[string]float64{"south wall": 611, "west wall": 900} {
		if v, err = s.Desk.Verdict(ctx, s.Electrician, of, deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: d1,
			From: dbtest.Datum(t, r, from), State: "bare", Value: value}}); err != nil {
			t.Fatal(err)
		}
	}
	offered, err := s.Desk.Do(ctx, s.Electrician, of, deed.Offer{Stage: words.FirstFix})
	if err != nil {
		t.Fatal(err)
	}
	seen := deed.SignOff{Stage: words.FirstFix, Revision: offered.Record.Revision,
		Accepted: dbtest.Accept(offered, words.FirstFix)}
	m := v.Standing.Record.Measurements[0]
	if _, err = s.Desk.Do(ctx, s.Electrician, of, deed.Correct{Reading: room.Reading{ID: m.ID, Kind: m.Kind, Of: d1,
		From: m.From, State: m.State, Value: m.Value + 1000}}); err != nil {
		t.Fatal(err)
	}
	_, err = s.Desk.Do(ctx, s.Foreman, of, seen)
	if fault.KindOf(err) != fault.Conflict || !strings.Contains(err.Error(), "Utility has changed since you looked") ||
		!strings.Contains(err.Error(),
			"First fix in Utility is no longer offered, because the electrician changed it: m1 was") {
		t.Errorf("signed as it was seen: %v", err)
	}
	again, err := s.Desk.Do(ctx, s.Electrician, of, deed.Offer{Stage: words.FirstFix})
	if err != nil || again.Record.Gates[0].Withdrawn != "" {
		t.Fatal(err)
	}
	seen.Revision = again.Record.Revision
	seen.Accepted[0].Wrong = "all is well"
	if _, err = s.Desk.Do(ctx, s.Foreman, of, seen); fault.KindOf(err) != fault.Obstacle {
		t.Errorf("accepted in words that nobody read: %v", err)
	}
	seen.Accepted = dbtest.Accept(again, words.FirstFix)
	if _, err = s.Desk.Do(ctx, s.Foreman, of, seen); err != nil {
		t.Error(err)
	}
}
