package persistence_test

import (
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/deed"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/proof"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// house is a job with a room in which everything was done, up to decoration; one in
// which first fix is offered; and one that was read in from a sheet.
type house struct {
	*dbtest.Site
	t testing.TB
	r *standing.Standing // the room that is worked on
	// The rooms: all done, offered, read in.
	done, offered, read id.Room
}

func (h *house) do(by firm.Person, d deed.Deed) {
	h.t.Helper()
	var err error
	if h.r, err = h.Desk.Do(h.t.Context(), by, h.r.Record.ID, d); err != nil {
		h.t.Fatalf("%T: %v", d, err)
	}
}

func (h *house) sign(by firm.Person, s words.Stage) {
	h.t.Helper()
	h.do(by, deed.Offer{Stage: s})
	h.do(h.Foreman, deed.SignOff{Stage: s, Revision: h.r.Record.Revision, Accepted: dbtest.Accept(h.r, s)})
}

func (h *house) send(by firm.Person, d deed.Deed, copied int64) deed.Act {
	h.t.Helper()
	a := deed.Act{ID: id.New[id.Act](), Room: h.r.Record.ID, Made: h.Clock.Now(), Copy: copied, Deed: d}
	if _, err := h.Desk.Take(h.t.Context(), by, a); err != nil {
		h.t.Fatal(err)
	}
	var err error
	if h.r, err = h.Desk.Read(h.t.Context(), h.Foreman, a.Room); err != nil {
		h.t.Fatal(err)
	}
	return a
}

func (h *house) offset(n int, wall string, mm float64) deed.Measure {
	return deed.Measure{Reading: room.Reading{ID: id.New[id.Measurement](), Kind: words.Offset,
		Of: h.r.Record.Positions[n].ID, From: dbtest.Datum(h.t, h.r, wall), State: "bare", Value: mm}}
}

func built(t testing.TB) *house {
	t.Helper()
	h := &house{Site: dbtest.New(t), t: t}
	h.r = h.Utility(t, "D1", "D2", "D3")
	h.done = h.r.Record.ID
	surface := h.r.Record.Surfaces[0].ID
	h.do(h.Foreman, deed.AddTimbers{Timbers: []room.Timber{{Surface: surface, Name: "J1", A: roomsheet.Point{0, 1200},
		B: roomsheet.Point{3600, 1200}, Width: 45}}})
	h.do(h.Foreman, deed.AddWay{Way: room.Way{Surface: surface, Name: "to D1", Kind: room.HoleWay, Size: 20,
		A: roomsheet.Point{900, 0}, B: roomsheet.Point{900, 2000}}})
	h.do(h.Foreman, deed.AddDatum{Datum: room.Datum{Surface: surface, Name: "flange", Kind: words.Line,
		A: roomsheet.Point{0, 1500}, B: roomsheet.Point{3600, 1500}}})
	h.phones()
	h.do(h.Electrician, deed.TakePhoto{Surface: surface, Says: "the cables"})
	h.r = h.SignFirstFix(t, h.r)
	h.do(h.Foreman, deed.Omit{Position: h.r.Record.Positions[2].ID, Why: "not wanted"})
	h.do(h.Plumber, deed.SeeTails{Positions: []id.Position{h.r.Record.Positions[0].ID, h.r.Record.Positions[1].ID}})
	h.cover("board", "bare", 25)
	h.sign(h.DryLiner, words.Boarding)
	h.cover("skim", "board", 3)
	h.do(h.Plasterer, deed.Finish{Stage: words.Plaster, On: h.Clock.Now()})
	h.sign(h.Plasterer, words.Plaster)
	h.Clock.Pass(60 * 24 * time.Hour)
	h.do(h.Electrician, deed.OpenHole{Hole: deed.Hole{Position: h.r.Record.Positions[0].ID, Outcome: words.Found,
		Says: "spot on"}})
	h.do(h.Electrician, deed.OpenHole{Hole: deed.Hole{Position: h.r.Record.Positions[1].ID, Outcome: words.NotFound,
		OwePatch: true}})
	h.sign(h.Electrician, words.SecondFix)
	h.do(h.Decorator, deed.FillPatch{Opening: h.r.Record.Openings[1].ID})
	h.do(h.Decorator, deed.NoteSnag{Snag: room.Snag{Says: "a scratch by the door"}})
	h.do(h.Foreman, deed.CloseSnag{Snag: h.r.Record.Snags[0].ID})
	h.Clock.Pass(48 * time.Hour)
	h.sign(h.Decorator, words.Decoration)
	h.others()
	return h
}

// phones has phones send what is kept, refused and chosen from.
func (h *house) phones() {
	h.t.Helper()
	h.send(h.Electrician, h.offset(0, "south wall", 600), 0)
	h.send(h.Electrician, deed.Strike{Measurement: id.New[id.Measurement](), Why: "misread"}, 0)
	copied := h.r.Seq
	h.do(h.Plumber, h.offset(1, "south wall", 700))
	both := h.send(h.Electrician, h.offset(1, "south wall", 600), copied)
	if _, err := h.Desk.Choose(h.t.Context(), h.Foreman, both.ID, deed.Mine); err != nil {
		h.t.Fatal(err)
	}
}

func (h *house) cover(layer, from string, mm float64) {
	h.t.Helper()
	for _, wall := range []string{"south wall", "west wall"} {
		h.do(h.DryLiner, deed.PutOn{List: []deed.Coat{{ID: id.New[id.Measurement](), Datum: dbtest.Datum(h.t, h.r, wall),
			Through: layer, From: from, Thickness: mm, By: "rule"}}})
	}
}

// others draws the room that is offered and the one that is read in, in jobs of their
// own.
func (h *house) others() {
	h.t.Helper()
	h.r = h.Utility(h.t, "L1", "L2")
	h.offered = h.r.Record.ID
	for i := range 2 {
		h.do(h.Electrician, h.offset(i, "south wall", 500))
		h.do(h.Electrician, h.offset(i, "west wall", 500+900*float64(i)))
	}
	h.do(h.Electrician, deed.Strike{Measurement: h.r.Record.Measurements[3].ID, Why: "misread"})
	h.do(h.Electrician, h.offset(1, "west wall", 1410))
	h.do(h.Foreman, deed.Hold{Position: h.r.Record.Positions[1].ID, Why: "not chosen"})
	h.do(h.Electrician, deed.Offer{Stage: words.FirstFix})
	files, err := filepath.Glob("../testdata/rooms/*.json")
	if err != nil || len(files) == 0 {
		h.t.Fatal(err)
	}
	text, err := os.Open(files[0])
	if err != nil {
		h.t.Fatal(err)
	}
	defer text.Close()
	sheet, err := roomsheet.Read(text)
	if err != nil {
		h.t.Fatal(err)
	}
	j, err := h.Desk.Import(h.t.Context(), h.Foreman, h.r.Record.Job, id.Room{}, sheet)
	if err != nil {
		h.t.Fatal(err)
	}
	h.read = j.Record.ID
}

// forgery is what somebody does who can turn the triggers off, and what the check says.
type forgery struct{ kind, sql, says string }

// rooms stand for their ids in the statements.
const inDone, inOffered, inRead = " room_id = @done ", " room_id = @offered ", " room_id = @read "

var forgeries = []forgery{
	{"a reading of first fix moved", "update measurement set value_mm = value_mm + 100 where name = 'm2' and" + inDone,
		"reading m2: value was"},
	{"relabelled and moved", "update measurement set stage = 'second_fix', value_mm = value_mm + 100 " +
		"where name = 'm2' and" + inDone, `m2: stage was signed with first fix as "first_fix", and is "second_fix"`},
	{"relabelled", "update measurement set stage = 'boarding' where name = 'm3' and" + inDone, "reading m3: stage was"},
	{"a reading deleted", "delete from measurement where name = 'm3' and" + inDone, "is gone"},
	{"a reading inserted", `insert into measurement select firm_id, gen_random_uuid(), room_id, surface_id, 'm99', kind,
		stage, of_id, to_position_id, from_id, to_id, state_known, state_id, to_state_known, to_state_id, from_state_id,
		surface_state_id, value_mm, sigma_mm, instrument, taken_by, taken_at from measurement where name = 'm2' and` + inDone,
		"reading m99 is there, and no entry wrote it"},
	{"a reading inserted where nothing is signed", `insert into measurement select firm_id, gen_random_uuid(), room_id,
		surface_id, 'm99', kind, stage, of_id, to_position_id, from_id, to_id, state_known, state_id, to_state_known,
		to_state_id, from_state_id, surface_state_id, value_mm, sigma_mm, instrument, taken_by, taken_at
		from measurement where name = 'm2' and` + inOffered, "reading m99 is there, and no entry wrote it"},
	{"a reading unstruck", "update measurement set struck_at = null, struck_why = '' where struck_at is not null and" +
		inOffered, "struck at was"},
	{"a reading struck", "update measurement set struck_at = now(), struck_why = 'x' where name = 'm4' and" + inDone,
		"struck why was nothing"},
	{"who took a reading", "update measurement set taken_by = @other where name = 'm4' and" + inDone,
		"taken by was Ines Carro"},
	{"a reading of what was read in", "update measurement set value_mm = value_mm + 1 where name = 'm1' and" + inRead,
		"reading m1: value was"},
	{"a reading of what was read in deleted", "delete from measurement where name = 'm2' and" + inRead, "reading m2"},
	{"a layer's thickness", "update layer set thickness_mm = 12 where name = 'board' and" + inDone, "thickness"},
	{"a layer's thickness, nothing signed", "update layer set thickness_mm = 12 where name = 'board' and" + inOffered,
		"the build-up of south wall of ceiling: layers was"},
	{"a layer taken out, nothing signed", "delete from layer where name = 'skim' and" + inOffered, "layers was"},
	{"a layer of what was read in", "update layer set thickness_mm = thickness_mm + 1 where" + inRead, "layers was"},
	{"a datum's place", "update datum set au = 10 where name = 'south wall' and" + inDone, "south wall"},
	{"a datum's place, nothing signed", "update datum set au = 10 where name = 'south wall' and" + inOffered,
		"datum south wall of ceiling: a was"},
	{"a face said to stay bare", "update datum set stays_bare = true where name = 'south wall' and" + inOffered,
		"stays bare was nothing"},
	{"a timber", "update timber set au = 5 where" + inDone, "timber J1: a was"},
	{"a timber deleted", "delete from timber where" + inDone, "timber J1"},
	{"a way", "update way set hole_mm = 40 where" + inDone, "to D1"},
	{"a room's outline", `update room set outline = '[[0,0],[3700,0],[3700,2400],[0,2400]]' where id = @done`,
		"outline was"},
	{"a room's height", "update room set height_mm = 2500 where id = @offered", "height was 2400"},
	{"a room's wet zones", `update room set wet = '[{"kind":"bath","outline":[[0,0],[700,0],[700,1700],[0,1700]]}]'
		where id = @done`, "wet was nothing"},
	{"a room's name", "update room set name = 'Larder' where id = @done", `name was "Utility"`},
	{"a surface", "update surface set outline = '[[0,0],[3700,0],[3700,2400],[0,2400]]' where" + inDone, "outline was"},
	{"a position renamed", "update position set name = 'D9' where name = 'D2' and" + inDone, `name was "D2"`},
	{"a position moved", "update position set planned_u = 1, planned_v = 1 where name = 'D2' and" + inDone, "planned was"},
	{"a position given up", "update position set omitted_at = now(), omitted_why = 'x' where name = 'D2' and" + inDone,
		"omit why was nothing"},
	{"a position wanted again", "update position set omitted_at = null, omitted_why = '' where name = 'D3' and" + inDone,
		"D3: omit why was"},
	{"a position held", "update position set held = true, held_why = 'x' where name = 'D1' and" + inDone,
		"held was nothing"},
	{"a position released", "update position set held = false, held_why = '' where" + inOffered, "held was true"},
	{"a position put in", `insert into position select firm_id, gen_random_uuid(), room_id, surface_id, 'D9', kind, trade,
		cutout_mm, reach_mm, tail_sigma_mm, planned_u, planned_v, added_at from position where name = 'L1' and` + inOffered,
		"position D9 is there, and no entry wrote it"},
	{"a cut-out of what was read in", "update position set cutout_mm = cutout_mm + 1 where" + inRead, "cutout was"},
	{"tails deleted", "delete from tail_seen where" + inDone, "the tail of"},
	{"who saw a tail", "update tail_seen set seen_by = @other where" + inDone, "by was Olek Nowik"},
	{"when a tail was seen", "update tail_seen set seen_at = seen_at - interval '1 day' where" + inDone, "at was"},
	{"as built deleted", "delete from as_built where stage = 'boarding' and" + inDone, "as built:"},
	{"as built changed", "update as_built set put_on = put_on - 3 where stage = 'plaster' and" + inDone, "put on was"},
	{"plaster's day next year", "update finished set finished_on = finished_on + 400 where" + inDone,
		"plaster is signed off, and could not be: the day the plaster was finished is still to come"},
	{"plaster's day", "update finished set finished_on = finished_on - 9 where" + inDone,
		"the day of finishing plaster: on was"},
	{"plaster's day deleted", "delete from finished where" + inDone,
		"could not be: the day the plaster was finished is not recorded"},
	{"a hole deleted", "delete from opening where outcome = 'found' and" + inDone, "could not be: D1 is not cut yet"},
	{"a hole's outcome", "update opening set outcome = 'found' where outcome = 'not_found' and" + inDone, "outcome was"},
	{"a hole's time", "update opening set opened_at = opened_at - interval '1 day' where" + inDone, "at was"},
	{"a hole that led to a position",
		"update opening set new_position_id = (select id from position where name = 'D3' and" +
			inDone + ") where outcome = 'not_found' and" + inDone, "new position was nothing"},
	{"a patch deleted", "delete from patch where" + inDone, "the patch of hole"},
	{"a wet patch", "update patch set dry_at = '2030-01-01' where" + inDone, "is not dry before"},
	{"a patch filled at another time", "update patch set filled_at = filled_at - interval '1 hour' where" + inDone,
		"filled at was"},
	{"a snag deleted", "delete from snag where" + inDone, "snag"},
	{"a snag opened again", "update snag set closed_at = null, closed_by = null where" + inDone,
		"decoration is signed off, and could not be: a snag is open"},
	{"a snag's words", "update snag set says = 'nothing' where" + inDone, "says was"},
	{"who closed a snag", "update snag set closed_by = @other where" + inDone, "closed by was Bram Okafor"},
	{"a snag put in", `insert into snag select firm_id, gen_random_uuid(), room_id, 'another', trade, noted_by, noted_at,
		closed_by, closed_at from snag where` + inDone, `snag "another" is there, and no entry wrote it`},
	{"a photo deleted", "delete from photo where" + inDone, "photo"},
	{"a photo's words", "update photo set says = 'x' where" + inDone, "says was"},
	{"a photo struck out", "update photo set struck_at = now(), struck_why = 'x' where" + inDone,
		"struck why was nothing"},
	{"an act kept deleted", "delete from act where answer = 'kept' and" + inDone,
		"what a phone sent, of which entry 8 came, is gone"},
	{"an act refused deleted", "delete from act where answer = 'refused' and" + inDone, "what a phone sent"},
	{"an act chosen from deleted", "delete from act where answer = 'both' and" + inDone, "what a phone sent"},
	{"another choice", "update act set choice = 'both' where choice = 'mine' and" + inDone,
		`"mine" was chosen by the diary`},
	{"who chose", "update act set chosen_by = @other where choice = 'mine' and" + inDone, "Bram Okafor chose at"},
	{"what an act was answered", "update act set says = 'D1 was measured: 900.' where answer = 'kept' and" + inDone,
		"was answered otherwise than entry"},
	{"what was chosen from", "update act set mine = 'x' where answer = 'both' and" + inDone,
		"was answered otherwise than"},
	{"whose act", "update act set member_id = @other where answer = 'kept' and" + inDone, "came from Ines Carro"},
	{"a gate deleted", "delete from gate where stage = 'decoration' and" + inOffered, "the gate of decoration is gone"},
	{"an act refused made kept", "update act set answer = 'kept' where answer = 'refused' and" + inDone,
		`was answered "refused"`},
	{"an act put in", `insert into act select firm_id, gen_random_uuid(), room_id, member_id, kind, made_at, done_at,
		came_at, copy_seq, deed, answer, 'D9 was measured.' from act where answer = 'kept' and` + inDone,
		"is there, and no entry came of it"},
	{"the signer", "update sign_off set signed_by = @other where stage = 'plaster' and" + inDone,
		"the sign-off of plaster: the signer was Bram Okafor"},
	{"the date of a sign-off", "update sign_off set signed_at = '1999-01-01' where stage = 'boarding' and" + inDone,
		"the sign-off of boarding: the time was"},
	{"the stage of a sign-off", "update sign_off set stage = 'first_fix' where stage = 'plaster' and" + inDone,
		"the sign-off of plaster: the stage was plaster"},
	{"the room of a sign-off", "update sign_off set room_id = @offered where stage = 'plaster' and" + inDone,
		"the sign-off of plaster that entry"},
	{"the job of a sign-off", "update sign_off set job_id = (select job_id from room where id = @offered) where" + inDone,
		"names another job or room"},
	{"accepted words", `update sign_off set accepted = replace(accepted::text, 'looked at it', 'never saw it')::json
		where stage = 'first_fix' and` + inDone, "what was accepted was"},
	{"the room sheet of a sign-off", `update sign_off set room_sheet = replace(room_sheet::text, 'D1', 'D7')::json
		where stage = 'boarding' and` + inDone, "does not hold what was signed"},
	{"the evidence of a sign-off", `update sign_off set evidence = replace(evidence::text, '25', '26')::json
		where stage = 'boarding' and` + inDone, "does not hold the evidence that was signed"},
	{"evidence taken out", "update sign_off set evidence = null where" + inDone, "does not hold the evidence"},
	{"the sum of a sign-off", "update sign_off set sha256 = sha256('x') where" + inDone, "the SHA-256 was"},
	{"a sign-off deleted", "delete from sign_off where stage = 'second_fix' and" + inDone,
		"the sign-off of second fix that entry"},
	{"a sign-off put in", `insert into sign_off select (jsonb_populate_record(s, jsonb_build_object('id',
		gen_random_uuid(), 'diary_seq', 1))).* from sign_off s where stage = 'second_fix' and` + inDone,
		"is there, and no entry wrote it"},
	{"a gate set back", "update gate set state = 'in_hand', sign_off_id = null where stage = 'decoration' and" + inDone,
		"decoration is in hand, and by the diary it is signed off"},
	{"a gate set forward", "update gate set state = 'offered' where stage = 'boarding' and" + inOffered,
		"boarding is offered, and by the diary it is waiting"},
	{"who offered a signed stage", "update gate set offered_by = @other where stage = 'first_fix' and" + inDone,
		"first fix was offered by Ines Carro"},
	{"who offered", "update gate set offered_by = @other where stage = 'first_fix' and" + inOffered,
		"first fix was offered by Ines Carro"},
	{"when it was offered", "update gate set offered_at = '1999-01-01' where stage = 'first_fix' and" + inOffered,
		"was offered at"},
	{"a gate stands by another sign-off",
		`update gate set sign_off_id = (select sign_off_id from gate where stage = 'boarding'
		and` + inDone + `) where stage = 'plaster' and` + inDone, "plaster does not stand by the sign-off"},
	{"a room deleted", "delete from room where id = @offered", "the room is gone"},
	{"a room moved to another job", `update room set name = 'x', job_id = (select job_id from room where id = @offered)
		where id = @done`,
		"its entries are in this diary, and"},
	{"the job's name", "update job set name = 'Elsewhere' where id = @job", "the job was called 14 Orchard Row"},
	{"the job closed", "update job set closed_at = now() where id = @job", "the job was closed at no time"},
	{"an entry edited", "update diary set says = 'x' where seq = 5 and job_id = @job",
		"entry 5 does not say what it said"},
	{"an entry's detail", `update diary set detail = replace(detail::text, '600', '700')::json where act = 'measure' and
		job_id = @job`, "does not say what it said"},
	{"an entry deleted", "delete from diary where seq = 7 and job_id = @job", "entry 8 follows on entry 6"},
	{"the first entry deleted", "delete from diary where seq = 1 and job_id = @job", "entry 2 follows on entry 0"},
	{"an entry put in", `insert into diary select (jsonb_populate_record(d, '{"seq": 7000}')).* from diary d where seq = 7
		and job_id = @job`, "follows on entry"},
	{"entries swapped", `update diary set seq = case seq when 7 then 10007 else 10008 end
		where seq in (7, 8) and job_id = @job;
		update diary set seq = case seq when 10007 then 8 else 7 end where seq > 10000 and job_id = @job`,
		"does not carry the hash"},
	{"a member renamed on a line", "update diary set who = 'Somebody' where seq = 9 and job_id = @job",
		"entry 9 does not say what it said"},
	{"an entry of another member", "update diary set member_id = @other where seq = 9 and job_id = @job",
		"entry 9 does not say what it said"},
	{"second fix signed over holes", `delete from opening where` + inDone + `; delete from patch where` + inDone,
		"second fix is signed off, and could not be: D1 is not cut yet"},
	{"boarding signed without as built", "delete from as_built where" + inDone,
		"boarding is signed off, and could not be: the board on the south wall has no as-built thickness"},
	{"the readings' revision", "update measurement set since = 10000000 where name = 'm2' and" + inDone,
		"was signed with first fix, and is gone"},
}

// unbound takes off all that binds the schema's owner.
const unbound = `set local session_replication_role = replica;
do $$
declare
  c record;
begin
  for c in select conname, conrelid::regclass as of from pg_constraint
    where contype = 'c' and conrelid in ('sign_off'::regclass, 'gate'::regclass)
  loop
    execute format('alter table %s drop constraint %I', c.of, c.conname);
  end loop;
end $$`

func TestForgeriesAreSeen(t *testing.T) {
	h := built(t)
	h.Holds(t)
	ctx := t.Context()
	conn, err := pgx.Connect(ctx, h.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	record := func(of id.Room) *room.Record {
		r, err := h.Desk.Read(ctx, h.Foreman, of)
		if err != nil {
			t.Fatal(err)
		}
		return r.Record
	}
	args := []struct {
		name string
		is   string
	}{{"@done", h.done.String()}, {"@offered", h.offered.String()}, {"@read", h.read.String()},
		{"@job", record(h.done).Job.String()}, {"@other", h.Owner.ID.String()}}
	check := proof.NewService(persistence.In[proof.Tx](persistence.Inside(conn)))
	for _, f := range forgeries {
		t.Run(f.kind, func(t *testing.T) {
			tx, err := conn.Begin(ctx)
			if err != nil {
				t.Fatal(err)
			}
			defer func() {
				if err := tx.Rollback(ctx); err != nil {
					t.Fatal(err)
				}
			}()
			sql := f.sql
			for _, a := range args {
				sql = strings.ReplaceAll(sql, a.name, "'"+a.is+"'")
			}
			if _, err := tx.Exec(ctx, unbound); err != nil {
				t.Fatal(err)
			}
			for _, one := range strings.Split(sql, ";") {
				if tag, err := tx.Exec(ctx, one); err != nil || tag.RowsAffected() == 0 {
					t.Fatalf("%v: %v", tag, err)
				}
			}
			all, err := check.All(ctx, h.Owner.Firm)
			if err != nil {
				t.Fatal(err)
			}
			found := dbtest.Findings(all)
			text, _ := json.MarshalIndent(found, "", " ")
			if !strings.Contains(saidOf(found), f.says) {
				t.Errorf("want %q, found %s", f.says, text)
			}
		})
	}
}

func saidOf(found []proof.Finding) (out string) {
	for _, f := range found {
		out += f.Says + "\n"
	}
	return out
}
