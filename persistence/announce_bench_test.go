package persistence_test

import (
	"context"
	"log/slog"
	"os"
	"testing"
	"time"

	"golang.org/x/sync/errgroup"

	"lathmark/domain/diary"
	"lathmark/domain/firm"
	"lathmark/domain/id"
	"lathmark/domain/job"
	"lathmark/migrations"
	"lathmark/persistence"
	"lathmark/persistence/localpg"
	"lathmark/persistence/schema"
)

const (
	writers       = 8
	commitsEach   = 250
	announceTurns = 3
)

// BenchmarkAnnounce is what announcing costs those who write: eight writers,
// each with a job of its own, on a database that waits for its disk. It reports
// commits a second without announcing, and as a share of that the commits with
// announcing, and with NOTIFY inside of the writing transactions instead. The
// ways take turns, so that a busy machine is busy for all of them.
func BenchmarkAnnounce(b *testing.B) {
	if testing.Short() {
		b.Skip("it starts a PostgreSQL of its own")
	}
	url := lasting(b)
	silent, telling := opened(b, url), opened(b, url)
	telling.Announce(slog.New(slog.DiscardHandler))
	owner, _, err := persistence.NewServices(silent, time.Now).Firm.Found(b.Context(), "Fell & Daughters", "UTC",
		"Ada Fell")
	if err != nil {
		b.Fatal(err)
	}
	var jobs []id.Job
	for range writers {
		j, err := persistence.NewServices(silent, time.Now).Job.Create(b.Context(), owner, job.Job{Name: "14 Orchard Row"})
		if err != nil {
			b.Fatal(err)
		}
		jobs = append(jobs, j.ID)
	}
	nothing := func(context.Context, *persistence.Tx) error { return nil }
	ways := []struct {
		db     *persistence.DB
		before func(context.Context, *persistence.Tx) error
		took   time.Duration
	}{{db: silent, before: nothing}, {db: telling, before: nothing}, {db: silent, before: persistence.NotifyInside}}
	b.ResetTimer()
	for range b.N {
		for range announceTurns {
			for i := range ways {
				ways[i].took += writing(b, ways[i].db, owner, jobs, ways[i].before)
			}
		}
	}
	commits := float64(b.N * announceTurns * writers * commitsEach)
	b.ReportMetric(commits/ways[0].took.Seconds(), "commits/s")
	b.ReportMetric(ways[0].took.Seconds()/ways[1].took.Seconds(), "after/without")
	b.ReportMetric(ways[0].took.Seconds()/ways[2].took.Seconds(), "inside/without")
	b.ReportMetric(0, "ns/op")
}

// writing has every writer add its entries, one commit each.
func writing(b *testing.B, db *persistence.DB, by firm.Person, jobs []id.Job,
	before func(context.Context, *persistence.Tx) error) time.Duration {
	b.Helper()
	began := time.Now()
	group, ctx := errgroup.WithContext(b.Context())
	for _, j := range jobs {
		group.Go(func() error {
			for range commitsEach {
				e, err := diary.New(by, j, id.Room{}, "", "x", "x", struct{}{}, time.Now())
				if err != nil {
					return err
				}
				if err := db.WithTx(ctx, by, func(tx *persistence.Tx) error {
					if _, err := diary.Append(ctx, tx, e); err != nil {
						return err
					}
					return before(ctx, tx)
				}); err != nil {
					return err
				}
			}
			return nil
		})
	}
	if err := group.Wait(); err != nil {
		b.Fatal(err)
	}
	return time.Since(began)
}

// lasting starts a PostgreSQL that writes to its disk before it answers, as
// that of a site does and that of the tests does not.
func lasting(b *testing.B) string {
	b.Helper()
	dir, err := os.MkdirTemp(localpg.TempDir(), "lathmark-bench")
	if err != nil {
		b.Fatal(err)
	}
	pg, err := localpg.Start(b.Context(), localpg.Options{Data: dir, Fresh: true})
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(func() {
		if err := pg.Remove(); err != nil {
			b.Error(err)
		}
	})
	if err := schema.Prepare(b.Context(), pg.URL("postgres", localpg.Superuser)); err != nil {
		b.Fatal(err)
	}
	if err := schema.Up(b.Context(), pg.URL("postgres", migrations.Owner)); err != nil {
		b.Fatal(err)
	}
	return pg.URL("postgres", migrations.Server) + "&pool_max_conns=8"
}

func opened(b *testing.B, url string) *persistence.DB {
	b.Helper()
	db, err := persistence.Open(b.Context(), url)
	if err != nil {
		b.Fatal(err)
	}
	b.Cleanup(db.Close)
	return db
}
