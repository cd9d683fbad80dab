package site

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"os"
	"strings"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/cmd/demo/scenario"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/localpg"
	"lathmark/persistence/photostore"
	"lathmark/persistence/schema"
)

// The demo's database, and what it is called until it is complete. A demo that is killed
// while it makes its records starts over with them.
const (
	siteDatabase = "lathmark"
	siteInMaking = "lathmark_in_making"
)

// site is the demo's firm on its database.
type site struct {
	db *persistence.DB
	scenario.Made
}

// try returns what to try as each of the demo's people, by name.
func (s *site) try() map[string]string {
	out := map[string]string{}
	for _, p := range s.People {
		out[p.Name] = p.Try
	}
	return out
}

// openSite opens the demo's database at the newest schema, with its folder of photos, and makes it first, with its
// records, where it is not there; making is called before that. Close site.db after use.
func openSite(ctx context.Context, pg *localpg.Server, photos string, making func()) (*site, error) {
	there, err := count(ctx, pg, "select count(*) from pg_database where datname = $1", siteDatabase)
	if err != nil {
		return nil, err
	}
	if there == 0 {
		making()
		if err := makeSite(ctx, pg, photos); err != nil {
			return nil, fmt.Errorf("making the demo's records: %w", err)
		}
	}
	if err := schema.Up(ctx, pg.URL(siteDatabase, migrations.Owner)); err != nil {
		return nil, err
	}
	made, err := readMade(ctx, pg)
	if err != nil {
		return nil, err
	}
	db, err := persistence.Open(ctx, pg.URL(siteDatabase, migrations.Server))
	if err != nil {
		return nil, err
	}
	if db.Pictures, err = photostore.NewFolder(photos); err != nil {
		db.Close()
		return nil, err
	}
	return &site{db, made}, nil
}

func makeSite(ctx context.Context, pg *localpg.Server, photos string) error {
	for _, sql := range []string{"drop database if exists " + siteInMaking,
		"create database " + siteInMaking + " template template0"} {
		if err := execute(ctx, pg, sql); err != nil {
			return err
		}
	}
	if err := schema.Prepare(ctx, pg.URL(siteInMaking, localpg.Superuser)); err != nil {
		return err
	}
	if err := schema.Up(ctx, pg.URL(siteInMaking, migrations.Owner)); err != nil {
		return err
	}
	// Nothing has to reach the disk before the name says that all is there.
	db, err := persistence.Open(ctx, pg.PastURL(siteInMaking, migrations.Server)+"&synchronous_commit=off")
	if err != nil {
		return err
	}
	var made scenario.Made
	err = os.RemoveAll(photos) // of a demo that was thrown away, or not completed
	if err == nil {
		db.Pictures, err = photostore.NewFolder(photos)
	}
	if err == nil {
		made, err = scenario.Make(ctx, db, time.Now())
	}
	db.Close() // a database in use cannot be renamed
	if err != nil {
		return err
	}
	if err := writeMade(ctx, pg, made); err != nil {
		return err
	}
	return execute(ctx, pg, "alter database "+siteInMaking+" rename to "+siteDatabase)
}

// writeMade keeps what was made as the database's comment: so it is there exactly when
// the database is. The links of the clients are kept nowhere else, as the tables hold
// only their hashes.
func writeMade(ctx context.Context, pg *localpg.Server, made scenario.Made) error {
	text, err := json.Marshal(made)
	if err != nil {
		return err
	}
	quoted := "'" + strings.ReplaceAll(string(text), "'", "''") + "'"
	return execute(ctx, pg, "comment on database "+siteInMaking+" is "+quoted)
}

func readMade(ctx context.Context, pg *localpg.Server) (made scenario.Made, err error) {
	conn, err := pgx.Connect(ctx, pg.URL(siteDatabase, localpg.Superuser))
	if err != nil {
		return made, err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var text string
	err = conn.QueryRow(ctx, `select coalesce(shobj_description(oid, 'pg_database'), '') from pg_database
		where datname = current_database()`).Scan(&text)
	if err != nil {
		return made, err
	}
	if json.Unmarshal([]byte(text), &made) != nil || made.Firm.IsZero() {
		return made, errors.New("the demo's database does not say whose it is: start over with --fresh")
	}
	return made, nil
}

func execute(ctx context.Context, pg *localpg.Server, sql string) error {
	conn, err := pgx.Connect(ctx, pg.URL("postgres", localpg.Superuser))
	if err != nil {
		return err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	_, err = conn.Exec(ctx, sql)
	return err
}

func count(ctx context.Context, pg *localpg.Server, sql string, args ...any) (n int, err error) {
	conn, err := pgx.Connect(ctx, pg.URL("postgres", localpg.Superuser))
	if err != nil {
		return 0, err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	return n, conn.QueryRow(ctx, sql, args...).Scan(&n)
}
