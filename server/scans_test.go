package server_test

import (
	"context"
	"net/http"
	"testing"

	"lathmark/persistence/localpg"
	"lathmark/web"

	"github.com/jackc/pgx/v5"
)

// fillTables copies one row of each table ten thousand times, under ids of other rooms, jobs
// and people of the firm. The firm's own people and crews are few, and every page has their names.
const fillTables = `
set session_replication_role = replica;
do $$
declare
  t record;
begin
  for t in select c.oid::regclass as rel,
      (select string_agg(case
          when a.attname <> 'firm_id' and a.atttypid = 'uuid'::regtype then 'gen_random_uuid()'
          when a.atttypid = 'bytea'::regtype then 'sha256(random()::text::bytea)'
          else format('x.%I', a.attname) end, ', ' order by a.attnum) as cols
        from pg_attribute a where a.attrelid = c.oid and a.attnum > 0 and not a.attisdropped) as cols
    from pg_class c where c.relnamespace = 'public'::regnamespace and c.relkind = 'r'
      and c.relname not in ('schema_migrations', 'firm', 'member', 'crew', 'away')
  loop
    begin
      execute format('insert into %s select %s from (select * from %1$s limit 1) x, generate_series(1, 10000)',
        t.rel, t.cols);
    exception when unique_violation or check_violation then
      raise notice '% is not filled', t.rel; -- what is one for each firm, as names are
    end;
  end loop;
end $$;`

// No page and no deed reads a table from end to end that grows with the work. What was
// asked is whatever the program sends, under its own role's policies, with all that triggers
// ask; what the database did is what it counted.
func TestNothingReadsATableFromEndToEnd(t *testing.T) {
	w := newWorld(t)
	of := column{"foreman", w.Foreman, w.as(t, w.Foreman), newSubject(t, w, "14 Orchard Row")}
	conn, err := pgx.Connect(t.Context(), w.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.Background())
	for _, sql := range []string{fillTables, "analyze", disconnect} {
		if _, err := conn.Exec(t.Context(), sql); err != nil {
			t.Fatal(err)
		}
	}
	w.reconnect(t)
	if _, err := conn.Exec(t.Context(), "select pg_stat_reset()"); err != nil {
		t.Fatal(err)
	}
	room := of.path(t, "/rooms/:room")
	for _, path := range []string{room, room + "/measure", room + "/tails", room + "/photos", room + "/holes",
		room + "/patches", room + "/snags", room + "/schedule", room + "/sign-offs/first-fix", of.path(t, "/jobs/:job"),
		of.path(t, "/jobs/:job/diary"), of.path(t, "/jobs/:job/close"), of.path(t, "/progress/:link")} {
		if r := of.do(http.MethodGet, path, nil); r.StatusCode != http.StatusOK {
			t.Errorf("%s answers %d", path, r.StatusCode)
		}
	}
	for path, form := range map[string][]string{
		room + "/snags": {"what", "Scratch on the sill"},
		room + "/measure": {"kind", "offset", "position", of.ids["position"], "datum", of.ids["datum"] + "|bare", "value",
			"600",
			"by", "tape"},
	} {
		of.do(http.MethodPost, path, fields(form...))
	}
	of.do(http.MethodGet, web.LivePath+"?job="+of.ids["job"]+".1", nil)
	if _, err := conn.Exec(t.Context(), disconnect); err != nil { // who goes says what was counted
		t.Fatal(err)
	}
	rows, _ := conn.Query(t.Context(), `select s.relname || ': ' || s.seq_scan || ' times, ' || s.seq_tup_read || ' rows'
		from pg_stat_user_tables s join pg_class c on c.oid = s.relid
		where s.seq_tup_read >= 5000 and c.reltuples >= 10000 order by 1`)
	scans, err := pgx.CollectRows(rows, pgx.RowTo[string])
	if err != nil {
		t.Fatal(err)
	}
	for _, one := range scans {
		t.Errorf("read from end to end: %s", one)
	}
	var filled, asked int
	if err := conn.QueryRow(t.Context(), `select count(*) filter (where c.reltuples >= 10000), sum(s.idx_scan)
		from pg_stat_user_tables s join pg_class c on c.oid = s.relid`).Scan(&filled, &asked); err != nil || filled < 12 ||
		asked < 100 {
		t.Errorf("%d tables were filled, and indexes asked %d times: %v", filled, asked, err)
	}
}
