// Package schema migrates a database to the schema that this program needs, and
// reports how far from it a database is.
//
// Three roles have a part (see migrations/roles.sql): the cluster's
// administrator, who prepares; the owner, who migrates; and the server's own
// role, which owns nothing and may only read the schema's version.
package schema

import (
	"context"
	"errors"
	"fmt"

	"github.com/golang-migrate/migrate/v4"
	"github.com/golang-migrate/migrate/v4/database"
	driver "github.com/golang-migrate/migrate/v4/database/pgx/v5"
	"github.com/golang-migrate/migrate/v4/source/iofs"
	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/stdlib"

	"lathmark/migrations"
)

// Prepare creates the roles if they are missing and makes the owner's role the
// owner of the database at url. url is an administrator's. Repeating it changes
// nothing.
func Prepare(ctx context.Context, url string) error {
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	if _, err := conn.Exec(ctx, migrations.Roles); err != nil {
		return fmt.Errorf("making the roles: %w", err)
	}
	database := pgx.Identifier{conn.Config().Database}.Sanitize()
	owner := pgx.Identifier{migrations.Owner}.Sanitize()
	if _, err := conn.Exec(ctx, "alter database "+database+" owner to "+owner); err != nil {
		return fmt.Errorf("giving the database to its owner: %w", err)
	}
	return nil
}

// Up applies missing migrations. url is the owner's. Several at once do no
// harm: one migrates, the others wait and find nothing to do.
func Up(ctx context.Context, url string) error {
	return with(ctx, url, (*migrate.Migrate).Up)
}

// Down reverts the newest steps, with all that was recorded in their tables; 0
// reverts everything. url is the owner's. Where the database refuses a step, the schema
// is as it was before that step.
func Down(ctx context.Context, url string, steps int) error {
	return with(ctx, url, func(m *migrate.Migrate) error {
		down := m.Down
		if steps > 0 {
			down = func() error { return m.Steps(-steps) }
		}
		err := down()
		var refused database.Error
		var why *pgconn.PgError
		if !errors.As(err, &refused) || !errors.As(refused.OrigErr, &why) {
			return err
		}
		// A step is one transaction: nothing of it was done, and the number alone says otherwise.
		to, dirty, unread := m.Version()
		if errors.Is(unread, migrate.ErrNilVersion) {
			to, dirty, unread = 0, true, nil
		}
		if unread == nil && dirty {
			unread = m.Force(int(to) + 1)
		}
		return errors.Join(err, unread)
	})
}

func with(ctx context.Context, url string, do func(*migrate.Migrate) error) (err error) {
	config, err := pgx.ParseConfig(url)
	if err != nil {
		return err
	}
	files, err := iofs.New(migrations.Files, ".")
	if err != nil {
		return err
	}
	db, err := driver.WithInstance(stdlib.OpenDB(*config), &driver.Config{})
	if err != nil {
		return err
	}
	m, err := migrate.NewWithInstance("embedded", files, config.Database, db)
	if err != nil {
		return errors.Join(err, db.Close())
	}
	defer func() {
		sourceErr, dbErr := m.Close()
		err = errors.Join(err, sourceErr, dbErr)
	}()
	stop := context.AfterFunc(ctx, func() { m.GracefulStop <- true })
	defer stop()
	if err := do(m); err != nil && !errors.Is(err, migrate.ErrNoChange) {
		return err
	}
	return ctx.Err()
}

// Version is the version of a database's schema.
type Version struct {
	Number uint // of the newest migration applied; 0 for none
	Dirty  bool // that migration was interrupted, and somebody has to look at it
}

// querier is a connection, a pool or a transaction.
type querier interface {
	QueryRow(ctx context.Context, sql string, args ...any) pgx.Row
}

// Read returns the version of a database's schema. Any role that may read
// schema_migrations can call it.
func Read(ctx context.Context, db querier) (Version, error) {
	var v Version
	err := db.QueryRow(ctx, "select greatest(version, 0), dirty from schema_migrations").Scan(&v.Number, &v.Dirty)
	var refused *pgconn.PgError
	if errors.Is(err, pgx.ErrNoRows) || errors.As(err, &refused) && refused.Code == "42P01" { // undefined_table
		return Version{}, nil
	}
	return v, err
}

// ErrOtherSchema says that the database is not at the schema this program needs.
var ErrOtherSchema = errors.New("the database has another schema than this program needs")

// Check returns ErrOtherSchema, with what to do about it, unless v is the newest.
func (v Version) Check() error {
	switch {
	case v.Dirty:
		return fmt.Errorf("%w: migration %d was interrupted; see deploy/upgrade.md", ErrOtherSchema, v.Number)
	case v.Number < migrations.Latest:
		return fmt.Errorf("%w: it is at %d, the newest is %d; run lathmark migrate up", ErrOtherSchema, v.Number,
			migrations.Latest)
	case v.Number > migrations.Latest:
		return fmt.Errorf("%w: it is at %d and this program knows %d; run a newer one", ErrOtherSchema, v.Number,
			migrations.Latest)
	}
	return nil
}

// ErrUnbound says that the rules that keep firms apart do not bind a role.
var ErrUnbound = errors.New("the server must not use this role")

// Bound returns ErrUnbound if the role of url is a superuser, may bypass row-level security,
// or owns a table. Row-level security is what keeps one firm from another's records.
func Bound(ctx context.Context, url string) error {
	conn, err := pgx.Connect(ctx, url)
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var role string
	var above, owns bool
	err = conn.QueryRow(ctx, `
		select rolname, rolsuper or rolbypassrls,
		       exists (select from pg_class c
		                where pg_has_role(c.relowner, 'usage') and relnamespace = 'public'::regnamespace)
		  from pg_roles where rolname = current_user`).Scan(&role, &above, &owns)
	switch {
	case err != nil:
		return err
	case above:
		return fmt.Errorf("%w: %s stands above the rules that keep firms apart; use %s", ErrUnbound, role, migrations.Server)
	case owns:
		return fmt.Errorf("%w: %s owns tables; use %s", ErrUnbound, role, migrations.Server)
	}
	return nil
}
