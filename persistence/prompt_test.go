package persistence_test

import (
	"regexp"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/deed"
	"lathmark/domain/room"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// prompt is what can be typed at psql by one who may do more than the server.
type prompt struct {
	*pgx.Conn
	t    *testing.T
	args pgx.NamedArgs
}

// refused types statements in one transaction, which must not commit.
func (p *prompt) refused(what string, statements ...string) {
	p.t.Helper()
	ctx := p.t.Context()
	tx, err := p.Begin(ctx)
	if err != nil {
		p.t.Fatal(err)
	}
	defer func() { _ = tx.Rollback(ctx) }() // after a commit there is nothing to roll back
	for _, sql := range statements {
		if _, err = tx.Exec(ctx, sql, p.args); err != nil {
			break
		}
	}
	if err == nil {
		err = tx.Commit(ctx)
	}
	if err == nil {
		p.t.Errorf("%s: it went through", what)
		return
	}
	if ok, _ := regexp.MatchString(`SQLSTATE (LM00\d|23\d\d\d|42501)`, err.Error()); !ok {
		p.t.Errorf("%s: refused for another reason: %v", what, err)
	}
}

// written types a statement that is nobody's harm, so that a refusal of the
// others means something.
func (p *prompt) written(sql string) {
	p.t.Helper()
	if tag, err := p.Exec(p.t.Context(), sql, p.args); err != nil || tag.RowsAffected() == 0 {
		p.t.Errorf("%s: %v, %v", sql, tag, err)
	}
}

// goes types statements of which none is refused, up to the commit, and takes
// them back.
func (p *prompt) goes(statements ...string) {
	p.t.Helper()
	ctx := p.t.Context()
	tx, err := p.Begin(ctx)
	if err != nil {
		p.t.Fatal(err)
	}
	defer func() { _ = tx.Rollback(ctx) }() // after a commit there is nothing to roll back
	for _, sql := range append(statements, "set constraints all immediate") {
		if _, err = tx.Exec(ctx, sql, p.args); err != nil {
			p.t.Fatalf("%s: %v", sql, err)
		}
	}
}

// everybody opens a prompt as the tables' owner and as the superuser.
func everybody(t *testing.T, s *dbtest.Site, r *standing.Standing, do func(*prompt)) {
	for _, role := range []string{migrations.Owner, localpg.Superuser} {
		t.Run(role, func(t *testing.T) {
			p := &prompt{connect(t, s, role), t, pgx.NamedArgs{"firm": s.Owner.Firm, "room": r.Record.ID, "job": r.Record.Job,
				"me": s.Foreman.ID, "position": r.Record.Positions[0].ID, "surface": r.Record.Surfaces[0].ID,
				"datum": r.Record.Datums[0].ID}}
			if _, err := p.Exec(t.Context(), "select set_config('lathmark.firm', $1, false)",
				s.Owner.Firm.String()); err != nil {
				t.Fatal(err)
			}
			do(p)
		})
	}
}

// A sign-off as one would forge it, with its entry in the diary.
const (
	forgedEntry = `with last as (select seq, hash from diary where firm_id = @firm and job_id = @job
		order by seq desc limit 1),
		d as (select row(@firm::uuid, @job::uuid, last.seq + 1, now(), @me::uuid, 'Bram Okafor',
		'sign_off', @room::uuid, 'first_fix', 'First fix was signed off.', json_build_object('sha256',
			encode(sha256(convert_to(E'[]\n{}\n{}', 'UTF8')), 'hex'),
			'evidence', encode(sha256('{}'), 'hex'), 'sign_off', '018f0000-0000-7000-8000-0000000000aa'),
			last.hash, ''::bytea)::diary as d, last.hash as prev from last)
		insert into diary (firm_id, job_id, seq, at, member_id, who, act, room_id, stage, says, detail, prev, hash)
		select (d).firm_id, (d).job_id, (d).seq, (d).at, (d).member_id, (d).who, (d).act, (d).room_id, (d).stage, (d).says,
		(d).detail, prev,
			sha256(prev || convert_to(diary_line(d), 'UTF8')) from d`
	forgedSignOff = `insert into sign_off (firm_id, id, room_id, job_id, stage, signed_by, signed_at, accepted,
		room_sheet, set_out, evidence, sha256, diary_seq)
		values (@firm, '018f0000-0000-7000-8000-0000000000aa', @room, @job, 'first_fix', @me, now(), '[]', '{}', '{}', '{}',
			sha256(convert_to(E'[]\n{}\n{}', 'UTF8')), (select max(seq) from diary where firm_id = @firm and job_id = @job))`
	forgedOffer = `update gate set state = 'offered', offered_at = now(), offered_by = @me where firm_id = @firm and room_id = @room
		and stage = 'first_fix'`
	forgedGate = `update gate set state = 'signed_off', sign_off_id = '018f0000-0000-7000-8000-0000000000aa'
		where firm_id = @firm and room_id = @room and stage = 'first_fix'`
	forgedNext = `update gate set state = 'in_hand' where firm_id = @firm and room_id = @room and stage = 'boarding'`
)

// Nobody signs off a room with a hole in its record, at the prompt either.
func TestThePromptCannotSignOffAHole(t *testing.T) {
	s := dbtest.New(t)
	r := s.Utility(t, "D1")
	measure := func(from, state string) {
		t.Helper()
		if _, err := s.Desk.Verdict(t.Context(), s.Electrician, r.Record.ID,
			deed.Measure{Reading: room.Reading{Kind: words.Offset, Of: r.Record.Positions[0].ID,
				From: dbtest.Datum(t, r, from), State: state, Value: 700}}); err != nil {
			t.Fatal(err)
		}
	}
	everybody(t, s, r, func(p *prompt) {
		p.refused("a position without a record", forgedEntry, forgedSignOff, forgedOffer, forgedGate, forgedNext)
		p.refused("a gate signed without a sign-off", forgedOffer,
			`update gate set state = 'signed_off' where firm_id = @firm and room_id = @room and stage = 'first_fix'`)
		p.refused("boarding before first fix",
			`update gate set state = 'in_hand' where firm_id = @firm and room_id = @room and stage = 'boarding'`)
		p.refused("a new gate, signed", `delete from gate where firm_id = @firm and room_id = @room`)
		p.refused("a second set of gates",
			`insert into gate (firm_id, room_id, stage, place, state) values (@firm, @room, 'boarding', 1, 'in_hand')`)
	})
	measure("south wall", "bare")
	measure("west wall", "")
	everybody(t, s, r, func(p *prompt) {
		p.refused("an unrecorded datum", forgedEntry, forgedSignOff, forgedOffer, forgedGate, forgedNext)
	})
	measure("west wall", "bare")
	everybody(t, s, r, func(p *prompt) {
		p.refused("an unrecorded datum beside a full record", forgedEntry, forgedSignOff, forgedOffer, forgedGate, forgedNext)
		// With that one struck out nothing is wrong with the same statements, but
		// for those that leave something out.
		strike := `update measurement set struck_at = now(), struck_why = 'x' where firm_id = @firm and room_id = @room
			and from_id <> @datum and not state_known`
		p.goes(strike, forgedEntry, forgedSignOff, forgedOffer, forgedGate, forgedNext)
		p.refused("signed without being offered", strike, forgedEntry, forgedSignOff, forgedGate, forgedNext)
		p.refused("boarding left waiting", strike, forgedEntry, forgedSignOff, forgedOffer, forgedGate)
	})
}

// What a signed stage rests on, nobody changes.
func TestThePromptCannotFalsifyASignedRoom(t *testing.T) {
	s := dbtest.New(t)
	r := s.SignFirstFix(t, s.Utility(t, "D1", "D2"))
	everybody(t, s, r, func(p *prompt) {
		p.written(`update job set address = address where firm_id = @firm and id = @job`)
		p.goes(`update room set height_mm = height_mm, name = name where firm_id = @firm and id = @room`)
		for _, sql := range []string{
			`update measurement set value_mm = value_mm + 1 where firm_id = @firm and room_id = @room`,
			`update measurement set stage = 'boarding' where firm_id = @firm and room_id = @room`,
			`update measurement set struck_at = now(), struck_why = 'x' where firm_id = @firm and room_id = @room`,
			`delete from measurement where firm_id = @firm and room_id = @room`,
			`insert into measurement (firm_id, id, room_id, surface_id, name, kind, stage, of_id, from_id, state_known,
				value_mm, instrument, taken_at)
				values (@firm, gen_random_uuid(), @room, @surface, 'mx', 'offset', 'first_fix', @position, @datum, true, 1,
				'tape', now())`,
			`insert into measurement (firm_id, id, room_id, surface_id, name, kind, stage, of_id, from_id, state_known,
				value_mm, instrument, taken_at)
				values (@firm, gen_random_uuid(), @room, @surface, 'mx', 'offset', 'boarding', @position, @datum, false, 1,
				'tape', now())`,
			`truncate measurement`,
			`truncate measurement cascade`,
			`delete from position where firm_id = @firm and room_id = @room`,
			`update position set cutout_mm = 90 where firm_id = @firm and room_id = @room`,
			`update position set surface_id = surface_id, name = 'X' where firm_id = @firm and id = @position`,
			`insert into position (firm_id, id, room_id, surface_id, name, kind, trade, added_at)
				values (@firm, gen_random_uuid(), @room, @surface, 'D9', 'downlight', 'electrician', now())`,
			`update layer set thickness_mm = 1 where firm_id = @firm and room_id = @room`,
			`delete from layer where firm_id = @firm and room_id = @room`,
			`update datum set au = 1 where firm_id = @firm and id = @datum`,
			`update datum set stays_bare = true where firm_id = @firm and id = @datum`,
			`insert into timber (firm_id, id, room_id, surface_id, name, au, av, bu, bv, width_mm)
				values (@firm, gen_random_uuid(), @room, @surface, 'J1', 0, 0, 0, 9, 47)`,
			`insert into way (firm_id, id, room_id, surface_id, name, kind, au, av, bu, bv, hole_mm)
				values (@firm, gen_random_uuid(), @room, @surface, 'to D1', 'hole', 0, 0, 0, 9, 20)`,
			`truncate way`,
			`update surface set name = 'floor' where firm_id = @firm and room_id = @room`,
			`update room set outline = '[[0,0],[900,0],[0,900]]' where firm_id = @firm and id = @room`,
			`update room set name = 'Larder' where firm_id = @firm and id = @room`,
			`delete from room where firm_id = @firm and id = @room`,
			`update sign_off set accepted = '[]' where firm_id = @firm and room_id = @room`,
			`delete from sign_off where firm_id = @firm and room_id = @room`,
			`truncate sign_off cascade`,
			`update diary set says = 'x' where firm_id = @firm and job_id = @job`,
			`delete from diary where firm_id = @firm and job_id = @job and seq = (select max(seq) from diary
				where firm_id = @firm and job_id = @job)`,
			`insert into diary select firm_id, job_id, seq + 100, at, member_id, who, act, room_id, stage, says, detail, prev,
				hash
				from diary where firm_id = @firm and job_id = @job`,
			`truncate diary cascade`,
			`delete from gate where firm_id = @firm and room_id = @room`,
			// Opened again on the quiet, without a line in the diary.
			`update gate set state = case stage when 'first_fix' then 'in_hand' else 'waiting' end, sign_off_id = null,
				offered_at = null, offered_by = null
				where firm_id = @firm and room_id = @room and stage in ('first_fix', 'boarding')`,
			`update gate set state = 'waiting' where firm_id = @firm and room_id = @room and stage = 'boarding'`,
			`update gate set state = 'offered', offered_at = now() where firm_id = @firm and room_id = @room
				and stage = 'plaster'`,
		} {
			p.refused(sql, sql)
		}
	})
	s.Holds(t)
}

// An old sign-off does not sign a room that was opened again and changed.
func TestAnOldSignOffIsNotUsedAgain(t *testing.T) {
	s := dbtest.New(t)
	r := s.SignFirstFix(t, s.Utility(t, "D1"))
	old := r.Record.Gates[words.FirstFix].SignOff
	if _, err := s.Desk.Do(t.Context(), s.Foreman, r.Record.ID, deed.Reopen{Stage: words.FirstFix,
		Reason: "the lamp moves"}); err != nil {
		t.Fatal(err)
	}
	everybody(t, s, r, func(p *prompt) {
		p.args["old"] = old
		p.refused("an old sign-off", forgedOffer,
			`update gate set state = 'signed_off', sign_off_id = @old where firm_id = @firm and room_id = @room
				and stage = 'first_fix'`, forgedNext)
	})
}

// The proof of the diary finds what was done with the triggers off, which only
// the owner can do.
func TestTheProofFindsWhatTheOwnerDid(t *testing.T) {
	for name, sql := range map[string]string{
		"an entry changed":   `update diary set says = 'Nothing.' where seq = 3`,
		"an entry taken out": `delete from diary where seq = 4`,
		"a sign-off changed": `update sign_off set room_sheet = '{}',
			sha256 = sha256(convert_to(accepted::text || E'\n{}\n' || set_out::text, 'UTF8'))`,
	} {
		t.Run(name, func(t *testing.T) {
			s := dbtest.New(t)
			s.SignFirstFix(t, s.Utility(t, "D1"))
			conn := connect(t, s, localpg.Superuser)
			for _, sql := range []string{"alter table diary disable trigger all", "alter table sign_off disable trigger all",
				sql} {
				if _, err := conn.Exec(t.Context(), sql); err != nil {
					t.Fatal(err)
				}
			}
			if len(dbtest.Findings(s.Proofs(t))) == 0 {
				t.Error("the check finds nothing")
			}
		})
	}
}
