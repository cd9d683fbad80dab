package server_test

import (
	"net/http"
	"slices"
	"strings"
	"testing"

	"lathmark/persistence/localpg"
	"lathmark/server"

	"github.com/jackc/pgx/v5"
)

// changing lists the pages that change something when they are fetched, with the reason.
var changing = map[string]string{
	"/sign-in/back/:provider": "what a provider leads back to; the attempt's cookie, of a form of ours, must fit",
}

// stored returns a sum of every row of every table, but for when a session was last used,
// which is noted every five minutes.
func stored(t *testing.T, conn *pgx.Conn) map[string]string {
	t.Helper()
	rows, err := conn.Query(t.Context(), `select table_name, (xpath('//s/text()', query_to_xml(format(
		'select md5(coalesce(string_agg(md5(r), '''' order by md5(r)), '''')) s from (select (to_jsonb(t) - ''seen_at'')::text r
		from %I t) x', table_name),
		false, true, '')))[1]::text from information_schema.tables
		where table_schema = 'public' and table_type = 'BASE TABLE'`)
	if err != nil {
		t.Fatal(err)
	}
	out := map[string]string{}
	var table, sum string
	if _, err := pgx.ForEachRow(rows, []any{&table, &sum}, func() error { out[table] = sum; return nil }); err != nil {
		t.Fatal(err)
	}
	return out
}

// Whatever another site's link leads to, with whomever's session: no page that is fetched
// changes a row or a cookie.
func TestNothingIsChangedByLooking(t *testing.T) {
	w := newWorld(t)
	conn, err := pgx.Connect(t.Context(), w.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer func() { _ = conn.Close(t.Context()) }()
	link, err := w.Firm.OneTimeLink(t.Context(), w.Owner, w.Plumber.ID)
	if err != nil {
		t.Fatal(err)
	}
	all := columns(t, w)
	before, seen := stored(t, conn), 0
	for _, r := range server.Routes(w.Handler) {
		if r.Method != http.MethodGet {
			continue
		}
		for _, c := range all {
			if !slices.Contains([]string{"nobody", "electrician", "owner"}, c.name) {
				continue
			}
			c.ids["token"], c.ids["id"] = link, c.ids["room"]
			path := parameter.ReplaceAllStringFunc(r.Path, func(p string) string {
				if v := c.ids[p[1:]]; v != "" {
					return v
				}
				return c.ids["room"]
			})
			got := c.do(http.MethodGet, strings.TrimSuffix(path, "*")+"?link="+link+"&done=1&who=1", nil)
			seen++
			if cookies := got.Cookies(); len(cookies) != 0 && changing[r.Path] == "" {
				t.Errorf("GET %s for %s sets %v", r.Path, c.name, cookies)
			}
		}
		after := stored(t, conn) // once for all who looked: it takes longer than their pages
		for table := range after {
			if after[table] != before[table] && changing[r.Path] == "" {
				t.Errorf("GET %s for one of them changes %s", r.Path, table)
			}
		}
		before = after
	}
	if seen < 150 {
		t.Errorf("only %d pages were fetched", seen)
	}
	if _, session, err := w.Firm.SignIn(t.Context(), link); err != nil || session == "" {
		t.Errorf("the link was used up by looking at it (%v)", err)
	}
}
