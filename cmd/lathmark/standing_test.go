package main

import (
	"context"
	"testing"
	"time"

	"lathmark/cmd/demo/scenario"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/dbtest"
	"lathmark/persistence/pgtest"
)

// template is a database with the scenario, for tests to copy.
var (
	template = pgtest.NewTemplate(func(ctx context.Context, d pgtest.Database) error {
		if err := pgtest.Migrate(ctx, d); err != nil {
			return err
		}
		db, err := persistence.Open(ctx, d.PastURL(migrations.Server))
		if err != nil {
			return err
		}
		defer db.Close()
		db.Pictures = pictured
		whose, err = scenario.Make(ctx, db, time.Now())
		return err
	})
	whose scenario.Made
	// pictured are the pictures of its photos, which the copies share.
	pictured = &dbtest.Pictures{}
)

// stood returns t a database with the scenario, and the pool to it.
func stood(t *testing.T) (pgtest.Database, *persistence.DB, scenario.Made) {
	t.Helper()
	d := template.Clone(t)
	db, err := persistence.Open(t.Context(), d.URL(migrations.Server))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(db.Close)
	db.Pictures = pictured
	return d, db, whose
}
