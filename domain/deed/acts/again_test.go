package acts_test

import (
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// shown is a reading as it stands, for whoever measures the thing again.
func (s *site) shown(m room.Measurement) deed.Shown { return deed.Shown{ID: m.ID, Version: m.Version} }

// again is a second reading of the first position's south offset.
func (s *site) again(mm float64, what deed.Again, shown ...deed.Shown) deed.Measure {
	d := s.offset(0, "south wall", mm)
	d.Again, d.Shown = what, shown
	return d
}

// A thing that is measured again: what stands then is what was chosen, and why the other
// is struck out is on record.
func TestMeasuredAgain(t *testing.T) {
	for name, c := range map[string]struct {
		what  deed.Again
		phone bool
		want  string
	}{
		"replaced":                     {deed.Replace, false, "1611 "},
		"both":                         {deed.KeepBoth, false, "611 1611 "},
		"replaced without signal":      {deed.Replace, true, "1611 "},
		"both without signal":          {deed.KeepBoth, true, "611 1611 "},
		"an older phone does not say":  {"", true, "611 1611 "},
		"a program does not say":       {"", false, "611 1611 "},
		"a phone never asks by itself": {deed.AskAgain, true, "611 1611 "},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			s := at(t, words.FirstFix)
			first := s.taken(s.offset(0, "south wall", 611))
			d := s.again(1611, c.what, s.shown(first))
			a := s.act(d)
			for range 2 { // sent twice it is done once
				if c.phone {
					s.came(deed.Kept, s.Electrician, a)
				} else {
					s.must(s.Desk.Do(t.Context(), s.Electrician, s.room, d))
				}
			}
			r := s.read()
			if got := standingOf(r); got != c.want {
				t.Errorf("%q stands, want %q", got, c.want)
			}
			if old := r.Measurements[0]; !old.Stands() && old.StruckWhy != "measured again" {
				t.Errorf("it is struck out since %q", old.StruckWhy)
			}
			if n := s.entries(); n["measure"] != 2 || n["strike"] != map[bool]int{true: 1}[c.what == deed.Replace] {
				t.Errorf("the diary has %v", n)
			}
		})
	}
}

// A page is asked once more where something else is on record than it showed, and nothing
// is written.
func TestAPageIsAskedAgain(t *testing.T) {
	s := at(t, words.FirstFix)
	none := s.again(611, deed.AskAgain)
	s.must(s.Desk.Do(t.Context(), s.Electrician, s.room, none)) // the first of its thing is not asked about
	first := room.Measurement{ID: none.Reading.ID, Version: 1}
	s.must(s.Desk.Do(t.Context(), s.Electrician, s.room, s.offset(0, "west wall", 900)))
	other := s.r.Record.Measurements[1]
	s.must(s.Desk.Do(t.Context(), s.Plumber, s.room, deed.Correct{Reading: s.reading(s.r.Record.Measurements[0], 613)}))
	before := s.read()
	for name, d := range map[string]deed.Measure{
		"nobody chose":             s.again(1611, deed.AskAgain, s.shown(first)),
		"it was put right since":   s.again(1611, deed.Replace, s.shown(first)),
		"it was not shown":         s.again(1611, deed.KeepBoth),
		"what is shown is another": s.again(1611, deed.Replace, deed.Shown{ID: first.ID}, s.shown(other)),
		"what is shown is not in here": s.again(1611, deed.Replace, deed.Shown{ID: first.ID},
			deed.Shown{ID: id.New[id.Measurement]()}),
	} {
		_, err := s.Desk.Do(t.Context(), s.Electrician, s.room, d)
		if k := fault.KindOf(err); k != fault.BadInput && k != fault.NotFound {
			t.Errorf("%s: %v", name, err)
		}
		s.same(name, before)
	}
	s.must(s.Desk.Do(t.Context(), s.Electrician, s.room,
		s.again(1611, deed.Replace, deed.Shown{ID: first.ID, Version: 2})))
	if got := standingOf(s.read()); got != "900 1611 " {
		t.Errorf("%q stands", got)
	}
}

// What others put right since the copy is not struck out unseen: somebody chooses.
func TestReplacedMeanwhilePutRight(t *testing.T) {
	s := at(t, words.FirstFix)
	first := s.taken(s.offset(0, "south wall", 611))
	a := s.act(s.again(620, deed.Replace, s.shown(first)))
	s.must(s.Desk.Do(t.Context(), s.Plumber, s.room, deed.Correct{Reading: s.reading(first, 613)}))
	s.Clock.Pass(time.Hour)
	s.came(deed.Both, s.Electrician, a)
	if got := standingOf(s.read()); got != "613 620 " {
		t.Errorf("%q stands", got)
	}
	if _, err := s.Desk.Choose(t.Context(), s.Electrician, a.ID, deed.Mine); err != nil {
		t.Fatal(err)
	}
	if got := standingOf(s.read()); got != "620 " {
		t.Errorf("%q stands once it is chosen", got)
	}
}
