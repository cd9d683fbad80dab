package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/jackc/pgx/v5"

	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/localpg"
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
	db     *persistence.DB
	firm   firm.Firm
	people []firm.Member // those who are with the firm
}

// openSite opens the demo's database at the newest schema, and makes it first, with its
// records, where it is not there. Close site.db after use.
func openSite(ctx context.Context, pg *localpg.Server) (*site, error) {
	there, err := count(ctx, pg, "select count(*) from pg_database where datname = $1", siteDatabase)
	if err != nil {
		return nil, err
	}
	if there == 0 {
		if err := makeSite(ctx, pg); err != nil {
			return nil, fmt.Errorf("making the demo's records: %w", err)
		}
	}
	if err := schema.Up(ctx, pg.URL(siteDatabase, migrations.Owner)); err != nil {
		return nil, err
	}
	founder, err := founder(ctx, pg)
	if err != nil {
		return nil, err
	}
	db, err := persistence.Open(ctx, pg.URL(siteDatabase, migrations.Server))
	if err != nil {
		return nil, err
	}
	s := &site{db: db}
	if err := s.read(ctx, founder); err != nil {
		db.Close()
		return nil, err
	}
	return s, nil
}

func makeSite(ctx context.Context, pg *localpg.Server) error {
	for _, sql := range []string{"drop database if exists " + siteInMaking, "create database " + siteInMaking + " template template0"} {
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
	db, err := persistence.Open(ctx, pg.URL(siteInMaking, migrations.Server))
	if err != nil {
		return err
	}
	err = furnish(ctx, db)
	db.Close() // a database in use cannot be renamed
	if err != nil {
		return err
	}
	return execute(ctx, pg, "alter database "+siteInMaking+" rename to "+siteDatabase)
}

func (s *site) read(ctx context.Context, founder firm.Person) error {
	firms := persistence.NewServices(s.db, time.Now).Firm
	var err error
	if s.firm, err = firms.Firm(ctx, founder); err != nil {
		return err
	}
	all, err := firms.Members(ctx, founder)
	for _, m := range all {
		if m.LeftAt.IsZero() && m.Role != firm.Client {
			s.people = append(s.people, m)
		}
	}
	return err
}

// founder is the owner of the demo's firm. No role but the cluster's own administrator can
// look for a firm without knowing its id.
func founder(ctx context.Context, pg *localpg.Server) (firm.Person, error) {
	p := firm.Person{Role: firm.Owner}
	conn, err := pgx.Connect(ctx, pg.URL(siteDatabase, localpg.Superuser))
	if err != nil {
		return p, err
	}
	defer conn.Close(context.WithoutCancel(ctx))
	var of, who [16]byte
	err = conn.QueryRow(ctx, "select firm_id, id from member where role = 'owner' order by created_at limit 1").Scan(&of, &who)
	if errors.Is(err, pgx.ErrNoRows) {
		return p, errors.New("the demo's database has lost its firm: start over with --fresh")
	}
	p.Firm, p.ID = id.Firm(of), id.Member(who)
	return p, err
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
