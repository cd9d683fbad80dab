package acts_test

import (
	"reflect"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence/dbtest"
)

// site is a utility whose first fix is measured, with phones in it.
type site struct {
	*dbtest.Site
	t    testing.TB
	room id.Room
	r    *standing.Standing // as it was last read
	// copied is the last entry in the electrician's copy, 0 while it is as the room is.
	copied int64
}

// walked are the sites with each stage in hand, the ones before it signed off.
var walked = func() (out [5]func(testing.TB) (*dbtest.Site, id.Room)) {
	for i, in := range words.Stages {
		out[i] = dbtest.Walked(func(t testing.TB, of *dbtest.Site) id.Room {
			s := &site{Site: of, t: t}
			s.walk(in)
			return s.room
		})
	}
	return out
}()

// at returns a site with a stage in hand, the ones before it signed off.
func at(t testing.TB, in words.Stage) *site {
	t.Helper()
	s := &site{t: t}
	s.Site, s.room = walked[in](t)
	t.Cleanup(func() { s.Holds(t) })
	s.read()
	return s
}

// walk takes a new room to a stage.
func (s *site) walk(in words.Stage) {
	t := s.t
	t.Helper()
	s.r = s.Utility(t, "D1", "D2")
	s.room = s.r.Record.ID
	if in > words.FirstFix {
		s.r = s.SignFirstFix(t, s.r)
	}
	if in > words.Boarding {
		for _, p := range s.r.Record.Positions {
			s.must(s.Desk.Do(t.Context(), s.Foreman, s.room, deed.SeeTails{Positions: []id.Position{p.ID}}))
		}
		s.cover("board", "bare")
		s.sign(words.Boarding)
	}
	if in > words.Plaster {
		s.cover("skim", "board")
		s.must(s.Desk.Do(t.Context(), s.Foreman, s.room, deed.Finish{Stage: words.Plaster, On: s.Clock.Now()}))
		s.sign(words.Plaster)
		s.Clock.Pass(60 * 24 * time.Hour)
	}
	if in > words.SecondFix {
		for _, p := range s.r.Record.Positions {
			s.must(s.Desk.Do(t.Context(), s.Foreman, s.room,
				deed.OpenHole{Hole: deed.Hole{Position: p.ID, Outcome: words.Found}}))
		}
		s.sign(words.SecondFix)
	}
}

func (s *site) must(r *standing.Standing, err error) {
	s.t.Helper()
	if err != nil {
		s.t.Fatal(err)
	}
	s.r = r
}

func (s *site) cover(layer, from string) {
	s.t.Helper()
	for _, wall := range []string{"south wall", "west wall"} {
		thick := map[string]float64{"board": 25, "skim": 3}[layer]
		s.must(s.Desk.Do(s.t.Context(), s.Foreman, s.room,
			deed.PutOn{List: []deed.Coat{{ID: id.New[id.Measurement](), Datum: s.datum(wall), Through: layer, From: from,
				Thickness: thick,
				By:        "rule"}}}))
	}
}

func (s *site) sign(of words.Stage) {
	s.t.Helper()
	s.must(s.Desk.Do(s.t.Context(), s.Foreman, s.room, deed.Offer{Stage: of}))
	s.must(s.Desk.Do(s.t.Context(), s.Foreman, s.room, deed.SignOff{Stage: of,
		Revision: s.r.Record.Revision, Accepted: dbtest.Accept(s.r, of)}))
}

func (s *site) datum(name string) id.Datum { return dbtest.Datum(s.t, s.r, name) }

func (s *site) position(n int) id.Position { return s.r.Record.Positions[n].ID }

// read reads the room.
func (s *site) read() *room.Record {
	s.t.Helper()
	r, err := s.Desk.Read(s.t.Context(), s.Foreman, s.room)
	if err != nil {
		s.t.Fatal(err)
	}
	s.r = r
	return r.Record
}

// act is something done now, by somebody who has the room as it is.
func (s *site) act(d deed.Deed) deed.Act {
	return deed.Act{ID: id.New[id.Act](), Room: s.room, Made: s.Clock.Now(), Copy: s.seq(), Deed: d}
}

// send has somebody's phone send an act.
func (s *site) send(by firm.Person, a deed.Act) deed.Answer {
	s.t.Helper()
	answer, err := s.Desk.Take(s.t.Context(), by, a)
	if err != nil {
		s.t.Fatal(err)
	}
	return answer
}

// came sends an act that must get a certain answer.
func (s *site) came(want deed.Word, by firm.Person, a deed.Act) deed.Answer {
	s.t.Helper()
	got := s.send(by, a)
	if got.Word != want || got.Act != a.ID || got.Says == "" || (want == deed.Both) != (got.Mine != "" &&
		got.Theirs != "") {
		s.t.Fatalf("%s: %+v, want %s", deed.KindOf(a.Deed), got, want)
	}
	return got
}

// entries counts the diary's entries about the room, by act.
func (s *site) entries() map[string]int {
	s.t.Helper()
	out := map[string]int{}
	for after := int64(0); ; {
		es, err := s.Diary.Read(s.t.Context(), s.Foreman, s.r.Record.Job, after)
		if err != nil {
			s.t.Fatal(err)
		}
		for _, e := range es {
			out[e.Act]++
			after = e.Seq
		}
		if len(es) == 0 {
			return out
		}
	}
}

// unchanged is a record without what moves on with every write.
func unchanged(r *room.Record) room.Record {
	out := *r
	out.Revision = 0
	return out
}

func (s *site) same(what string, before *room.Record) {
	s.t.Helper()
	if after := s.read(); !reflect.DeepEqual(unchanged(before), unchanged(after)) {
		s.t.Errorf("%s changed the room:\n%+v\n%+v", what, before, after)
	}
}

// offset is a reading of a position from a wall.
func (s *site) offset(position int, wall string, mm float64) deed.Measure {
	return deed.Measure{Reading: room.Reading{ID: id.New[id.Measurement](), Kind: words.Offset, Of: s.position(position),
		From: s.datum(wall), State: "bare", Value: mm}}
}

// seq is the number of the job's last diary entry.
func (s *site) seq() int64 {
	s.t.Helper()
	j, err := s.Book.Read(s.t.Context(), s.Foreman, s.room)
	if err != nil {
		s.t.Fatal(err)
	}
	return j.Seq
}
