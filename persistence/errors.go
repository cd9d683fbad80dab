package persistence

import (
	"context"
	"errors"
	"io"
	"net"
	"strings"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"

	"lathmark/domain/fault"
	"lathmark/domain/gate"
	"lathmark/domain/job"
	"lathmark/domain/words"
)

// answer is what an error of the database means to a person.
type answer struct {
	kind fault.Kind
	msg  string // empty: the database's own sentence, which is ours
}

// codes is the only place where the database's errors are told apart. LM001 to
// LM007 are our own: see the migrations. LM001 names a hard rule by its code.
var codes = map[string]answer{
	"LM001": {fault.Obstacle, ""},
	"LM002": {fault.Obstacle, ""},
	"LM003": {fault.Conflict, ""},
	"LM004": {fault.Refused, ""},
	"LM005": {fault.Obstacle, job.Closed("The job").Msg},
	"LM007": {fault.BadInput, ""},
	// unique_violation
	"23505": {fault.Conflict, "Something else has this name already."},
	// foreign_key_violation
	"23503": {fault.Conflict, "Something that this stands on is missing, or something still stands on it."},
	// check_violation
	"23514": {fault.BadInput, "A value is out of its range."},
	// not_null_violation
	"23502": {fault.BadInput, "A value is missing."},
	// string_data_right_truncation
	"22001": {fault.BadInput, "A text is too long."},
	// character_not_in_repertoire
	"22021": {fault.BadInput, "A text has a character that cannot be kept."},
	// numeric_value_out_of_range
	"22003": {fault.BadInput, "A value is out of its range."},
	// serialization_failure
	"40001": {fault.Conflict, "Somebody else wrote at the same moment. Try once more."},
	// deadlock_detected
	"40P01": {fault.Conflict, "Somebody else wrote at the same moment. Try once more."},
	// lock_not_available
	"55P03": {fault.Conflict, "Somebody else is writing to this room. Try once more in a moment."},
}

// What a person is told while the database cannot do its part.
const (
	unreachable = "The records cannot be reached just now."
	readOnly    = "The records can be read just now, but nothing can be written."
)

// outages are the beginnings of the codes with which a database says that it is not
// itself. The first that fits counts.
var outages = []struct{ code, msg string }{
	{"25006", readOnly},    // read_only_sql_transaction: a standby, or set to reading only
	{"53100", readOnly},    // disk_full
	{"08", unreachable},    // connection_exception
	{"25P03", unreachable}, // idle_in_transaction_session_timeout
	{"53", unreachable},    // insufficient_resources: too many connections, out of memory
	{"57014", unreachable}, // query_canceled: it took too long
	{"57P", unreachable},   // operator_intervention: starting, shutting down, crashed
	{"58", unreachable},    // system_error: its disk
}

// names says a unique constraint's refusal in words of its own.
var names = map[string]string{
	"room_firm_id_job_id_name_key":         "Another room of this job has this name.",
	"surface_firm_id_room_id_name_key":     "Another surface of this room has this name.",
	"datum_firm_id_surface_id_name_key":    "Another datum of this surface has this name.",
	"timber_firm_id_surface_id_name_key":   "Another timber of this surface has this name.",
	"way_firm_id_surface_id_name_key":      "Another way on this surface has this name.",
	"position_firm_id_room_id_name_key":    "Another position of this room has this name.",
	"member_email_key":                     "Somebody else of the firm has this e-mail.",
	"promise_firm_id_in_place_of_key":      "Another day was given in its place already.",
	"build_up_firm_id_name_key":            "Another build-up has this name.",
	"measurement_firm_id_room_id_name_key": "Somebody else wrote at the same moment. Try once more.",
}

// toFault turns an error of the database into the fault that it means; every
// other error, faults included, stays what it is.
func toFault(err error) error {
	var pg *pgconn.PgError
	var bad *unreadable
	switch {
	case err == nil || fault.KindOf(err) != "":
		return err
	case lost(err):
		return &fault.Error{Kind: fault.Down, Msg: unreachable, Err: err}
	case errors.As(err, &bad):
		return &fault.Error{Kind: fault.Unreadable, Msg: "What is on record here can't be read.", Err: err}
	case !errors.As(err, &pg):
		return err
	}
	if pg.Code == "LM006" {
		return words.UnknownZone()
	}
	a, known := codes[pg.Code]
	for _, o := range outages {
		if !known && strings.HasPrefix(pg.Code, o.code) {
			a, known = answer{fault.Down, o.msg}, true
		}
	}
	if !known {
		return err
	}
	if name, ok := names[pg.ConstraintName]; ok {
		a.msg = name
	}
	if a.msg == "" {
		a.msg = pg.Message
	}
	if says := gate.Says(pg.Message); pg.Code == "LM001" && says != "" {
		a.msg = words.Capital(says) + ": " + pg.Detail + "."
	}
	return &fault.Error{Kind: a.kind, Msg: a.msg, Err: err}
}

// lost reports whether an error is of the connection to the database: there was none
// to be had, for whatever reason, or it broke. Whoever gave up waiting has lost none.
func lost(err error) bool {
	var connecting *pgconn.ConnectError
	var network net.Error
	return !errors.Is(err, context.Canceled) && (errors.As(err, &connecting) || errors.As(err, &network) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || pgconn.SafeToRetry(err))
}

// missing turns an empty answer into a NotFound.
func missing(err error, noun string) error {
	if errors.Is(err, pgx.ErrNoRows) {
		return &fault.Error{Kind: fault.NotFound, Msg: "There is no such " + noun + ".", Err: err}
	}
	return err
}

// writes runs statements that write, and waits for each, or has them go out with
// what comes next.
type writes struct {
	tx   *wire
	wait bool
}

// write runs a statement that has to meet a row; where it meets none, the
// fault is of the kind given.
func (w writes) write(ctx context.Context, none fault.Kind, msg, sql string, args ...any) error {
	check := func(tag pgconn.CommandTag) error {
		if tag.RowsAffected() == 0 {
			return &fault.Error{Kind: none, Msg: msg}
		}
		return nil
	}
	if !w.wait {
		return w.tx.later(check, sql, args...)
	}
	tag, err := w.tx.Exec(ctx, sql, args...)
	if err != nil {
		return err
	}
	return check(tag)
}

// run runs a statement that may meet no row.
func (w writes) run(ctx context.Context, sql string, args ...any) error {
	if !w.wait {
		return w.tx.later(nil, sql, args...)
	}
	_, err := w.tx.Exec(ctx, sql, args...)
	return err
}

// insert is for an insert that leaves alone what has the id already.
func (w writes) insert(ctx context.Context, sql string, args ...any) error {
	return w.write(ctx, fault.Conflict, "Another record has this id.", sql+" on conflict (firm_id, id) do nothing",
		args...)
}

// update is for an update that asks for a version.
func (w writes) update(ctx context.Context, sql string, args ...any) error {
	return w.write(ctx, fault.Conflict, "Somebody else changed this in the meantime.", sql, args...)
}

// hit is for a write that only needs the record to be there.
func (w writes) hit(ctx context.Context, noun, sql string, args ...any) error {
	return w.write(ctx, fault.NotFound, "There is no such "+noun+".", sql, args...)
}
