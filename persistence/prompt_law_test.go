package persistence_test

import (
	"fmt"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/deed"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// entry is a line of the diary as one would forge it, for a stage of the room.
func entry(act, stage, at string) string {
	return fmt.Sprintf(`with last as (select seq, hash from diary where firm_id = @firm and job_id = @job
		order by seq desc limit 1),
		d as (select row(@firm::uuid, @job::uuid, last.seq + 1, %[3]s, @me::uuid, 'Bram Okafor', '%[1]s', @room::uuid,
			'%[2]s', 'It is so.', json_build_object('sha256', encode(sha256(convert_to(E'[]\n{}\n{}', 'UTF8')), 'hex'),
			'evidence', encode(sha256('{}'), 'hex'), 'sign_off', md5('%[2]s' || @salt)::uuid), last.hash, ''::bytea)::diary as d,
			last.hash as prev from last)
		insert into diary (firm_id, job_id, seq, at, member_id, who, act, room_id, stage, says, detail, prev, hash)
		select (d).firm_id, (d).job_id, (d).seq, (d).at, (d).member_id, (d).who, (d).act, (d).room_id, (d).stage, (d).says,
			(d).detail, prev, sha256(prev || convert_to(diary_line(d), 'UTF8')) from d`, act, stage, at)
}

// signOff is a sign-off of a stage with the last line of the diary.
func signOff(stage, at string) string {
	return fmt.Sprintf(`insert into sign_off (firm_id, id, room_id, job_id, stage, signed_by, signed_at, accepted,
		room_sheet, set_out, evidence, sha256, diary_seq)
		values (@firm, md5('%[1]s' || @salt)::uuid, @room, @job, '%[1]s', @me, %[2]s, '[]', '{}', '{}', '{}',
			sha256(convert_to(E'[]\n{}\n{}', 'UTF8')), (select max(seq) from diary where firm_id = @firm and job_id = @job))`,
		stage, at)
}

func gateTo(stage, set string) string {
	return "update gate set " + set + " where firm_id = @firm and room_id = @room and stage = '" + stage + "'"
}

// signAt is all that signs a stage at a time, in order.
func signAt(stage, next, at string) []string {
	out := []string{entry("sign_off", stage, at), signOff(stage, at),
		gateTo(stage, "state = 'offered', offered_at = now(), offered_by = @me"),
		gateTo(stage, "state = 'signed_off', sign_off_id = md5('"+stage+"' || @salt)::uuid")}
	if next != "" {
		out = append(out, gateTo(next, "state = 'in_hand'"))
	}
	return out
}

func sign(stage, next string) []string { return signAt(stage, next, "now()") }

func reopen(stage string) []string {
	return []string{entry("reopen", stage, "now()"),
		gateTo(stage, "state = 'in_hand', sign_off_id = null, offered_at = null, offered_by = null")}
}

// shut has a later stage wait again.
func shut(stage string) []string {
	return []string{entry("reopen", stage, "now()"),
		gateTo(stage, "state = 'waiting', sign_off_id = null, offered_at = null, offered_by = null")}
}

func all(lists ...[]string) (out []string) {
	for _, l := range lists {
		out = append(out, l...)
	}
	return out
}

func reading(id, stage, kind, columns, values string) string {
	return `insert into measurement (firm_id, id, room_id, surface_id, name, kind, stage, state_known, value_mm,
		instrument, taken_at, ` + columns + `) values (@firm, ` + id + `, @room, @surface, 'x' || left(gen_random_uuid()::text, 8), '` +
		kind + `', '` + stage + `', true, 700, 'tape', now(), ` + values + `)`
}

// signedRoom is a room of which first fix and boarding are signed off, with a reading
// that was taken when plaster was in hand.
func signedRoom(t *testing.T, s *dbtest.Site) *standing.Standing {
	t.Helper()
	ok := func(r *standing.Standing, err error) *standing.Standing {
		t.Helper()
		if err != nil {
			t.Fatal(err)
		}
		return r
	}
	ctx := t.Context()
	r := s.Utility(t, "D1", "D2")
	of := r.Record.ID
	r = s.SignFirstFix(t, ok(s.Desk.Do(ctx, s.Foreman, of, deed.AddDatum{Datum: room.Datum{Name: "nib", Kind: words.Face,
		Surface: r.Record.Surfaces[0].ID, A: roomsheet.Point{0, 0}, B: roomsheet.Point{0, 900}}})))
	ok(s.Desk.Do(ctx, s.Electrician, of, deed.SeeTails{Positions: ids(r)}))
	for _, d := range r.Record.Datums {
		if d.Kind == words.Face && len(r.Record.LayersOf(d.Surface, d.ID)) > 0 {
			r = ok(s.Desk.Do(ctx, s.DryLiner, of, deed.PutOn{List: []deed.Coat{{Datum: d.ID, Through: "board", Thickness: 25,
				By: "rule"}}}))
		}
	}
	r = ok(s.Desk.Do(ctx, s.DryLiner, of, deed.Offer{Stage: words.Boarding}))
	r = ok(s.Desk.Do(ctx, s.Foreman, of, deed.SignOff{Stage: words.Boarding, Revision: r.Record.Revision,
		Accepted: dbtest.Accept(r, words.Boarding)}))
	v, err := s.Desk.Verdict(ctx, s.Electrician, of, deed.Measure{Reading: room.Reading{Kind: words.Offset,
		Of: r.Record.Positions[0].ID, From: dbtest.Datum(t, r, "south wall"), State: "board", Value: 575}})
	if err != nil {
		t.Fatal(err)
	}
	return v.Standing
}

// atPrompt opens a prompt as everybody who may write: the server's role in a session of
// its own, the tables' owner and the superuser.
func atPrompt(t *testing.T, s *dbtest.Site, r *standing.Standing, do func(*prompt, string)) {
	for _, role := range []string{migrations.Server, migrations.Owner, localpg.Superuser} {
		t.Run(role, func(t *testing.T) {
			x := r.Record
			p := &prompt{connect(t, s, role), t, pgx.NamedArgs{"firm": s.Owner.Firm, "room": x.ID, "job": x.Job,
				"me": s.Foreman.ID, "trade": s.Electrician.ID, "position": x.Positions[0].ID, "second": x.Positions[1].ID,
				"surface": x.Surfaces[0].ID, "salt": x.ID.String(), "datum": dbtest.Datum(t, r, "south wall"),
				"across": dbtest.Datum(t, r, "west wall"), "late": x.Measurements[len(x.Measurements)-1].ID}}
			if _, err := p.Exec(t.Context(), `select set_config('lathmark.firm', $1, false),
				set_config('lathmark.every_job', 'true', false)`, s.Owner.Firm.String()); err != nil {
				t.Fatal(err)
			}
			do(p, role)
		})
	}
}

// At commit every signed stage meets its hard rules, whatever was written and in which
// order; and what is signed was signed by who may, now, after what it stands on.
func TestTheLawAtThePrompt(t *testing.T) {
	s := dbtest.New(t)
	r := signedRoom(t, s)
	unplanned := reading("gen_random_uuid()", "plaster", "offset", "of_id, from_id",
		"@position, (select id from datum where room_id = @room and name = 'nib')")
	newTail := `insert into position (firm_id, id, room_id, surface_id, name, kind, trade, added_at)
		values (@firm, '018f0000-0000-7000-8000-0000000000bb', @room, @surface, 'D9', 'downlight', 'electrician', now())`
	fixed := []string{
		reading("gen_random_uuid()", "first_fix", "offset", "of_id, from_id",
			"'018f0000-0000-7000-8000-0000000000bb', @datum"),
		reading("gen_random_uuid()", "first_fix", "offset", "of_id, from_id",
			"'018f0000-0000-7000-8000-0000000000bb', @across"),
	}
	relabelled := "update measurement set stage = 'first_fix' where id = @late"
	atPrompt(t, s, r, func(p *prompt, role string) {
		super := role == localpg.Superuser
		// What is honest goes through: both stages opened and signed anew.
		again := all(reopen("first_fix"), shut("boarding"), shut("plaster"))
		p.refused("nothing but the gates moved", gateTo("plaster", "state = 'waiting'"))
		p.goes(all(again, sign("first_fix", "boarding"), sign("boarding", "plaster"))...)
		for what, statements := range map[string][]string{
			"a tail added under a signed boarding": all(reopen("first_fix"), []string{newTail}, fixed, sign("first_fix", "")),
			"first fix alone signed anew":          all(reopen("first_fix"), sign("first_fix", "")),
			"a tail nobody saw": all(again, []string{newTail}, fixed, sign("first_fix", "boarding"),
				sign("boarding", "plaster")),
			"a layer that was never put on": all(again, []string{`insert into layer (firm_id, id, room_id, surface_id, datum_id,
				place, name, thickness_mm, stage) values (@firm, gen_random_uuid(), @room, @surface, @datum, 9, 'batten', 20,
				'boarding')`}, sign("first_fix", "boarding"), sign("boarding", "plaster")),
			"constraints checked early": all([]string{"set constraints all immediate"}, reopen("first_fix"),
				[]string{newTail}, fixed, sign("first_fix", "")),
			"another firm named before the end": all(reopen("first_fix"), []string{newTail}, fixed, sign("first_fix", ""),
				[]string{"select set_config('lathmark.firm', '', true)"}),
			"said to be judged": all(reopen("first_fix"), []string{newTail}, fixed, sign("first_fix", ""),
				[]string{"update room set unjudged = false where firm_id = @firm and id = @room"}),
			"a later reading moved":      {"update measurement set stage = 'second_fix' where id = @late"},
			"a later reading relabelled": {relabelled},
			"a reading of a stage to come": {reading("gen_random_uuid()", "second_fix", "offset", "of_id, from_id",
				"@position, @datum")},
			"a reading of a stage gone by": {reading("gen_random_uuid()", "boarding", "offset", "of_id, from_id",
				"@position, @datum")},
			"a face without a build-up":           {unplanned},
			"the same, constraints checked early": {"set constraints all immediate", unplanned},
			"the same, checked before and not after": {"update position set held = held where room_id = @room",
				"set constraints all immediate", "set constraints all deferred", unplanned},
			"the same, another firm named": {unplanned, "select set_config('lathmark.firm', '', true)"},
			"the same, judged by hand":     {unplanned, "select judge_room(@firm, @room)", "select judge_room(@firm, @room)"},
			"a thickness of a signed layer": {reading("gen_random_uuid()", "plaster", "thickness", "from_id, state_id",
				"@datum, (select id from layer where datum_id = @datum and name = 'board')")},
			"since changed":              {"update measurement set since = 999999 where room_id = @room"},
			"a signed tail unseen":       {"delete from tail_seen where room_id = @room"},
			"boards as built changed":    {"update as_built set thickness_mm = 30 where room_id = @room"},
			"boards as built relabelled": {"update as_built set stage = 'plaster' where room_id = @room"},
			"who offered, afterwards":    {gateTo("boarding", "offered_by = @trade")},
			"when it was offered":        {gateTo("boarding", "offered_at = '1999-01-01'")},
			"another sign-off": {gateTo("boarding",
				"sign_off_id = (select sign_off_id from gate where room_id = @room and stage = 'first_fix')")},
			"a second sign-off on a line": {strings.Replace(signOff("boarding", "now()"), "'boarding', @me", "'banana', @me",
				1)},
			"signed by a trade": all(again, []string{strings.ReplaceAll(entry("sign_off", "first_fix", "now()"), "@me",
				"@trade"),
				strings.ReplaceAll(signOff("first_fix", "now()"), "@me", "@trade")}, sign("first_fix", "boarding")[2:]),
			"the line of another act": all(again, []string{entry("offer", "first_fix", "now()")},
				sign("first_fix", "boarding")[1:]),
			"the line of another stage": all(again, []string{entry("sign_off", "boarding", "now()")},
				sign("first_fix", "boarding")[1:]),
			"an old line":                         all(again, sign("first_fix", "boarding")[1:]),
			"a sign-off with no gate moved":       {entry("sign_off", "plaster", "now()"), signOff("plaster", "now()")},
			"a stage that is none":                {entry("sign_off", "banana", "now()"), signOff("banana", "now()")},
			"a hole under a signed stage to come": sign("plaster", "second_fix"),
			"the revision of a sign-off":          {"update sign_off set revision = 0 where room_id = @room"},
			"somebody who left comes back": {"update member set left_at = now() where id = @trade",
				"update member set left_at = null where id = @trade"},
			"opened again with the line of another": all([]string{entry("reopen", "boarding", "now()")}, reopen("first_fix")[1:],
				shut("boarding")[1:], shut("plaster")[1:]),
		} {
			p.refused(what, statements...)
		}
		for _, at := range []string{"now() + interval '1 year'", "'1999-01-01'::timestamptz", "now() - interval '1 minute'"} {
			statements := all(again, signAt("first_fix", "boarding", at), sign("boarding", "plaster"))
			if super { // who writes a past, as of a demo
				continue
			}
			p.refused("signed at "+at, statements...)
		}
	})
}

func ids(r *standing.Standing) (out []id.Position) {
	for _, p := range r.Record.Positions {
		out = append(out, p.ID)
	}
	return out
}
