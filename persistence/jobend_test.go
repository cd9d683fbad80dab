package persistence_test

import (
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/domain/room"
	"lathmark/migrations"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
	"lathmark/persistence/schema"
)

// Nobody writes to a closed job, at the prompt either.
func TestThePromptCannotWriteToAClosedJob(t *testing.T) {
	s := dbtest.New(t)
	ctx := t.Context()
	r := s.Utility(t, "D1", "D2")
	act := id.New[id.Act]()
	if _, err := s.Desk.Take(ctx, s.Electrician, deed.Act{ID: act, Room: r.Record.ID, Made: s.Clock.Now(),
		Deed: deed.NoteSnag{Snag: room.Snag{ID: id.New[id.Snag](), Says: "a dent"}}}); err != nil {
		t.Fatal(err)
	}
	const entry = `with last as (select seq, hash from diary where firm_id = @firm and job_id = @job
			order by seq desc limit 1),
		d as (select row(@firm::uuid, @job::uuid, last.seq + 1, '2026-03-03'::timestamptz, @me::uuid, 'Bram Okafor', 'note',
			null::uuid, null, 'It is so.', '{}'::json, last.hash, ''::bytea)::diary as d, last.hash as prev from last)
		insert into diary (firm_id, job_id, seq, at, member_id, who, act, room_id, stage, says, detail, prev, hash)
		select (d).firm_id, (d).job_id, (d).seq, (d).at, (d).member_id, (d).who, (d).act, (d).room_id, (d).stage, (d).says,
			(d).detail, prev, sha256(prev || convert_to(diary_line(d), 'UTF8')) from d`
	writes := []string{
		entry,
		`insert into measurement (firm_id, id, room_id, surface_id, name, kind, stage, of_id, from_id, state_known, value_mm,
			instrument, taken_at) values (@firm, gen_random_uuid(), @room, @surface, 'mx', 'offset', 'first_fix', @position,
			@datum, true, 1, 'tape', now())`,
		`insert into snag (firm_id, id, room_id, says, noted_at) values (@firm, gen_random_uuid(), @room, 'x', now())`,
		`update snag set closed_at = now() where firm_id = @firm and room_id = @room`,
		`update "position" set cutout_mm = 90 where firm_id = @firm and room_id = @room`,
		`update datum set stays_bare = true where firm_id = @firm and id = @datum`,
		`delete from layer where firm_id = @firm and room_id = @room`,
		`insert into surface (firm_id, id, room_id, name, kind, place, outline)
			values (@firm, gen_random_uuid(), @room, 'floor', 'floor', 2, '[[0,0],[900,0],[0,900]]')`,
		`insert into timber (firm_id, id, room_id, surface_id, name, au, av, bu, bv, width_mm)
			values (@firm, gen_random_uuid(), @room, @surface, 'J1', 0, 0, 0, 9, 47)`,
		`insert into tail_seen (firm_id, position_id, room_id, seen_at) values (@firm, @position, @room, now())`,
		`insert into opening (firm_id, id, room_id, position_id, outcome, opened_at, recorded_at)
			values (@firm, gen_random_uuid(), @room, @position, 'found', now(), now())`,
		`insert into photo (firm_id, id, room_id, stage, surface_id, taken_at, recorded_at)
			values (@firm, gen_random_uuid(), @room, 'first_fix', @surface, now(), now())`,
		`insert into finished (firm_id, room_id, stage, finished_on, recorded_at)
			values (@firm, @room, 'plaster', '2026-03-03', now())`,
		`update gate set state = 'offered', offered_at = now(), offered_by = @me where firm_id = @firm and room_id = @room
			and stage = 'first_fix'`,
		`update room set place = 7 where firm_id = @firm and id = @room`,
		`insert into room (firm_id, id, job_id, name, outline, height_mm, created_at)
			values (@firm, gen_random_uuid(), @job, 'Hall', '[[0,0],[900,0],[0,900]]', 2400, now())`,
		`insert into act (firm_id, id, room_id, member_id, kind, made_at, done_at, came_at, copy_seq, deed, answer, says)
			values (@firm, gen_random_uuid(), @room, @me, 'offer', now(), now(), now(), 0, '{}', 'refused', 'x')`,
		`update act set says = says where firm_id = @firm and room_id = @room`,
	}
	everybody(t, s, r, func(p *prompt) {
		for _, sql := range writes { // they are refused for nothing else
			p.goes(sql)
		}
	})
	if _, err := s.Job.Close(ctx, s.Foreman, r.Record.Job, true); err != nil {
		t.Fatal(err)
	}
	everybody(t, s, r, func(p *prompt) {
		for _, sql := range writes {
			p.refusedAs("LM005", sql)
		}
		p.refusedAs("LM005", `update job set name = 'x' where firm_id = @firm and id = @job`)
		p.refusedAs("LM003", `update job set closed_at = null where firm_id = @firm and id = @job`)
		p.refusedAs("LM005", `delete from room where firm_id = @firm and id = @room`)
	})
}

// What a job or a room is called, and how it ends, is in the diary, and what is
// recorded keeps its room and its job.
func TestThePromptCannotEndWhatIsOnRecord(t *testing.T) {
	s := dbtest.New(t)
	r := s.SignFirstFix(t, s.Utility(t, "D1"))
	everybody(t, s, r, func(p *prompt) {
		p.refusedAs("LM003", `update room set name = 'Larder' where firm_id = @firm and id = @room`)
		p.refusedAs("LM003", `update job set name = 'Larder' where firm_id = @firm and id = @job`)
		p.refusedAs("LM003", `update job set closed_at = now() where firm_id = @firm and id = @job`)
		p.refusedAs("LM004", `update job set id = gen_random_uuid() where firm_id = @firm and id = @job`)
		p.refusedAs("LM004", `delete from job where firm_id = @firm and id = @job`)
		p.refusedAs("LM002", `select remove_room(@firm, @room)`)
		p.refusedAs("LM004", `select remove_job(@firm, @job)`)
		p.refusedAs("LM004", `delete from gate where firm_id = @firm and room_id = @room`)
		p.refusedAs("LM004", `delete from diary where firm_id = @firm and job_id = @job`)
	})
	// A room in which only a snag is: what refers to it keeps it.
	r = s.Utility(t, "D1")
	if _, err := s.Desk.Do(t.Context(), s.Foreman, r.Record.ID, deed.NoteSnag{Snag: room.Snag{Says: "x"}}); err != nil {
		t.Fatal(err)
	}
	everybody(t, s, r, func(p *prompt) { p.refusedAs("23503", `select remove_room(@firm, @room)`) })
	empty := s.Utility(t, "D1")
	everybody(t, s, empty, func(p *prompt) {
		p.refusedAs("LM003", `select remove_room(@firm, @room)`) // without a line in the diary
	})
	// A job with an empty diary but for its beginning goes, and its diary with it.
	j, err := s.Job.Create(t.Context(), s.Foreman, job.Job{Name: "x"})
	if err != nil {
		t.Fatal(err)
	}
	everybody(t, s, empty, func(p *prompt) {
		p.args["job"] = j.ID
		p.refusedAs("LM004", `delete from diary where firm_id = @firm and job_id = @job`)
		p.goes(`delete from job where firm_id = @firm and id = @job`)
	})
}

// refusedAs types a statement that must be refused for one reason.
func (p *prompt) refusedAs(code, sql string) {
	p.t.Helper()
	err := pgx.BeginFunc(p.t.Context(), p.Conn, func(tx pgx.Tx) error {
		_, err := tx.Exec(p.t.Context(), sql, p.args)
		return err
	})
	if err == nil || !strings.Contains(err.Error(), "SQLSTATE "+code) {
		p.t.Errorf("%s: want %s, got %v", sql, code, err)
	}
}

// A database that was filled before jobs could end keeps every record on the way
// here, and the way back and here again.
func TestAnOldDatabaseIsBroughtHere(t *testing.T) {
	s := dbtest.New(t)
	r := s.SignFirstFix(t, s.Utility(t, "D1", "D2"))
	if _, err := s.Desk.Do(t.Context(), s.Foreman, r.Record.ID, deed.NoteSnag{Snag: room.Snag{Says: "x"}}); err != nil {
		t.Fatal(err)
	}
	owner := s.Database.URL(migrations.Owner)
	// What first came with the newest migration is lost on the way back.
	lost := []string{"since", "revision", "evidence"}
	before := everythingBut(t, s, lost...)
	if err := schema.Prepare(t.Context(), s.Database.URL(localpg.Superuser)); err != nil {
		t.Fatal(err)
	}
	if err := schema.Down(t.Context(), owner, 1); err != nil {
		t.Fatal(err)
	}
	if err := schema.Up(t.Context(), owner); err != nil {
		t.Fatal(err)
	}
	after := everythingBut(t, s, lost...)
	for i := range before {
		if before[i] != after[i] && !strings.HasPrefix(before[i], "schema_migrations") {
			t.Errorf("%s was %s", after[i], before[i])
		}
	}
	s.Holds(t)
	conn := connect(t, s, migrations.Owner)
	if bad := texts(t, conn, `select conname::text from pg_constraint where not convalidated`); len(bad) > 0 {
		t.Errorf("nobody looked whether %v holds", bad)
	}
}
