package persistence_test

import (
	"testing"

	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// Each foreign key has an index that begins with two of its columns, which are the firm
// and the record, or the room that it is in: what refers to a record is looked for whenever
// that is taken out. Nobody and no firm ever is.
func TestForeignKeysHaveAnIndex(t *testing.T) {
	s := dbtest.New(t)
	bare := texts(t, connect(t, s, localpg.Superuser), `
		select c.conrelid::regclass || ' (' || (select string_agg(a.attname, ', ' order by k.n)
			from unnest(c.conkey) with ordinality k(col, n) join pg_attribute a on a.attrelid = c.conrelid and a.attnum = k.col)
			|| ') to ' || c.confrelid::regclass
		from pg_constraint c
		where c.contype = 'f' and c.connamespace = 'public'::regnamespace
			and c.confrelid not in ('firm'::regclass, 'member'::regclass)
			and not exists (select from pg_index i where i.indrelid = c.conrelid and i.indisvalid
				and array[i.indkey[0], i.indkey[1]] <@ c.conkey)
		order by 1`)
	for _, one := range bare {
		t.Errorf("no index: %s", one)
	}
}

// What lists are read by has an index: every table with a room's or a job's id begins one
// with the firm and that.
func TestRoomsAndJobsHaveAnIndex(t *testing.T) {
	s := dbtest.New(t)
	bare := texts(t, connect(t, s, localpg.Superuser), `
		select c.relname || '.' || a.attname from pg_class c join pg_attribute a on a.attrelid = c.oid
		where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attname in ('room_id', 'job_id')
			and not exists (select from pg_index i where i.indrelid = c.oid and i.indpred is null
				and i.indkey[0] = (select attnum from pg_attribute f where f.attrelid = c.oid and f.attname = 'firm_id')
				and i.indkey[1] = a.attnum)
		order by 1`)
	for _, one := range bare {
		t.Errorf("no index: %s", one)
	}
}
