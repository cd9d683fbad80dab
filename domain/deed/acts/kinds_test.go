package acts_test

import (
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// deeds are one deed of every kind, each with the stage it is done in and the
// count of records that it adds to.
var deeds = []struct {
	kind  deed.Kind
	in    words.Stage
	deed  func(*site) deed.Deed
	count func(*room.Record) int
}{
	{deed.KindMeasure, words.FirstFix, func(s *site) deed.Deed { return s.offset(0, "south wall", 600) },
		func(r *room.Record) int { return len(r.Measurements) }},
	{deed.KindCorrect, words.FirstFix, func(s *site) deed.Deed {
		m := s.taken(s.offset(0, "south wall", 600))
		return deed.Correct{Reading: s.reading(m, 610)}
	}, func(r *room.Record) int { return int(r.Measurements[0].Version) }},
	{deed.KindStrike, words.FirstFix, func(s *site) deed.Deed {
		return deed.Strike{Measurement: s.taken(s.offset(0, "south wall", 600)).ID, Why: "the tape slipped"}
	}, func(r *room.Record) int {
		n := 0
		for _, m := range r.Measurements {
			if !m.Stands() {
				n++
			}
		}
		return n
	}},
	{deed.KindSeeTails, words.Boarding,
		func(s *site) deed.Deed { return deed.SeeTails{Positions: []id.Position{s.position(0)}} },
		func(r *room.Record) int { return len(r.Seen) }},
	{deed.KindPutOn, words.Boarding, func(s *site) deed.Deed {
		return deed.PutOn{List: []deed.Coat{{ID: id.New[id.Measurement](), Datum: s.datum("south wall"), Through: "board",
			Thickness: 24, By: "rule"}}}
	}, func(r *room.Record) int { return len(r.Built) }},
	{deed.KindFinish, words.Plaster, func(s *site) deed.Deed { return deed.Finish{Stage: words.Plaster, On: s.day()} },
		func(r *room.Record) int { return len(r.Finished) }},
	{deed.KindOpen, words.SecondFix, func(s *site) deed.Deed {
		return deed.OpenHole{Hole: deed.Hole{ID: id.New[id.Opening](), Position: s.position(0), Outcome: words.Found,
			Tail: []deed.TailAt{{ID: id.New[id.Measurement](), From: s.datum("south wall"), State: "skim", Value: 580,
				By: "tape"}}}}
	}, func(r *room.Record) int { return len(r.Openings) }},
	{deed.KindOwe, words.SecondFix, func(s *site) deed.Deed { return deed.OwePatch{Opening: s.opened()} },
		func(r *room.Record) int { return len(r.Patches) }},
	{deed.KindFill, words.Decoration, func(s *site) deed.Deed {
		s.must(s.Desk.Do(s.t.Context(), s.Foreman, s.room, deed.OwePatch{Opening: s.r.Record.Openings[0].ID}))
		return deed.FillPatch{Opening: s.r.Record.Openings[0].ID}
	}, func(r *room.Record) int {
		if r.Patches[0].FilledAt.IsZero() || !r.Patches[0].DryAt.Equal(r.Patches[0].FilledAt.Add(deed.FillerDries)) {
			return 0
		}
		return 1
	}},
	{deed.KindDry, words.Decoration, func(s *site) deed.Deed {
		s.must(s.Desk.Do(s.t.Context(), s.Foreman, s.room, deed.FillPatch{Opening: s.r.Record.Openings[0].ID}))
		return deed.DryPatch{Opening: s.r.Record.Openings[0].ID}
	}, func(r *room.Record) int {
		if r.Patches[0].DryAt.After(r.Patches[0].FilledAt.Add(time.Hour)) {
			return 0
		}
		return 1
	}},
	{deed.KindUnfill, words.Decoration, func(s *site) deed.Deed {
		s.must(s.Desk.Do(s.t.Context(), s.Foreman, s.room, deed.FillPatch{Opening: s.r.Record.Openings[0].ID}))
		return deed.UnfillPatch{Opening: s.r.Record.Openings[0].ID}
	}, func(r *room.Record) int {
		if p := r.Patches[0]; !p.FilledAt.IsZero() || !p.DryAt.IsZero() {
			return 0
		}
		return 1
	}},
	{deed.KindSnag, words.FirstFix, func(*site) deed.Deed {
		return deed.NoteSnag{Snag: room.Snag{ID: id.New[id.Snag](), Says: "scratch on the sill"}}
	},
		func(r *room.Record) int { return len(r.Snags) }},
	{deed.KindSnagDone, words.FirstFix, func(s *site) deed.Deed {
		s.must(s.Desk.Do(s.t.Context(), s.Foreman, s.room, deed.NoteSnag{Snag: room.Snag{Says: "scratch on the sill"}}))
		return deed.CloseSnag{Snag: s.r.Record.Snags[0].ID}
	}, func(r *room.Record) int {
		if r.Snags[0].DoneAt.IsZero() { // the foreman closes it
			return 0
		}
		return 1
	}},
	{deed.KindOffer, words.FirstFix, func(*site) deed.Deed { return deed.Offer{Stage: words.FirstFix} },
		func(r *room.Record) int {
			if r.Gates[words.FirstFix].State == words.Offered {
				return 1
			}
			return 0
		}},
}

// taken has the electrician take a reading, on the page.
func (s *site) taken(d deed.Measure) room.Measurement {
	s.t.Helper()
	v, err := s.Desk.Verdict(s.t.Context(), s.Electrician, s.room, deed.Measure{Reading: d.Reading})
	if err != nil {
		s.t.Fatal(err)
	}
	s.r = v.Standing
	return v.Measurement
}

// reading is a measurement with another value.
func (s *site) reading(m room.Measurement, mm float64) room.Reading {
	return room.Reading{ID: m.ID, Kind: m.Kind, Of: m.Of, From: m.From, State: m.State, Value: mm, By: m.By}
}

// opened has a hole cut, on the page.
func (s *site) opened() id.Opening {
	s.t.Helper()
	s.must(s.Desk.Do(s.t.Context(), s.Foreman, s.room,
		deed.OpenHole{Hole: deed.Hole{Position: s.position(0), Outcome: words.NotFound}}))
	return s.r.Record.Openings[0].ID
}

func (s *site) day() time.Time { return s.Clock.Now().Truncate(24 * time.Hour) }

// Every kind of act: taken once it adds one record, at the time it was done;
// sent again it adds nothing and is answered with the same words.
func TestEveryKindIsTakenOnce(t *testing.T) {
	tried := map[deed.Kind]bool{}
	for _, d := range deeds {
		tried[d.kind] = true
		t.Run(string(d.kind), func(t *testing.T) {
			s := at(t, d.in)
			a := s.act(d.deed(s))
			a.Copy = s.seq()
			if deed.KindOf(a.Deed) != d.kind {
				t.Fatalf("%T is of kind %s", a.Deed, deed.KindOf(a.Deed))
			}
			a.Made = s.Clock.Now()
			s.Clock.Pass(3 * time.Hour) // the drive home
			before := d.count(s.read())
			first := s.came(deed.Kept, s.Electrician, a)
			once := s.read()
			if got := d.count(once); got != before+1 {
				t.Fatalf("%d of them, was %d", got, before)
			}
			lines := s.entries()
			for range 2 {
				if again := s.send(s.Electrician, a); again.Says != first.Says || again.Word != first.Word {
					t.Errorf("again: %+v, first %+v", again, first)
				}
			}
			s.same("the same once more", once)
			if after := s.entries(); len(after) != len(lines) || after["refused"] > 0 {
				t.Errorf("the diary has %v, had %v", after, lines)
			}
		})
	}
	for k, of := range deed.Kinds {
		if of.FromPhones() != tried[k] {
			t.Errorf("%s is not tried", k)
		}
	}
}
