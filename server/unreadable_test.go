package server_test

import (
	"context"
	"fmt"
	"math/rand/v2"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"

	"lathmark/persistence/localpg"

	"github.com/jackc/pgx/v5"

	"lathmark/web"
)

// wrongs are values that no program of ours writes, by a column's type.
var wrongs = map[string][]string{
	"timestamp with time zone": {"'infinity'", "'-infinity'", "'4000-01-01 BC'", "'99999-01-01'"},
	"date":                     {"'infinity'", "'-infinity'", "'4000-01-01 BC'", "'99999-01-01'"},
	"double precision":         {"'NaN'", "'Infinity'", "'-Infinity'", "1e300"},
	"text":                     {"'banana'", "''", "e'\\x01'", "repeat('x', 5000)"},
	"jsonb": {"'[1,2,3]'", "'{}'", "'7'", "'null'", "'[[0,0],[1,0],[2,0]]'", "'[[0,0],[1,1],[1,0],[0,1]]'",
		`'[{"kind": "pond", "outline": 7}]'`, "'[[0,0],[1e300,0],[0,1e300]]'"},
	"json":    {"'[1,2,3]'", "'7'", "'null'", `'{"id": 7}'`},
	"integer": {"-5", "2000000000"},
	"bigint":  {"-5"},
	"bytea":   {"'\\x00'"},
}

// column is one column of a table that has rows of a room.
type plantable struct{ table, column, kind, of string }

func plantables(t *testing.T, conn *pgx.Conn) []plantable {
	t.Helper()
	rows, _ := conn.Query(t.Context(), `select a.attrelid::regclass::text, a.attname, format_type(a.atttypid, a.atttypmod),
			case when c.relname = 'room' then 'id' else 'room_id' end
		from pg_attribute a join pg_class c on c.oid = a.attrelid
		where c.relnamespace = 'public'::regnamespace and c.relkind = 'r' and a.attnum > 0 and not a.attisdropped
			and exists (select from pg_attribute b where b.attrelid = c.oid and (b.attname = 'room_id' or c.relname = 'room'))
			and format_type(a.atttypid, a.atttypmod) not in ('uuid', 'boolean') order by 1, 2`)
	all, err := pgx.CollectRows(rows, func(row pgx.CollectableRow) (p plantable, err error) {
		err = row.Scan(&p.table, &p.column, &p.kind, &p.of)
		return p, err
	})
	if err != nil || len(all) < 90 {
		t.Fatalf("%d columns: %v", len(all), err)
	}
	return all
}

// Whatever an administrator writes into one room with every constraint off, that room's
// own pages say so at worst, and every other page goes on with the other rooms.
func TestOneRoomThatCannotBeRead(t *testing.T) {
	w := newWorld(t)
	bad := newSubject(t, w, "Mill Loft")
	good := newSubject(t, w, "14 Orchard Row")
	foreman := w.as(t, w.Foreman)
	conn, err := pgx.Connect(t.Context(), w.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	exec := func(sql string) {
		t.Helper()
		if _, err := conn.Exec(t.Context(), sql); err != nil {
			t.Fatalf("%s: %v", sql, err)
		}
	}
	exec("set session_replication_role = replica")
	exec(`do $$ declare c record; begin
		for c in select conrelid::regclass as rel, conname from pg_constraint
			where contype = 'c' and connamespace = 'public'::regnamespace loop
			execute format('alter table %s drop constraint %I', c.rel, c.conname);
		end loop; end $$`)
	for _, sql := range []string{
		"tail_seen (firm_id, position_id, room_id, seen_at) values ($1, $2, $3, now())",
		"finished (firm_id, room_id, stage, finished_on, recorded_at) values ($1, $3, 'plaster', now(), now())",
		`as_built (firm_id, layer_id, room_id, stage, thickness_mm, put_on, recorded_at)
			select firm_id, id, $3, 'boarding', 12, now(), now() from layer where room_id = $3`,
		`opening (firm_id, id, position_id, room_id, outcome, opened_at, recorded_at)
			values ($1, $2, $2, $3, 'found', now(), now())`,
		"snag (firm_id, id, room_id, says, noted_at) values ($1, $2, $3, 'Scratch on the sill', now())",
		"patch (firm_id, opening_id, room_id, owed_at, filled_at, dry_at) values ($1, $2, $3, now(), now(), now())",
		`act (firm_id, id, room_id, member_id, kind, made_at, done_at, came_at, copy_seq, deed, answer, says, clash)
			select firm_id, $2, $3, id, 'snag', now(), now(), now(), 1, '{}', 'both', 'x', '{}' from member limit 1`,
	} {
		exec("insert into " + strings.NewReplacer("$1", "'"+w.Owner.Firm.String()+"'", "$2", "'"+bad.ids["position"]+"'",
			"$3", "'"+bad.ids["room"]+"'").Replace(sql))
	}
	seed := uint64(time.Now().UnixNano())
	t.Logf("seed %d (with LATHMARK_PAGES=all every page is asked for each column, not some by chance)", seed)
	chance := rand.New(rand.NewPCG(seed, 1))
	own, pages := bad.path(t, "/rooms/:room"), []string{"/", "/tasks", "/ready", "/visits", "/search?q=D1", web.CopyPath,
		good.path(t, "/jobs/:job"), good.path(t, "/rooms/:room"), good.path(t, "/rooms/:room/holes"), bad.path(t,
			"/jobs/:job"),
		"/api/v1/jobs", "/api/v1/tasks", good.path(t, "/api/v1/jobs/:job/rooms"), bad.path(t, "/api/v1/jobs/:job/rooms"),
		good.path(t, "/progress/:link"), bad.path(t, "/jobs/:job/close"),
		good.path(t, "/jobs/:job/diary")}
	said, looked := 0, 6
	if os.Getenv("LATHMARK_PAGES") != "" {
		looked = len(pages)
	}
	for _, p := range plantables(t, conn) {
		wrong := wrongs[p.kind]
		if len(wrong) == 0 {
			t.Errorf("nothing is known that would be wrong in %s.%s, a %s", p.table, p.column, p.kind)
			continue
		}
		value := wrong[chance.IntN(len(wrong))]
		what := fmt.Sprintf("%s.%s = %s", p.table, p.column, value)
		exec("create temp table kept as select * from " + p.table)
		exec(fmt.Sprintf("begin; update %s set %s = %s where ctid = (select ctid from %[1]s where %[4]s = '%[5]s' limit 1); "+
			"update room set revision = revision + 1 where id "+
			"= '%[5]s'; commit",
			p.table, p.column, value, p.of, bad.ids["room"]))
		for _, i := range chance.Perm(len(pages))[:looked] {
			path := pages[i]
			if r := foreman.do(http.MethodGet, path, nil); r.StatusCode >= 400 {
				t.Errorf("%s: %s answers %d: %s", what, path, r.StatusCode, textOf(r.body))
			}
		}
		r := foreman.do(http.MethodGet, own, nil)
		if r.StatusCode == http.StatusUnprocessableEntity && strings.Contains(r.body, "be read") {
			said++
			if p.table != "act" {
				has(t, foreman.get("/"), "record can't be read")
			}
		} else if r.StatusCode != http.StatusOK {
			t.Errorf("%s: the room itself answers %d: %s", what, r.StatusCode, textOf(r.body))
		}
		exec("delete from " + p.table)
		exec("insert into " + p.table + " select * from kept")
		exec("drop table kept")
		exec(fmt.Sprintf("update room set revision = revision + 2 where id = '%s'", bad.ids["room"]))
	}
	if said < 30 {
		t.Errorf("the room said %d times that it can't be read", said)
	}
	foreman.get(own)
}
