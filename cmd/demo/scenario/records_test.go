package scenario_test

import (
	"reflect"
	"testing"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/migrations"
	"lathmark/persistence"
)

// All rooms of the scenario, read at once, are what each is when it is read alone, and
// stand at the revisions that their heads tell of.
func TestAllRoomsReadAtOnceAreEachReadAlone(t *testing.T) {
	db, err := persistence.Open(t.Context(), template.Clone(t).URL(migrations.Server))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	if err := db.Snapshot(t.Context(), firm.Whole(whose.Firm), func(tx *persistence.Tx) error {
		heads, err := tx.Heads(t.Context(), room.Scope{})
		if err != nil {
			return err
		}
		var ids []id.Room
		for _, h := range heads {
			ids = append(ids, h.Room)
		}
		all, err := tx.Records(t.Context(), ids)
		if err != nil || len(all) != len(heads) || len(all) < 8 {
			t.Fatalf("%d records of %d rooms, %v", len(all), len(heads), err)
		}
		read := room.Record{}
		for i, r := range all {
			one, err := tx.Record(t.Context(), heads[i].Room)
			if err != nil {
				return err
			}
			if !reflect.DeepEqual(r, one) {
				t.Errorf("%s reads otherwise alone", r.Name)
			}
			if h := heads[i]; h.Revision != r.Revision || h.Name != r.Name || h.JobName != r.JobName {
				t.Errorf("%+v is the head of %s at %d", h, r.Name, r.Revision)
			}
			read.Openings = append(read.Openings, r.Openings...)
			read.Patches, read.Photos = append(read.Patches, r.Patches...), append(read.Photos, r.Photos...)
			read.Finished, read.Built = append(read.Finished, r.Finished...), append(read.Built, r.Built...)
			read.Measurements = append(read.Measurements, r.Measurements...)
		}
		for what, n := range map[string]int{"openings": len(read.Openings), "photos": len(read.Photos),
			"days": len(read.Finished), "layers put on": len(read.Built), "measurements": len(read.Measurements),
			"patches": len(read.Patches)} {
			if n == 0 {
				t.Errorf("there are no %s in the scenario", what)
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}
