package persistence_test

import (
	"context"
	"reflect"
	"slices"
	"testing"
	"time"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
)

// headsOf asks for heads as somebody, at a glance.
func headsOf(t *testing.T, s *dbtest.Site, by firm.Person, scope room.Scope) (heads []room.Head) {
	t.Helper()
	if err := s.DB.Glance(t.Context(), by, func(tx *persistence.Tx) (err error) {
		heads, err = tx.Heads(t.Context(), scope)
		return err
	}); err != nil {
		t.Fatal(err)
	}
	return heads
}

// The heads are those of the rooms that somebody may see, in the order of all rooms,
// and say what the records say.
func TestHeadsAreThoseOfTheRecords(t *testing.T) {
	s, x, plumber, mill := elsewhere(t)
	nobody := s.AddTo(t, "Ida Rusk", firm.Trade, words.Joiner)
	if _, err := s.Job.Create(t.Context(), s.Foreman, job.Job{Name: "Kiln Yard"}); err != nil { // without a room
		t.Fatal(err)
	}
	for _, c := range []struct {
		by    firm.Person
		scope room.Scope
		want  int
	}{
		{s.Owner, room.Scope{}, 3}, {firm.Whole(s.Owner.Firm), room.Scope{}, 3}, {plumber, room.Scope{}, 1},
		{nobody, room.Scope{}, 0}, {s.Found(t, "Marl & Sons"), room.Scope{}, 0},
		{s.Owner, room.Scope{Job: x.job}, 2}, {plumber, room.Scope{Job: x.job}, 0}, {plumber, room.Scope{Job: mill.ID}, 1},
		{s.Owner, room.Scope{Room: x.room}, 1}, {plumber, room.Scope{Room: x.room}, 0},
		{s.Owner, room.Scope{Room: id.New[id.Room]()}, 0}, {s.Owner, room.Scope{Job: id.New[id.Job]()}, 0},
	} {
		var want []room.Head
		if err := s.DB.Snapshot(t.Context(), c.by, func(tx *persistence.Tx) error {
			seqs, err := tx.LastSeqs(t.Context())
			if err != nil {
				return err
			}
			rooms, err := tx.AllRooms(t.Context())
			for _, r := range rooms {
				if !c.scope.Room.IsZero() && r.ID != c.scope.Room || !c.scope.Job.IsZero() && r.Job != c.scope.Job {
					continue
				}
				record, err := tx.Record(t.Context(), r.ID)
				if err != nil {
					return err
				}
				want = append(want, room.Head{Room: r.ID, Job: r.Job, JobName: record.JobName, Name: r.Name, Place: r.Place,
					Revision: record.Revision, Zone: record.Zone, Seq: seqs[r.Job]})
			}
			return err
		}); err != nil {
			t.Fatal(err)
		}
		if got := headsOf(t, s, c.by, c.scope); !slices.Equal(got, want) || len(want) != c.want {
			t.Errorf("%s, %+v: %+v, want %d: %+v", c.by.Name, c.scope, got, c.want, want)
		}
	}
}

// Records of many rooms are those of each, in the order that was asked for, without
// those that are not to be seen.
func TestRecordsAreThoseOfEachRoom(t *testing.T) {
	s, x, plumber, _ := elsewhere(t)
	for range 3 {
		s.SignFirstFix(t, s.Utility(t, "D1", "D2", "D3"))
	}
	stranger := s.Found(t, "Marl & Sons")
	ids := []id.Room{id.New[id.Room]()}
	for _, h := range headsOf(t, s, s.Owner, room.Scope{}) {
		ids = append([]id.Room{h.Room}, ids...)
	}
	ids = append(ids, x.room) // once more
	for by, want := range map[firm.Person]int{s.Owner: 7, plumber: 1, stranger: 0} {
		var all, each []*room.Record
		for _, in := range []func(context.Context, firm.Person, func(*persistence.Tx) error) error{s.DB.Glance,
			s.DB.Snapshot} {
			if err := in(t.Context(), by, func(tx *persistence.Tx) (err error) {
				all, err = tx.Records(t.Context(), ids)
				return err
			}); err != nil {
				t.Fatal(err)
			}
			each = nil
			if err := in(t.Context(), by, func(tx *persistence.Tx) error {
				for _, of := range ids {
					if r, err := tx.Record(t.Context(), of); err == nil {
						each = append(each, r)
					}
				}
				return nil
			}); err != nil {
				t.Fatal(err)
			}
			if len(all)+len(each) > 0 && !reflect.DeepEqual(all, each) || len(all) != want {
				t.Errorf("%s sees %d records, and %d one by one, want %d", by.Name, len(all), len(each), want)
			}
		}
	}
}

// A mark moves on with whatever a page may say, for whoever may be shown it, and with
// nothing else.
func TestAMarkMovesOnWithWhatIsShown(t *testing.T) {
	s, x, plumber, mill := elsewhere(t)
	ctx := t.Context()
	secrets := map[id.Member]string{}
	for _, by := range []firm.Person{s.Owner, plumber} {
		_, secret, err := s.Firm.StartSession(ctx, by.Firm, by.ID)
		if err != nil {
			t.Fatal(err)
		}
		secrets[by.ID] = secret
	}
	marked := func(by firm.Person, scope room.Scope) (m room.Mark) {
		t.Helper()
		got, err := s.Firm.AuthenticateBy(ctx, secrets[by.ID], func(ctx context.Context, of id.Firm, hash firm.Hash,
			at time.Time) (session firm.Session, err error) {
			session, m, err = s.DB.Marked(ctx, of, hash, at, scope)
			return session, err
		})
		if plain, plainly := s.Firm.Authenticate(ctx, secrets[by.ID]); err != nil || plainly != nil || got != plain {
			t.Fatalf("%s: %+v, %v, want %+v, %v", by.Name, got, err, plain, plainly)
		}
		var entries, revisions int64
		seen := map[id.Job]bool{}
		for _, h := range headsOf(t, s, by, scope) {
			revisions += h.Revision
			if !seen[h.Job] {
				seen[h.Job] = true
				entries += h.Seq
			}
		}
		if m.Revisions != revisions || m.Entries < entries {
			t.Fatalf("%s, %+v: %+v, want %d entries or more and %d", by.Name, scope, m, entries, revisions)
		}
		return m
	}
	theirs, other := headsOf(t, s, plumber, room.Scope{})[0].Room, x.room
	if m := marked(plumber, room.Scope{Room: other}); m.Revisions != 0 {
		t.Errorf("a room that the plumber may not see is marked: %+v", m)
	}
	note := func(in id.Room) func() error {
		return func() error {
			_, err := s.Desk.Do(ctx, s.Foreman, in, deed.NoteSnag{Snag: room.Snag{Says: "a scratch"}})
			return err
		}
	}
	for _, c := range []struct {
		what string
		do   func() error
		// Whether it moves the mark of the owner's and the plumber's lists on, and of
		// their own room's page.
		owner, plumber, page bool
	}{
		{"nothing", func() error { return nil }, false, false, false},
		{"a snag elsewhere", note(other), true, false, false},
		{"a snag", note(theirs), true, true, true},
		{"a name", func() error {
			return s.DB.WithTx(ctx, s.Owner, func(tx *persistence.Tx) error {
				renamed := s.Plasterer
				renamed.Name = "Jo Pryde"
				return tx.SaveMember(ctx, renamed)
			})
		}, true, true, true},
		{"another job", func() error {
			_, err := s.Job.Create(ctx, s.Foreman, job.Job{Name: "Kiln Yard"})
			return err
		}, true, true, true},
		{"a job for the plumber", func() error {
			return s.Firm.NameJobs(ctx, s.Owner, plumber.ID, firm.Team{Jobs: []id.Job{mill.ID, x.job}})
		}, true, true, true},
	} {
		before := []room.Mark{marked(s.Owner, room.Scope{}), marked(plumber, room.Scope{}),
			marked(plumber, room.Scope{Room: theirs})}
		if err := c.do(); err != nil {
			t.Fatal(c.what, err)
		}
		after := []room.Mark{marked(s.Owner, room.Scope{}), marked(plumber, room.Scope{}),
			marked(plumber, room.Scope{Room: theirs})}
		for i, moves := range []bool{c.owner, c.plumber, c.page} {
			if (after[i] != before[i]) != moves {
				t.Errorf("%s: mark %d goes from %+v to %+v", c.what, i, before[i], after[i])
			}
		}
	}
	if err := s.Firm.EndAccess(ctx, s.Owner, plumber.ID); err != nil {
		t.Fatal(err)
	}
	of, hash, err := firm.ReadToken(secrets[plumber.ID])
	if err != nil {
		t.Fatal(err)
	}
	if _, m, err := s.DB.Marked(ctx, of, hash, s.Clock.Now(), room.Scope{}); fault.KindOf(err) != fault.NotFound {
		t.Errorf("a session that has ended is marked %+v, %v", m, err)
	}
}
