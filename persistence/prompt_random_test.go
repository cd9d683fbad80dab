package persistence_test

import (
	"bytes"
	"errors"
	"fmt"
	"maps"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/deed"
	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/id"
	"lathmark/domain/room"
	"lathmark/domain/roomsheet"
	"lathmark/domain/standing"
	"lathmark/domain/words"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
)

// mutations are what somebody types besides moving gates; STAGE is the one in hand, or now
// and then another.
var mutations = []string{
	// What mends.
	`insert into tail_seen (firm_id, position_id, room_id, seen_at) select firm_id, id, room_id, now() from position p
		where room_id = @room and not exists (select from tail_seen t where t.position_id = p.id)`,
	`insert into as_built (firm_id, layer_id, room_id, stage, thickness_mm, put_on, recorded_at)
		select firm_id, id, room_id, stage, thickness_mm, current_date, now() from layer l
		where room_id = @room and stage = 'STAGE' and not exists (select from as_built b where b.layer_id = l.id)`,
	`insert into finished (firm_id, room_id, stage, finished_on, recorded_at) values (@firm, @room, 'plaster',
		current_date, now()) on conflict (firm_id, room_id, stage) do update set finished_on = excluded.finished_on`,
	`insert into opening (firm_id, id, room_id, position_id, outcome, opened_at, recorded_at)
		select firm_id, gen_random_uuid(), room_id, id, 'found', now(), now() from position p
		where room_id = @room and not exists (select from opening o where o.position_id = p.id)`,
	`update patch set filled_at = now(), dry_at = now() where room_id = @room and filled_at is null`,
	`update snag set closed_at = now() where room_id = @room and closed_at is null`,
	// What breaks, or may.
	`update measurement set stage = 'STAGE' where id = @some`,
	`update measurement set struck_at = now(), struck_why = 'x' where id = @some`,
	`update measurement set struck_at = null, struck_why = '' where id = @some`,
	`update measurement set value_mm = value_mm + FIGURE where id = @some`,
	`update finished set finished_on = current_date + 400 where room_id = @room`,
	`update position set omitted_at = now(), omitted_why = 'x', held = false, held_why = '' where id = @one`,
	`update position set omitted_at = null, omitted_why = '' where id = @one`,
	`update position set held = true, held_why = 'x' where id = @one`,
	`update position set held = false, held_why = '' where id = @one`,
	`delete from tail_seen where position_id = @one`,
	`update as_built set thickness_mm = null where room_id = @room and stage = 'STAGE'`,
	`delete from as_built where room_id = @room and stage = 'STAGE'`,
	`insert into position (firm_id, id, room_id, surface_id, name, kind, trade, added_at) values (@firm, gen_random_uuid(),
		@room, @surface, 'P' || FIGURE, 'downlight', 'electrician', now())`,
	`insert into opening (firm_id, id, room_id, position_id, outcome, opened_at, recorded_at)
		values (@firm, gen_random_uuid(), @room, @one, 'on_timber', now(), now())`,
	`insert into patch (firm_id, opening_id, room_id, owed_at) select firm_id, id, room_id, now() from opening o
		where room_id = @room and outcome = 'on_timber' and not exists (select from patch a where a.opening_id = o.id)`,
	`insert into snag (firm_id, id, room_id, says, noted_at) values (@firm, gen_random_uuid(), @room, 'x', now())`,
	`insert into layer (firm_id, id, room_id, surface_id, datum_id, place, name, thickness_mm, stage)
		values (@firm, gen_random_uuid(), @room, @surface, @from, FIGURE % 15 + 5, 'coat' || FIGURE, 3, 'STAGE')`,
	`update datum set stays_bare = not stays_bare where id = @from and kind = 'face'`,
	`insert into measurement (firm_id, id, room_id, surface_id, name, kind, stage, state_known, value_mm, instrument,
		taken_at, of_id, from_id) values (@firm, gen_random_uuid(), @room, @surface, 'x' || @salt, 'offset', 'STAGE',
		exists (select from datum where id = @from and kind = 'face'),
		400 + FIGURE % 1500, 'tape', now(), @one, @from)`,
	`insert into measurement (firm_id, id, room_id, surface_id, name, kind, stage, state_known, value_mm, instrument,
		taken_at, of_id, from_id) values (@firm, gen_random_uuid(), @room, @surface, 'y' || @salt, 'offset', 'STAGE', false,
		600, 'tape', now(), @one, @from)`,
	`insert into measurement (firm_id, id, room_id, surface_id, name, kind, stage, state_known, value_mm, instrument,
		taken_at, of_id, to_position_id) values (@firm, gen_random_uuid(), @room, @surface, 'z' || @salt, 'distance',
		'STAGE', false, 300 + FIGURE % 1500, 'tape', now(), @one, @other)`,
	`insert into measurement (firm_id, id, room_id, surface_id, name, kind, stage, state_known, value_mm, instrument,
		taken_at, from_id, state_id) select firm_id, gen_random_uuid(), room_id, surface_id, 't' || @salt, 'thickness',
		'STAGE', true, 20 + FIGURE % 10, 'rule', now(), datum_id, id from layer where datum_id = @from limit 1`,
}

// mends are those of the mutations that a stage needs before it is signed.
var mends = [5][]int{{}, {0, 1}, {1, 2}, {3}, {4, 5}}

// transaction draws statements: some signed stages are opened again, some things are
// written, some stages signed. Now and then one is left out, or the order is another.
func transaction(r *rand.Rand, n room.Record) []string {
	var codes []string
	signed := 0
	for _, s := range words.Stages {
		codes = append(codes, s.Code())
		if n.Gates[s].State == words.SignedOff {
			signed++
		}
	}
	from := min(signed, r.IntN(6))
	if r.IntN(2) == 0 {
		from = signed
	}
	var out []string
	if from < signed {
		out = append(out, reopen(codes[from])...)
		for i := from + 1; i <= min(signed, 4); i++ {
			out = append(out, shut(codes[i])...)
		}
	}
	for range r.IntN(4) {
		stage := codes[min(from, 4)]
		if r.IntN(5) == 0 {
			stage = codes[r.IntN(5)]
		}
		sql := mutations[r.IntN(len(mutations))]
		if r.IntN(2) == 0 {
			sql = mutations[r.IntN(6)]
		}
		out = append(out, strings.NewReplacer("STAGE", stage, "FIGURE", strconv.Itoa(r.IntN(10_000))).Replace(sql))
	}
	for i := from; i < 5 && r.IntN(4) > 0; i++ {
		if n.Gates[i].State == words.Offered && from == signed {
			break
		}
		next := ""
		if i < 4 {
			next = codes[i+1]
		}
		for _, k := range mends[i] {
			if r.IntN(10) > 0 {
				out = append(out, strings.ReplaceAll(mutations[k], "STAGE", codes[i]))
			}
		}
		out = append(out, sign(codes[i], next)...)
	}
	if len(out) > 1 && r.IntN(8) == 0 {
		k := r.IntN(len(out))
		out = slices.Delete(out, k, k+1)
	}
	if len(out) > 1 && r.IntN(8) == 0 {
		i, k := r.IntN(len(out)), r.IntN(len(out))
		out[i], out[k] = out[k], out[i]
	}
	if r.IntN(8) == 0 {
		out = slices.Insert(out, r.IntN(len(out)+1), "set constraints all immediate")
	}
	return out
}

// Random transactions at the prompt, as the server's role: whatever commits leaves every
// signed stage with its hard rules met by Go's own judgement, and resting on what it rested
// on when it was signed.
func TestRandomTransactionsKeepTheLaw(t *testing.T) {
	n := uint64(time.Now().UnixNano() % 1_000_000)
	if text := os.Getenv("LATHMARK_SEED"); text != "" {
		n, _ = strconv.ParseUint(text, 10, 64)
	}
	t.Logf("seed %d (LATHMARK_SEED=%d repeats it)", n, n)
	r := rand.New(rand.NewPCG(n, 7))
	tries := 300
	if many, err := strconv.Atoi(os.Getenv("LATHMARK_TRANSACTIONS")); err == nil {
		tries = many
	}
	s := dbtest.New(t)
	s.Clock.Pass(time.Since(s.Clock.Now()) - time.Hour) // the prompt's day
	judges := persistence.NewServices(s.DB, func() time.Time { return time.Now().Add(time.Hour) }).Desk
	conn := connect(t, s, migrations.Server)
	if _, err := conn.Exec(t.Context(), `select set_config('lathmark.firm', $1, false),
		set_config('lathmark.every_job', 'true', false)`, s.Owner.Firm.String()); err != nil {
		t.Fatal(err)
	}
	committed, refused, signed := 0, 0, map[words.Stage]int{}
	var at *standing.Standing
	var proofs map[id.SignOff][]byte
	for i := range tries {
		if i%40 == 0 { // another room, lest one ends as a heap of slips
			at, proofs = measuredRoom(t, s), map[id.SignOff][]byte{}
		}
		statements := transaction(r, *at.Record)
		if err := typed(t, conn, s, r, at, statements); err != nil {
			if !strings.Contains(err.Error(), "SQLSTATE LM00") && !strings.Contains(err.Error(), "SQLSTATE 23") {
				t.Fatalf("%v: %v", statements, err)
			}
			refused++
			continue
		}
		committed++
		var err error
		if at, err = judges.Read(t.Context(), s.Foreman, at.Record.ID); err != nil {
			var f *fault.Error
			errors.As(err, &f)
			t.Fatalf("%v: %v (%v)", statements, err, f.Err)
		}
		for _, stage := range words.Stages {
			g := at.Record.Gates[stage]
			if g.State != words.SignedOff {
				break
			}
			signed[stage]++
			for _, o := range at.Obstacles(stage) {
				if o.Hard {
					t.Fatalf("after %v %s is signed off, and %s (%s)", statements, stage, o.Wrong, o.Code)
				}
			}
			is, err := gate.Evidence(at.Record, stage, g.Revision)
			if was := proofs[g.SignOff]; err != nil || was != nil && !bytes.Equal(was, is) {
				t.Fatalf("after %v %s rests on\n%s\nand was signed on\n%s (%v)", statements, stage, is, was, err)
			}
			proofs[g.SignOff] = is
		}
	}
	t.Logf("%d went through, %d were refused; signed after one: %v", committed, refused, signed)
	if committed < tries/10 || refused < tries/10 || signed[words.Decoration] == 0 {
		t.Error("the test says little")
	}
}

// typed runs statements in one transaction with what a room has, drawn at random.
func typed(t *testing.T, conn *pgx.Conn, s *dbtest.Site, r *rand.Rand, at *standing.Standing, all []string) error {
	x := at.Record
	one, other := r.IntN(len(x.Positions)), r.IntN(len(x.Positions))
	args := pgx.NamedArgs{"firm": s.Owner.Firm, "room": x.ID, "job": x.Job, "me": s.Foreman.ID,
		"salt": strconv.FormatUint(r.Uint64(), 36), "surface": x.Surfaces[0].ID, "one": x.Positions[one].ID,
		"other": x.Positions[other].ID, "from": x.Datums[r.IntN(len(x.Datums))].ID,
		"some": x.Measurements[r.IntN(len(x.Measurements))].ID}
	return pgx.BeginFunc(t.Context(), conn, func(tx pgx.Tx) error {
		for _, sql := range all {
			own := maps.Clone(args)
			maps.DeleteFunc(own, func(name string, _ any) bool { return !strings.Contains(sql, "@"+name) })
			if _, err := tx.Exec(t.Context(), sql, own); err != nil {
				return fmt.Errorf("%s: %w", sql, err)
			}
		}
		return nil
	})
}

// measuredRoom is a room with two positions that are measured, a line and a point.
func measuredRoom(t *testing.T, s *dbtest.Site) *standing.Standing {
	t.Helper()
	at := s.Utility(t, "D1", "D2")
	for _, d := range []room.Datum{
		{Name: "stack", Kind: words.Point, A: roomsheet.Point{3300, 2100}},
		{Name: "steel", Kind: words.Line, A: roomsheet.Point{0, 1500}, B: roomsheet.Point{3600, 1500}},
	} {
		d.Surface = at.Record.Surfaces[0].ID
		var err error
		if at, err = s.Desk.Do(t.Context(), s.Foreman, at.Record.ID, deed.AddDatum{Datum: d}); err != nil {
			t.Fatal(err)
		}
	}
	for i, p := range at.Record.Positions {
		for from, value := range map[string]float64{"south wall": 600, "west wall": 500 + 700*float64(i)} {
			v, err := s.Desk.Verdict(t.Context(), s.Electrician, at.Record.ID, deed.Measure{Reading: room.Reading{
				Kind: words.Offset, Of: p.ID, From: dbtest.Datum(t, at, from), State: "bare", Value: value}})
			if err != nil {
				t.Fatal(err)
			}
			at = v.Standing
		}
	}
	return at
}
