package acts_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
)

// clash is a thing that two people wrote down, neither knowing of the other.
type clash struct {
	what string
	in   words.Stage
	// write has the plumber write on the page, and returns the electrician's,
	// who had the room as it was.
	write func(*site) deed.Deed
	// stands is what the record says of it, in words: before there is a choice,
	// and after each.
	stands              func(*room.Record) string
	open                string
	mine, theirs, twice string // twice is empty where both cannot stand
}

// standingOf are the values of the readings of the first position's south offset,
// and the first measurement, that stand.
func standingOf(r *room.Record) (out string) {
	for _, m := range r.Measurements {
		if m.Stands() {
			out += fmt.Sprintf("%g ", m.Value)
		}
	}
	return out
}

// alike reports whether two lists of words have the same ones.
func alike(a, b string) bool {
	x, y := strings.Fields(a), strings.Fields(b)
	slices.Sort(x)
	slices.Sort(y)
	return slices.Equal(x, y)
}

func holes(r *room.Record) (out string) {
	for _, o := range r.Openings {
		out += string(o.Outcome) + " "
	}
	for _, m := range r.Measurements {
		if m.Stage == words.SecondFix && m.Stands() {
			out += fmt.Sprintf("at %g ", m.Value)
		}
	}
	return out
}

func finished(r *room.Record) (out string) {
	for _, f := range r.Finished {
		out += f.On.Format("2 Jan")
	}
	return out
}

func patched(r *room.Record) string {
	switch p := r.Patches[0]; {
	case p.FilledAt.IsZero() && p.DryAt.IsZero():
		return "open"
	case !p.DryAt.IsZero():
		return "filled dry"
	}
	return "filled"
}

var clashes = []clash{
	{"a position from one wall", words.FirstFix, func(s *site) deed.Deed {
		theirs := s.offset(0, "south wall", 612)
		s.plumber(func() error {
			_, err := s.Desk.Verdict(s.t.Context(), s.Plumber, s.room, deed.Measure{Reading: theirs.Reading})
			return err
		})
		return s.offset(0, "south wall", 600)
	}, standingOf, "612 600 ", "600 ", "612 ", "612 600 "},
	{"two tails apart", words.FirstFix, func(s *site) deed.Deed {
		apart := func(a, b int, mm float64) room.Reading {
			return room.Reading{ID: id.New[id.Measurement](), Kind: words.Distance, Of: s.position(a), ToPosition: s.position(b),
				Value: mm}
		}
		s.plumber(func() error {
			_, err := s.Desk.Verdict(s.t.Context(), s.Plumber, s.room, deed.Measure{Reading: apart(0, 1, 712)})
			return err
		})
		return deed.Measure{Reading: apart(1, 0, 700)} // from the other end
	}, standingOf, "712 700 ", "700 ", "712 ", "712 700 "},
	{"a layer as put on", words.Boarding, func(s *site) deed.Deed {
		board := func(mm float64) deed.Coat {
			return deed.Coat{ID: id.New[id.Measurement](), Datum: s.datum("south wall"), Through: "board", Thickness: mm,
				By: "rule"}
		}
		s.plumber(func() error {
			_, err := s.Desk.Do(s.t.Context(), s.Plumber, s.room, deed.PutOn{List: []deed.Coat{board(28)}})
			return err
		})
		return deed.PutOn{List: []deed.Coat{board(24)}}
	}, func(r *room.Record) (out string) {
		for _, m := range r.Measurements {
			if m.Kind == words.Thickness && m.Stands() {
				out += fmt.Sprintf("%g ", m.Value)
			}
		}
		return out
	}, "28 24 ", "24 ", "28 ", "28 24 "},
	{"a correction", words.FirstFix, func(s *site) deed.Deed {
		m := s.taken(s.offset(0, "south wall", 600))
		return s.meanwhile(deed.Correct{Reading: s.reading(m, 610)}, func() error {
			_, err := s.Desk.Verdict(s.t.Context(), s.Plumber, s.room, deed.Correct{Version: 0, Reading: s.reading(m, 606)})
			return err
		})
	}, standingOf, "606 ", "610 ", "606 ", ""},
	{"a correction of what was struck out", words.FirstFix, func(s *site) deed.Deed {
		m := s.taken(s.offset(0, "south wall", 600))
		return s.meanwhile(deed.Correct{Reading: s.reading(m, 610)}, func() error {
			_, err := s.Desk.Do(s.t.Context(), s.Plumber, s.room, deed.Strike{Measurement: m.ID, Version: 0, Why: "it slipped"})
			return err
		})
	}, standingOf, "", "610 ", "", ""},
	{"striking out what was put right", words.FirstFix, func(s *site) deed.Deed {
		m := s.taken(s.offset(0, "south wall", 600))
		return s.meanwhile(deed.Strike{Measurement: m.ID, Why: "it slipped"}, func() error {
			_, err := s.Desk.Verdict(s.t.Context(), s.Plumber, s.room, deed.Correct{Version: 0, Reading: s.reading(m, 606)})
			return err
		})
	}, standingOf, "606 ", "", "606 ", ""},
	{"a hole", words.SecondFix, func(s *site) deed.Deed {
		s.plumber(func() error {
			_, err := s.Desk.Do(s.t.Context(), s.Plumber, s.room, deed.OpenHole{Hole: deed.Hole{Position: s.position(0),
				Outcome: words.HookedOut,
				Tail:    []deed.TailAt{{From: s.datum("south wall"), Value: 560}}}})
			return err
		})
		return deed.OpenHole{Hole: deed.Hole{ID: id.New[id.Opening](), Position: s.position(0), Outcome: words.Found,
			Tail: []deed.TailAt{{ID: id.New[id.Measurement](), From: s.datum("south wall"), Value: 581}}}}
	}, holes, "hooked_out at 560 ", "found at 581 ", "hooked_out at 560 ", "hooked_out found at 560 at 581 "},
	{"a hole that another lost", words.SecondFix, func(s *site) deed.Deed {
		s.plumber(func() error {
			_, err := s.Desk.Do(s.t.Context(), s.Plumber, s.room,
				deed.OpenHole{Hole: deed.Hole{Position: s.position(0), Outcome: words.NotFound,
					OwePatch: true}})
			return err
		})
		return deed.OpenHole{Hole: deed.Hole{ID: id.New[id.Opening](), Position: s.position(0), Outcome: words.Found}}
	}, holes, "not_found ", "found ", "not_found ", "not_found found "},
	{"the day of finishing", words.Plaster, func(s *site) deed.Deed {
		s.Clock.Pass(24 * time.Hour) // boarding was signed off the day before
		s.plumber(func() error {
			_, err := s.Desk.Do(s.t.Context(), s.Plumber, s.room, deed.Finish{Stage: words.Plaster, On: s.day()})
			return err
		})
		return deed.Finish{Stage: words.Plaster, On: s.day().AddDate(0, 0, -1)}
	}, finished, "3 Mar", "2 Mar", "3 Mar", ""},
	{"a patch that another filled after all", words.Decoration, func(s *site) deed.Deed {
		hole := s.r.Record.Openings[0].ID
		s.must(s.Desk.Do(s.t.Context(), s.Electrician, s.room, deed.FillPatch{Opening: hole}))
		return s.meanwhile(deed.UnfillPatch{Opening: hole}, func() error {
			_, err := s.Desk.Do(s.t.Context(), s.Plumber, s.room, deed.DryPatch{Opening: hole})
			return err
		})
	}, patched, "filled dry", "open", "filled dry", ""},
	{"a tail that another found trapped", words.Boarding, func(s *site) deed.Deed {
		s.must(s.Desk.Do(s.t.Context(), s.Electrician, s.room, deed.SeeTails{Positions: []id.Position{s.position(0)}}))
		return s.meanwhile(deed.SeeTails{Positions: []id.Position{s.position(1), s.position(0)}}, func() error {
			_, err := s.Desk.Do(s.t.Context(), s.Plumber, s.room, deed.UnseeTail{Position: s.position(0)})
			return err
		})
	}, func(r *room.Record) string { return fmt.Sprint(len(r.Seen)) }, "1", "2", "1", ""},
}

// plumber has the plumber write something that the electrician's copy has not.
func (s *site) plumber(do func() error) {
	s.t.Helper()
	if s.copied == 0 {
		s.copied = s.seq()
	}
	if err := do(); err != nil {
		s.t.Fatal(err)
	}
}

// meanwhile returns a deed that was decided on before the plumber wrote.
func (s *site) meanwhile(d deed.Deed, do func() error) deed.Deed {
	s.t.Helper()
	s.plumber(do)
	return d
}

// Two people write about the same thing. Neither loses what they wrote; what
// stands until somebody chooses, and after each choice, is what the design says.
func TestTwoWriteAboutTheSame(t *testing.T) {
	for _, c := range clashes {
		for choice, want := range map[deed.Choice]string{deed.Mine: c.mine, deed.Theirs: c.theirs,
			deed.KeepTwo: c.twice} {
			t.Run(c.what+"/"+string(choice), func(t *testing.T) {
				t.Parallel()
				s := at(t, c.in)
				a := deed.Act{ID: id.New[id.Act](), Room: s.room, Made: s.Clock.Now(), Deed: c.write(s)}
				a.Copy = s.copied
				first := s.came(deed.Both, s.Electrician, a)
				if got := c.stands(s.read()); !alike(got, c.open) {
					t.Fatalf("until there is a choice %q stands, want %q; %+v", got, c.open, first)
				}
				before := s.read()
				if again := s.came(deed.Both, s.Electrician, a); again.Mine != first.Mine || again.Theirs != first.Theirs {
					t.Errorf("again %+v, first %+v", again, first)
				}
				s.same("the same once more", before)
				s.choose(a, choice, want, c)
			})
		}
	}
}

// choose has the electrician choose, and looks at what stands then.
func (s *site) choose(a deed.Act, choice deed.Choice, want string, c clash) {
	t, ctx := s.t, s.t.Context()
	t.Helper()
	for _, p := range []firm.Person{s.Electrician, s.Foreman, s.DryLiner} {
		open, err := s.Desk.PendingIn(ctx, p, s.room)
		if err != nil || len(open) != map[bool]int{true: 0, false: 1}[p.ID == s.DryLiner.ID] {
			t.Errorf("%s has to choose: %+v, %v", p.Name, open, err)
		}
	}
	if _, err := s.Desk.Choose(ctx, s.DryLiner, a.ID, deed.Theirs); fault.KindOf(err) != fault.Refused {
		t.Errorf("a stranger chose: %v", err)
	}
	by := s.Electrician
	if choice == deed.Theirs {
		by = s.Foreman
	}
	of, err := s.Desk.Choose(ctx, by, a.ID, choice)
	if c.twice == "" && choice == deed.KeepTwo {
		if fault.KindOf(err) != fault.BadInput || !alike(c.stands(s.read()), c.open) {
			t.Errorf("both stand: %v", err)
		}
		return
	}
	if err != nil || of != s.room {
		t.Fatal(err)
	}
	if got := c.stands(s.read()); !alike(got, want) {
		t.Errorf("%q stands, want %q", got, want)
	}
	before, lines := s.read(), s.entries()
	if lines["both"] != 1 || lines["choose"] != 1 {
		t.Errorf("the diary has %v", lines)
	}
	if _, err := s.Desk.Choose(ctx, s.Foreman, a.ID, choice); err != nil {
		t.Errorf("the same choice once more: %v", err)
	}
	for _, other := range deed.Choices {
		if _, err := s.Desk.Choose(ctx, s.Foreman, a.ID, other); other != choice && fault.KindOf(err) != fault.Conflict {
			t.Errorf("then %s: %v", other, err)
		}
	}
	s.same("choosing once more", before)
	if open, err := s.Desk.PendingIn(ctx, s.Electrician, id.Room{}); err != nil || len(open) != 0 {
		t.Errorf("still open: %+v, %v", open, err)
	}
}

// Facts are the same whoever writes them down, and equal words are no clash.
func TestTheSameFactTwiceIsKept(t *testing.T) {
	for _, d := range deeds {
		if d.kind == deed.KindSnag || d.kind == deed.KindCorrect || d.kind == deed.KindPutOn {
			continue // two snags are two; the others are in the table of clashes
		}
		t.Run(string(d.kind), func(t *testing.T) {
			t.Parallel()
			s := at(t, d.in)
			mine := s.act(d.deed(s))
			mine.Copy = s.seq()
			theirs := mine
			theirs.ID = id.New[id.Act]()
			switch m := mine.Deed.(type) {
			case deed.OpenHole:
				m.Hole.Tail = nil
				mine.Deed, theirs.Deed = m, deed.OpenHole{Hole: deed.Hole{ID: id.New[id.Opening](), Position: m.Hole.Position,
					Outcome: m.Hole.Outcome}}
			case deed.Measure:
				m.Reading.ID = id.New[id.Measurement]()
				theirs.Deed = m
			}
			s.came(deed.Kept, s.Foreman, theirs)
			s.came(deed.Kept, s.Electrician, mine)
			if lines := s.entries(); lines["both"] > 0 {
				t.Errorf("the diary has %v", lines)
			}
		})
	}
}

// What is one's own is no clash: two acts of one outbox about the same thing.
func TestOnesOwnIsNoClash(t *testing.T) {
	s := at(t, words.FirstFix)
	copied := s.seq()
	m := s.offset(0, "south wall", 600)
	for i, d := range []deed.Deed{m, s.offset(0, "south wall", 604),
		deed.Correct{Reading: func() room.Reading { r := m.Reading; r.Value = 602; return r }()},
		deed.Strike{Measurement: m.Reading.ID, Why: "twice"}} {
		a := s.act(d)
		a.Copy = copied
		if got := s.send(s.Electrician, a); got.Word != deed.Kept {
			t.Errorf("act %d: %+v", i, got)
		}
	}
	if got := standingOf(s.read()); got != "604 " {
		t.Errorf("%q stands", got)
	}
}
