package persistence_test

import (
	"context"
	"reflect"
	"slices"
	"testing"

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
		{s.Owner, room.Scope{}, 2}, {firm.Whole(s.Owner.Firm), room.Scope{}, 2}, {plumber, room.Scope{}, 1},
		{nobody, room.Scope{}, 0}, {s.Found(t, "Marl & Sons"), room.Scope{}, 0},
		{s.Owner, room.Scope{Job: x.job}, 1}, {plumber, room.Scope{Job: x.job}, 0}, {plumber, room.Scope{Job: mill.ID}, 1},
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
					Revision: record.Revision, Seq: seqs[r.Job]})
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
	for by, want := range map[firm.Person]int{s.Owner: 6, plumber: 1, stranger: 0} {
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
