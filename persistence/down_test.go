package persistence_test

import (
	"context"
	"errors"
	"strings"
	"testing"

	"lathmark/domain/fault"
	"lathmark/domain/job"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/localpg"
)

// What the database says of itself is one kind of fault, in the middle of a transaction
// and at its end; what it says of what it was asked is not.
func TestDown(t *testing.T) {
	s := dbtest.New(t)
	conn := connect(t, s, localpg.Superuser)
	if _, err := conn.Exec(t.Context(), `create function fail(code text) returns int language plpgsql as
		$$ begin raise exception using errcode = code, message = 'as planned'; end $$`); err != nil {
		t.Fatal(err)
	}
	for code, want := range map[string]fault.Kind{
		"08006": fault.Down, "25006": fault.Down, "53100": fault.Down, "53200": fault.Down, "53300": fault.Down,
		"57014": fault.Down, "57P01": fault.Down, "57P02": fault.Down, "57P03": fault.Down, "58030": fault.Down,
		"58P01": fault.Down, "23505": fault.Conflict, "40001": fault.Conflict, "55P03": fault.Conflict,
		"23514": fault.BadInput,
		"LM002": fault.Obstacle, "42P01": "", "XX000": "", "22012": "",
	} {
		ask := func(tx *persistence.Tx) error {
			return persistence.Row(t.Context(), tx, "select fail($1)", code).Scan(new(int))
		}
		for way, err := range map[string]error{"in a transaction": s.DB.WithTx(t.Context(), s.Owner, ask),
			"at a glance": s.DB.Glance(t.Context(), s.Owner, ask)} {
			if err == nil || fault.KindOf(err) != want {
				t.Errorf("%s %s is %q, want %q: %v", code, way, fault.KindOf(err), want, err)
			}
		}
	}
	if fault.KindOf(s.DB.Glance(t.Context(), s.Owner, func(*persistence.Tx) error { return context.Canceled })) != "" {
		t.Error("somebody who left has lost the database")
	}
}

// A connection that breaks before the commit is no more than that; one that breaks while
// the commit is under way leaves open what is on record, and is not called anything else.
func TestLostOnTheWay(t *testing.T) {
	s := dbtest.New(t)
	above := connect(t, s, localpg.Superuser)
	err := s.DB.WithTx(t.Context(), s.Owner, func(tx *persistence.Tx) error {
		var pid int
		if err := persistence.Row(t.Context(), tx, "select pg_backend_pid()").Scan(&pid); err != nil {
			return err
		}
		if _, err := above.Exec(t.Context(), "select pg_terminate_backend($1, 10000)", pid); err != nil {
			return err
		}
		return persistence.Row(t.Context(), tx, "select 1").Scan(&pid)
	})
	if fault.KindOf(err) != fault.Down {
		t.Errorf("before the commit: %v", err)
	}
	if _, err := above.Exec(t.Context(), `create function end_here() returns trigger language plpgsql as
		$$ begin perform pg_terminate_backend(pg_backend_pid()); return new; end $$;
		create constraint trigger ends after insert on job deferrable initially deferred
			for each row execute function end_here()`); err != nil {
		t.Fatal(err)
	}
	_, err = s.Job.Create(t.Context(), s.Foreman, job.Job{Name: "14 Kiln Lane"})
	if err == nil || fault.KindOf(err) != "" {
		t.Errorf("in the commit: %v", err)
	}
}

// Whether something can be written is tried, and leaves nothing.
func TestTryWriting(t *testing.T) {
	s := dbtest.New(t)
	above := connect(t, s, localpg.Superuser)
	try := func() error { return errors.Join(s.DB.Ready(t.Context()), s.DB.TryWriting(t.Context())) }
	for range 3 {
		if err := try(); err != nil {
			t.Fatal(err)
		}
	}
	if left := texts(t, above, "select filler from pulse.beat"); len(left) != 0 {
		t.Errorf("%d rows are left", len(left))
	}
	for what, sql := range map[string][2]string{
		"a disk that is full": {`create function full_disk() returns trigger language plpgsql as
			$$ begin raise exception using errcode = '53100', message = 'could not extend file'; end $$;
			create trigger t before insert on pulse.beat execute function full_disk()`, "drop trigger t on pulse.beat"},
		"no table to write to": {"alter table pulse.beat rename to away", "alter table pulse.away rename to beat"},
	} {
		if _, err := above.Exec(t.Context(), sql[0]); err != nil {
			t.Fatal(err)
		}
		if err := try(); err == nil {
			t.Errorf("%s: it says that it can write", what)
		}
		if _, err := above.Exec(t.Context(), sql[1]); err != nil {
			t.Fatal(err)
		}
	}
	if _, err := above.Exec(t.Context(),
		"alter database "+s.Database.Name+" set default_transaction_read_only = on"); err != nil {
		t.Fatal(err)
	}
	if _, err := above.Exec(t.Context(), `select pg_terminate_backend(pid, 10000) from pg_stat_activity
		where datname = current_database() and pid <> pg_backend_pid()`); err != nil {
		t.Fatal(err)
	}
	_ = try() // finds its connections gone
	if err := s.DB.Ready(t.Context()); err == nil || !strings.Contains(err.Error(), "nothing can be written") {
		t.Errorf("read only: %v", err)
	}
}
