// Package persistence keeps the domain's records in PostgreSQL: SQL and
// scanning only, one file per noun. Rules live in the domain, and a few of them
// a second time in the migrations.
package persistence

import (
	"context"
	"errors"
	"time"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgtype"
	"github.com/jackc/pgx/v5/pgxpool"

	"lathmark/domain/diary"
	"lathmark/domain/fault"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/photo"
	"lathmark/persistence/schema"
)

// DB is a pool of connections as the server's role.
type DB struct {
	pool      *pgxpool.Pool
	announcer *announcer // nil: nobody is told what changes
	// Pictures is where photos have their pictures; photo.Nowhere unless set.
	Pictures photo.Store
}

// connecting is how long a connection may take to come about; a server that does not
// answer would have everybody wait for as long as the network lets them.
const connecting = 5 * time.Second

// Open makes a pool for a URL. It does not connect yet.
func Open(ctx context.Context, url string) (*DB, error) {
	config, err := pgxpool.ParseConfig(url)
	if err != nil {
		return nil, err
	}
	for name, value := range map[string]string{
		"application_name": "lathmark", "statement_timeout": "30s", "lock_timeout": "15s",
		"idle_in_transaction_session_timeout": "60s", "plan_cache_mode": "force_generic_plan",
	} {
		if _, set := config.ConnConfig.RuntimeParams[name]; !set {
			config.ConnConfig.RuntimeParams[name] = value
		}
	}
	if config.ConnConfig.ConnectTimeout == 0 {
		config.ConnConfig.ConnectTimeout = connecting
	}
	config.AfterConnect = func(ctx context.Context, conn *pgx.Conn) error {
		conn.TypeMap().RegisterType(&pgtype.Type{Name: "timestamptz", OID: pgtype.TimestamptzOID,
			Codec: &pgtype.TimestamptzCodec{ScanLocation: time.UTC}})
		return prepare(ctx, conn)
	}
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, err
	}
	return &DB{pool: pool, Pictures: photo.Nowhere{}}, nil
}

// prepare has a new connection know what a visit asks: whoever comes first does not
// wait for that. A database whose schema is not there yet knows nothing of it.
func prepare(ctx context.Context, conn *pgx.Conn) error {
	often := []string{beginWrite, beginSnapshot, beginReading, "commit", askAs, askWhole, askNobody, askInSession,
		bySecret, ofAll.mark, ofAll.heads, ofRoom.mark, lastSeqs, openJobs, allMembers, openActs, recordQuery}
	for _, p := range parts {
		often = append(often, p.sql)
	}
	for _, sql := range often {
		if _, err := conn.Prepare(ctx, sql, sql); err != nil {
			var refused *pgconn.PgError
			if errors.As(err, &refused) {
				return nil
			}
			return err
		}
	}
	return nil
}

// Close waits for what is running, announces what is left to announce, and
// closes every connection.
func (db *DB) Close() {
	db.pool.Close()
	db.announcer.close()
}

// Ready returns what a look shows of why nothing can be written: the database is not
// there, has another schema, or is read only.
func (db *DB) Ready(ctx context.Context) error {
	v, err := db.Schema(ctx)
	if err == nil {
		err = v.Check()
	}
	var reading bool
	if err == nil {
		err = db.pool.QueryRow(ctx, "select current_setting('transaction_read_only')::bool").Scan(&reading)
	}
	if err == nil && reading {
		err = &fault.Error{Kind: fault.Down, Msg: readOnly}
	}
	return toFault(err)
}

// TryWriting returns why nothing can be written, other than Ready does by trying. It
// commits a row that needs a page of its own, and takes it out again: so a disk that is
// full and a standby that commits wait for are seen, too.
func (db *DB) TryWriting(ctx context.Context) error {
	batch := &pgx.Batch{} // is a transaction
	batch.Queue("insert into pulse.beat (filler) values (repeat('.', 6000))")
	batch.Queue("delete from pulse.beat")
	return toFault(db.pool.SendBatch(ctx, batch).Close())
}

// Ping reports whether the database answers.
func (db *DB) Ping(ctx context.Context) error { return db.pool.Ping(ctx) }

// Schema tells where the database's schema stands.
func (db *DB) Schema(ctx context.Context) (schema.Version, error) { return schema.Read(ctx, db.pool) }

// Tx is one transaction of somebody of one firm. It carries every port that the
// domain's packages ask for.
type Tx struct {
	tx wire
	writes
	// soon are writes that nobody waits for: see room.Tx.
	soon writes
	firm id.Firm
	// wrote are the diary entries that the transaction added.
	wrote []diary.Entry
}

func begin(conn sender, how string, by firm.Person) *Tx {
	t := &Tx{tx: wire{conn: conn, begin: how, by: by}, firm: by.Firm}
	t.writes, t.soon = writes{&t.tx, true}, writes{&t.tx, false}
	return t
}

// How transactions begin.
const (
	beginWrite    = "begin isolation level read committed"
	beginSnapshot = "begin isolation level repeatable read read only"
)

// rollback is how long a rollback may take once the caller has gone.
const rollback = 5 * time.Second

// WithTx runs do in a transaction of the person who asks. It sees and writes
// one firm's rows only, and of those the rows of the jobs that they may see.
// It commits where do returns nil. Otherwise, and where do panics, it rolls
// back, also when ctx has ended by then. Errors that the database returns are
// turned into faults. Each statement sees what was committed before it: what
// is read after a lock was taken is as it is then. A transaction in which do asks
// nothing takes no trip to the database.
func (db *DB) WithTx(ctx context.Context, by firm.Person, do func(*Tx) error) error {
	return db.with(ctx, beginWrite, by, do)
}

// Snapshot is WithTx for reading alone: every statement sees the rows of one
// moment, however much is written meanwhile.
func (db *DB) Snapshot(ctx context.Context, by firm.Person, do func(*Tx) error) error {
	return db.with(ctx, beginSnapshot, by, do)
}

// Glance is for a do that reads and asks once: each thing that it asks sees a moment
// of its own, as each statement of a batch does, and takes a single round trip.
func (db *DB) Glance(ctx context.Context, by firm.Person, do func(*Tx) error) error {
	t := begin(db.pool, "", by)
	t.tx.alone = true
	return toFault(do(t))
}

func (db *DB) with(ctx context.Context, how string, by firm.Person, do func(*Tx) error) error {
	conn, err := db.pool.Acquire(ctx)
	if err != nil {
		return toFault(err)
	}
	defer func() {
		if conn.Conn().PgConn().TxStatus() != 'I' { // not idle: neither committed nor never begun
			late, cancel := context.WithTimeout(context.WithoutCancel(ctx), rollback)
			defer cancel()
			_, _ = conn.Exec(late, "rollback") // a connection on which it fails is not used again
		}
		conn.Release()
	}()
	t := begin(conn, how, by)
	if err := do(t); err != nil {
		return toFault(err)
	}
	tried, err := t.tx.commit(ctx)
	if tried && perhaps(err) {
		db.announcer.note(diary.Changes(t.wrote))
		return err // where there is one, nobody knows whether all is on record
	}
	return toFault(err)
}

// In narrows a way to run transactions, such as DB.WithTx, to the port T that one
// package of the domain declares. It panics where *Tx is no T; ports.go makes sure at
// compile time that it is.
func In[T any](run firm.In[*Tx]) firm.In[T] {
	return func(ctx context.Context, by firm.Person, do func(T) error) error {
		return run(ctx, by, func(tx *Tx) error { return do(any(tx).(T)) })
	}
}
