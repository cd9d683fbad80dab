package persistence_test

import (
	"bytes"
	"context"
	"encoding/json"
	"strings"
	"testing"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/diary"
	"lathmark/domain/id"
	"lathmark/persistence/localpg"
)

// camel returns an object under the names that fields had in the program: version 0 of what lasts.
func camel(v any) any {
	switch v := v.(type) {
	case map[string]any:
		out := map[string]any{}
		for name, is := range v {
			var called strings.Builder
			for _, part := range strings.Split(name, "_") {
				if part == "id" || part == "sha256" {
					called.WriteString(strings.ToUpper(part))
				} else {
					called.WriteString(strings.ToUpper(part[:1]) + part[1:])
				}
			}
			out[called.String()] = camel(is)
		}
		return out
	case []any:
		for i := range v {
			v[i] = camel(v[i])
		}
	}
	return v
}

// firstYear is a detail as the program of the first year wrote it.
func firstYear(t *testing.T, e diary.Entry) json.RawMessage {
	t.Helper()
	var v map[string]any
	d := json.NewDecoder(bytes.NewReader(e.Detail))
	d.UseNumber()
	if err := d.Decode(&v); err != nil {
		t.Fatal(err)
	}
	if v["v"] == nil {
		return e.Detail
	}
	delete(v, "v")
	if e.Act != "both" && e.Act != "refused" && e.Act != "choose" {
		delete(v, "act")
	}
	delete(v, "drawn")
	delete(v, "evidence")
	var out any = v
	if items, list := v["items"]; list {
		out = items
	}
	if e.Act != "import_room" { // a sheet has names of its own
		out = camel(out)
	}
	text, err := json.Marshal(out)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// What was written in the first year, before its formats were frozen, holds as well.
func TestTheFirstYearHolds(t *testing.T) {
	h := built(t)
	ctx := t.Context()
	conn, err := pgx.Connect(ctx, h.Database.URL(localpg.Superuser))
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close(context.WithoutCancel(ctx))
	if _, err := conn.Exec(ctx, unbound+"; update sign_off set evidence = null"); err != nil {
		t.Fatal(err)
	}
	if _, err := conn.Exec(ctx, "set session_replication_role = replica"); err != nil {
		t.Fatal(err)
	}
	for _, of := range []id.Room{h.done, h.offered} {
		j, err := h.Desk.Read(ctx, h.Foreman, of)
		if err != nil {
			t.Fatal(err)
		}
		all, err := h.Diary.Read(ctx, h.Foreman, j.Record.Job, 0)
		if err != nil {
			t.Fatal(err)
		}
		var last diary.Entry
		for _, e := range all {
			e.Detail = firstYear(t, e)
			e.Seq = last.Seq
			last = diary.Seal(e, last)
			last.Firm = h.Owner.Firm
			if _, err := conn.Exec(ctx, "update diary set detail = $3::text::json, prev = $4, hash = $5 where job_id = $1 "+
				"and seq = $2",
				j.Record.Job, last.Seq, string(last.Detail), last.Prev[:], last.Hash[:]); err != nil {
				t.Fatal(err)
			}
		}
		if len(all) < 10 {
			t.Fatalf("%d entries", len(all))
		}
	}
	h.Holds(t)
	if _, err := conn.Exec(ctx, "update measurement set value_mm = value_mm + 1 where name = 'm4'"); err != nil {
		t.Fatal(err)
	}
	said := ""
	for _, r := range h.Proofs(t) {
		said += saidOf(r.Findings)
	}
	if !strings.Contains(said, "reading m4: value was") {
		t.Errorf("of a reading that was moved it says %q", said)
	}
}
