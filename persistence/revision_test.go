package persistence_test

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// write is one row of a table that rooms' records are read from, as it comes, changes
// and goes; what the database allows for none is empty.
type write struct{ insert, update, del string }

const mine = " where firm_id = @firm and id = @new"

// written is a write to each of the tables.
var written = map[string]write{
	"surface": {`insert into surface (firm_id, id, room_id, name, kind, place, outline)
		values (@firm, @new, @room, 'x', 'floor', 9, '[[0, 0], [9, 0], [0, 9]]')`,
		"update surface set place = 8" + mine, "delete from surface" + mine},
	"datum": {`insert into datum (firm_id, id, room_id, surface_id, name, kind, place, au, av, bu, bv)
		values (@firm, @new, @room, @surface, 'x', 'line', 9, 0, 0, 9, 0)`,
		"update datum set bu = 8" + mine, "delete from datum" + mine},
	"layer": {`insert into layer (firm_id, id, room_id, surface_id, place, name, thickness_mm, stage)
		values (@firm, @new, @room, @surface, 9, 'x', 3, 'plaster')`,
		"update layer set name = 'y'" + mine, "delete from layer" + mine},
	"timber": {`insert into timber (firm_id, id, room_id, surface_id, name, au, av, bu, bv, width_mm)
		values (@firm, @new, @room, @surface, 'x', 0, 0, 9, 0, 47)`,
		"update timber set width_mm = 63" + mine, "delete from timber" + mine},
	"way": {`insert into way (firm_id, id, room_id, surface_id, name, kind, au, av, bu, bv, hole_mm)
		values (@firm, @new, @room, @surface, 'x', 'hole', 0, 0, 9, 0, 20)`,
		"update way set hole_mm = 18" + mine, "delete from way" + mine},
	"position": {`insert into position (firm_id, id, room_id, surface_id, name, kind, trade, added_at)
		values (@firm, @new, @room, @surface, 'x', 'downlight', 'electrician', now())`,
		"update position set held = true, held_why = 'y'" + mine, "delete from position" + mine},
	"measurement": {`insert into measurement (firm_id, id, room_id, surface_id, name, kind, stage, of_id, from_id,
		state_known, value_mm, instrument, taken_at) values (@firm, @new, @room, @surface, 'x', 'offset', 'first_fix',
		@position, @datum, true, 600, 'tape', now())`,
		"update measurement set value_mm = 601" + mine, "delete from measurement" + mine},
	"as_built": {`insert into as_built (firm_id, layer_id, room_id, stage, put_on, recorded_at)
		values (@firm, @layer, @room, @stage, now(), now())`,
		"update as_built set put_on = '2026-03-03' where layer_id = @layer", "delete from as_built where layer_id = @layer"},
	"tail_seen": {"insert into tail_seen (firm_id, position_id, room_id, seen_at) values (@firm, @position, @room, now())",
		"update tail_seen set seen_at = now() where position_id = @position",
		"delete from tail_seen where position_id = @position"},
	"photo": {`insert into photo (firm_id, id, room_id, stage, surface_id, taken_at, recorded_at)
		values (@firm, @new, @room, 'first_fix', @surface, now(), now())`,
		"update photo set struck_at = now(), struck_why = 'y'" + mine, "delete from photo" + mine},
	"finished": {`insert into finished (firm_id, room_id, stage, finished_on, recorded_at)
		values (@firm, @room, 'plaster', now(), now())`,
		"update finished set finished_on = '2026-03-01' where room_id = @room", "delete from finished where room_id = @room"},
	"opening": {`insert into opening (firm_id, id, room_id, position_id, outcome, opened_at, recorded_at)
		values (@firm, @new, @room, @position, 'found', now(), now())`,
		"update opening set says = 'y'" + mine, "delete from opening" + mine},
	"patch": {"insert into patch (firm_id, opening_id, room_id, owed_at) values (@firm, @opening, @room, now())",
		"update patch set filled_at = now() where opening_id = @opening", "delete from patch where opening_id = @opening"},
	"snag": {"insert into snag (firm_id, id, room_id, says, noted_at) values (@firm, @new, @room, 'x', now())",
		"update snag set closed_at = now()" + mine, "delete from snag" + mine},
	"gate": {"", "update gate set state = 'offered', offered_at = now(), offered_by = @me where room_id = @room and " +
		"stage = 'first_fix'",
		""},
	"sign_off": {`insert into sign_off (firm_id, id, room_id, job_id, stage, signed_by, signed_at, accepted, room_sheet,
			set_out, sha256, diary_seq) select @firm, @new, @room, @job, 'first_fix', @me, now(), '[]', '{}', '{}',
			sha256(convert_to(E'[]\n{}\n{}', 'UTF8')), max(seq) from diary where firm_id = @firm and job_id = @job`, "", ""},
	"room":   {"", "update room set place = place + 1 where firm_id = @firm and id = @room", ""},
	"job":    {"", "update job set name = name || '!' where firm_id = @firm and id = @job", ""},
	"member": {"", "update member set name = name || '!' where firm_id = @firm and id = @me", ""},
}

// revised returns how far a room's revision moved on by statements of one
// transaction, at the prompt of one who is above all policies.
func revised(t *testing.T, conn *pgx.Conn, args pgx.NamedArgs, statements ...string) int64 {
	t.Helper()
	ctx := t.Context()
	at := func() (n int64) {
		t.Helper()
		if err := conn.QueryRow(ctx, "select revision from room where firm_id = @firm and id = @room",
			args).Scan(&n); err != nil {
			t.Fatal(err)
		}
		return n
	}
	before := at()
	if err := pgx.BeginFunc(ctx, conn, func(tx pgx.Tx) error {
		for _, sql := range statements {
			tag, err := tx.Exec(ctx, sql, args)
			if err == nil && tag.RowsAffected() != 1 {
				err = errors.New("it meets no row, or many")
			}
			if err != nil {
				return errors.Join(errors.New(sql), err)
			}
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
	return at() - before
}

// Whatever a record is read from moves its room's revision on, once for each
// transaction, when it comes, when it changes and when it goes.
func TestTheRevisionStandsForTheWholeRecord(t *testing.T) {
	s := dbtest.New(t)
	x := fill(t, s)
	signed := s.SignFirstFix(t, s.Utility(t, "D1"))
	conn := connect(t, s, localpg.Superuser)
	withoutDiary(t, conn)
	r := x.r.Record
	args := pgx.NamedArgs{"firm": s.Owner.Firm, "room": x.room, "job": x.job, "me": s.Foreman.ID,
		"surface": r.Surfaces[0].ID, "datum": r.Datums[0].ID, "position": r.Positions[1].ID, "opening": x.opening,
		"layer": r.Layers[0].ID, "stage": r.Layers[0].Stage.Code()}
	tables := slices.Concat(persistence.TablesOfARecord(), []string{"job", "member"})
	// The firm's zone comes with a room's head, beside the revision.
	tables = slices.DeleteFunc(tables, func(t string) bool { return t == "firm" })
	slices.Sort(tables)
	if known := slices.Sorted(maps.Keys(written)); !slices.Equal(slices.Compact(tables), known) {
		t.Errorf("a record is read from %v, and written to are %v", tables, known)
	}
	for table, w := range written {
		args["new"] = id.New[id.Snag]()
		on := maps.Clone(args)
		if table == "member" {
			on["room"] = signed.Record.ID
		}
		for _, sql := range []string{w.insert, w.update, w.del} {
			if sql == "" {
				continue
			}
			if n := revised(t, conn, on, sql); n != 1 {
				t.Errorf("%s: the revision moved on by %d", sql, n)
			}
		}
	}
	args["new"] = id.New[id.Snag]()
	if n := revised(t, conn, args, written["room"].update, written["snag"].insert, written["snag"].update,
		written["job"].update, written["room"].update); n != 1 {
		t.Errorf("by a transaction that wrote much it moved on by %d", n)
	}
}

// What no record shows leaves the revision where it is.
func TestTheRevisionStandsForNothingElse(t *testing.T) {
	s := dbtest.New(t)
	r := s.SignFirstFix(t, s.Utility(t, "D1")).Record
	conn := connect(t, s, localpg.Superuser)
	withoutDiary(t, conn)
	args := pgx.NamedArgs{"firm": s.Owner.Firm, "room": r.ID, "job": r.Job, "me": s.Foreman.ID, "other": s.Electrician.ID}
	for _, sql := range []string{
		"update member set name = name || '!' where firm_id = @firm and id = @other",
		"update member set name = name, every_job = every_job where firm_id = @firm and id = @me",
		"update job set address = address || '!', name = name where firm_id = @firm and id = @job",
	} {
		if n := revised(t, conn, args, sql); n != 0 {
			t.Errorf("%s: the revision moved on by %d", sql, n)
		}
	}
}

// The revision that a transaction is told of is the one that is there once it has
// committed, and the heads tell of it.
func TestTheRevisionToCome(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1").Record
	var told []int64
	ask := func(tx *persistence.Tx) error {
		n, err := tx.Revision(t.Context(), r.ID)
		told = append(told, n)
		return err
	}
	err := s.DB.WithTx(t.Context(), s.Foreman, func(tx *persistence.Tx) error {
		_, _, err1 := tx.LockRoom(t.Context(), r.ID)
		err2 := ask(tx)
		for range 2 {
			err1 = errors.Join(err1, tx.InsertSnag(t.Context(), r.ID, room.Snag{ID: id.New[id.Snag](), Says: "x",
				NotedAt: s.Clock.Now()}), ask(tx))
		}
		return errors.Join(err1, err2)
	})
	if err != nil {
		t.Fatal(err)
	}
	if want := []int64{r.Revision, r.Revision + 1, r.Revision + 1}; !slices.Equal(told, want) {
		t.Errorf("told of %v, want %v", told, want)
	}
	after, err := s.Desk.Read(t.Context(), s.Foreman, r.ID)
	if err != nil || after.Record.Revision != r.Revision+1 {
		t.Errorf("it is at %d (%v)", after.Record.Revision, err)
	}
	if _, err := s.Desk.Do(t.Context(), s.Foreman, r.ID, deed.SignOff{Stage: words.FirstFix,
		Revision: after.Record.Revision}); err == nil {
		t.Error("what is not offered was signed")
	}
	if heads := headsOf(t, s, s.Foreman, room.Scope{Room: r.ID}); len(heads) != 1 || heads[0].Revision != r.Revision+1 {
		t.Errorf("the heads tell of %+v", heads)
	}
}

// Every part of a record is looked for by its room, in an index.
func TestARecordIsReadThroughIndexes(t *testing.T) {
	s := dbtest.New(t)
	x := fill(t, s)
	conn := connect(t, s, localpg.Superuser)
	others := `insert into %s select (jsonb_populate_record(x, jsonb_build_object('id', gen_random_uuid(),
		'room_id', gen_random_uuid(), 'name', n))).* from %[1]s x, generate_series(1, 500) n`
	for _, sql := range []string{"set lathmark.every_job = 'true'", "set lathmark.jobs = '{}'",
		// Of two indexes the planner has to know which is the better one.
		"set session_replication_role = replica", fmt.Sprintf(others, "measurement"), fmt.Sprintf(others, "photo"),
		"analyze measurement, photo", "set enable_seqscan = off"} {
		if _, err := conn.Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	for _, sql := range persistence.PartsOfARecord() {
		rows, _ := conn.Query(t.Context(), "explain "+sql, s.Owner.Firm, []id.Room{x.room})
		lines, err := pgx.CollectRows(rows, pgx.RowTo[string])
		if err != nil {
			t.Fatal(err)
		}
		plan := strings.Join(lines, "\n")
		if !slices.ContainsFunc(lines, func(line string) bool {
			return strings.Contains(line, "Index Cond:") && strings.Contains(line, "= of.room")
		}) || strings.Contains(plan, "Seq Scan") {
			t.Errorf("%s:\n%s", sql, plan)
		}
	}
}

// withoutDiary lets a job's name change without a line in the diary, which other
// tests ask for.
func withoutDiary(t *testing.T, conn *pgx.Conn) {
	t.Helper()
	for _, sql := range []string{"alter table job disable trigger in_diary", "alter table sign_off disable trigger stands",
		"alter table sign_off drop constraint sign_off_line"} {
		if _, err := conn.Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
}
